/** Names of substances and materials, and whether the named fluid is a liquid where it is said to flow. */
import { nearName, Refusal } from "../fault/index.js";
import type { Pressure, Temperature } from "../quantity/index.js";
import {
  fluid,
  fluidNames,
  inletLiquid,
  inletNames,
  isFluidName,
  isSolidName,
  solidNames,
  stateAtPressureTemperature,
} from "../substance/index.js";
import type { Finding } from "./finding.js";
import { frictionPair, frictionPairNames, frictionPairs } from "./frictionPair.js";
import { nominalText } from "./provenance.js";
import type { Conditions, ValveFile } from "./schema.js";

/** How a valve without fluid is written. */
const dry = "none";

/** Findings about the materials of seat, packing and bearings. */
export function materialRule({ valve }: ValveFile): readonly Finding[] {
  const fields = [
    ["valve.seat.material", valve?.seat?.material],
    ["valve.packing.material", valve?.packing?.material],
    ["valve.bearing.material", valve?.bearing?.material],
    ["valve.stem.collar_material", valve?.stem?.collar_material],
  ] as const;
  return fields.flatMap(([path, material]): readonly Finding[] => {
    if (material === undefined || frictionPair(material) !== undefined) return [];
    const near = nearName(material, frictionPairNames);
    return [
      {
        kind: "fault",
        code: "material-unknown",
        path,
        notKnown: [path],
        found: `${material} is no friction pair on file`,
        allowed: `On file are ${frictionPairs.map(({ name }) => name).join("; ")}.`,
        mend: "Write one of these names, or leave the material out and declare the friction itself",
        ...(near === undefined ? {} : { near }),
      },
    ];
  });
}

/** Findings about the materials whose contraction is asked for. */
export function solidRule({ valve, line, solids = [] }: ValveFile): readonly Finding[] {
  const names = [...solids.map(({ id }) => id), ...solidNames];
  const cold = valve?.cold;
  const fields = [
    ["valve.cold.body_material", cold?.body_material],
    ["valve.cold.ball_material", cold?.ball_material],
    ["valve.cold.seat_material", cold?.seat_material],
    ["valve.cold.bolts.material", cold?.bolts?.material],
    ["valve.cold.bolts.clamped_material", cold?.bolts?.clamped_material],
    ["valve.cold.extension.tube_material", cold?.extension?.tube_material],
    ["valve.cold.extension.stem_material", cold?.extension?.stem_material],
    ["valve.cold.extension.bracket.material", cold?.extension?.bracket?.material],
    ["valve.cold.pipe.material", cold?.pipe?.material],
    ...(cold?.fits ?? []).flatMap(
      ({ hole_material, shaft_material }, j) =>
        [
          [`valve.cold.fits[${j}].hole_material`, hole_material],
          [`valve.cold.fits[${j}].shaft_material`, shaft_material],
        ] as const,
    ),
    ["line.priming.metal.material", line?.priming?.metal?.material],
    ...(line?.pipes ?? []).map(({ material }, j) => [`line.pipes[${j}].material`, material] as const),
    ["valve.stem.material", valve?.stem?.material],
    ...(valve?.stem?.sections ?? []).map(
      ({ material }, j) => [`valve.stem.sections[${j}].material`, material] as const,
    ),
    ...(valve?.stem?.joints ?? []).flatMap(
      ({ shaft_material, hub_material, material }, j) =>
        [
          [`valve.stem.joints[${j}].shaft_material`, shaft_material],
          [`valve.stem.joints[${j}].hub_material`, hub_material],
          [`valve.stem.joints[${j}].material`, material],
        ] as const,
    ),
    ...(valve?.strength?.impact_tests ?? []).map(
      ({ material }, j) => [`valve.strength.impact_tests[${j}].material`, material] as const,
    ),
    ...(cold?.cool_down?.parts ?? []).map(
      ({ material }, j) => [`valve.cold.cool_down.parts[${j}].material`, material] as const,
    ),
  ] as const;
  return fields.flatMap(([path, name]): readonly Finding[] => {
    if (name === undefined || isSolidName(name, solids)) return [];
    const near = nearName(name, names);
    return [
      {
        kind: "fault",
        code: "solid-unknown",
        path,
        notKnown: [path],
        found: `${name} is no solid on file`,
        allowed: `On file are ${names.join(", ")}.`,
        mend: "Write one of these names, or describe the solid in the folder parts/ of the dossier",
        ...(near === undefined ? {} : { near }),
      },
    ];
  });
}

/** Findings about the fluids of the duty, the cases, the engine's other side, and the gas ahead of the liquid. */
export function fluidRule({ duty, cases, engine, line }: ValveFile): readonly Finding[] {
  return [
    ...gasFindings(line?.priming ?? {}),
    ...condensed({ duty, cases, engine, line }),
    ...conditionsFindings("engine.partner", engine?.partner ?? {}),
    ...conditionsFindings("duty", duty ?? {}),
    ...(cases ?? []).flatMap((conditions, index) => conditionsFindings(`cases[${index}]`, conditions)),
  ];
}

/** The gas in an empty line is looked at as a perfect one, at this pressure [Pa]. */
const thin = 1e4;

function gasFindings({ gas, gas_temperature: temperature }: Priming): readonly Finding[] {
  const path = "line.priming.gas";
  if (gas === undefined) return [];
  if (!isFluidName(gas)) {
    const near = nearName(gas, fluidNames);
    return [
      {
        kind: "fault",
        code: "fluid-unknown",
        path,
        notKnown: [path],
        found: `${gas} is no fluid on file`,
        allowed: `Fluids on file that can be a gas: ${fluidNames.join(", ")}.`,
        mend: "Write one of these names",
        ...(near === undefined ? {} : { near }),
      },
    ];
  }
  if (temperature === undefined) return [];
  try {
    stateAtPressureTemperature(fluid(gas), thin as Pressure, temperature.value as Temperature);
    return [];
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return thrown.faults.map(
      ({ code, found, allowed, mend }): Finding => ({
        kind: "fault",
        path: "line.priming.gas_temperature",
        notKnown: ["line.priming.gas_temperature"],
        code,
        found,
        allowed,
        mend,
      }),
    );
  }
}

/** The gas stands at the pressure of the line's end, and there it must not be a liquid. */
function condensed({ duty, cases = [], engine, line }: ValveFile): readonly Finding[] {
  const { state, gas, gas_temperature: temperature } = line?.priming ?? {};
  if (state !== "empty" || gas === undefined || temperature === undefined || !isFluidName(gas)) return [];
  const all = [
    { of: "duty", conditions: duty },
    ...cases.map((conditions, j) => ({ of: `cases[${j}]`, conditions })),
  ];
  const found = all.flatMap(({ of, conditions }): readonly Finding[] => {
    const { back_pressure_at_start: start, back_pressure: back, fluid: flowing, outlet } = conditions ?? {};
    if (flowing === undefined || flowing === dry || outlet === "dead-ended") return [];
    const isUnlit = engine !== undefined && flowing === duty?.fluid;
    const unlit = isUnlit ? duty?.ambient_pressure : undefined;
    const lower = unlit !== undefined && back !== undefined && back.value < unlit.value ? back : unlit;
    const pressure = start ?? lower ?? back;
    if (pressure === undefined || !isLiquidAt(gas, pressure.value, temperature.value)) return [];
    return [
      {
        kind: "fault",
        code: "priming-gas-liquid",
        path: "line.priming.gas",
        notKnown: ["line.priming.gas"],
        found: `${gas} is a liquid at ${nominalText(temperature)} and ${nominalText(pressure)}, at which it stands ahead of the front in ${of}`,
        allowed: "Ahead of the liquid that fills the line there is a gas.",
        mend: "Name the gas that stands there, a purge for example, or correct its temperature",
      },
    ];
  });
  return found.slice(0, 1);
}

function isLiquidAt(name: string, p: number, T: number): boolean {
  if (!isFluidName(name)) return false;
  try {
    return stateAtPressureTemperature(fluid(name), p as Pressure, T as Temperature).phase === "liquid";
  } catch (thrown) {
    // Outside its equation it is refused as a gas already, at its temperature.
    if (!(thrown instanceof Refusal)) throw thrown;
    return false;
  }
}

type Priming = NonNullable<NonNullable<ValveFile["line"]>["priming"]>;
type Flowing = Pick<Conditions, "fluid" | "fluid_temperature" | "supply_pressure"> &
  Partial<Pick<Conditions, "outlet">>;

function conditionsFindings(at: string, conditions: Flowing): readonly Finding[] {
  const { fluid: name, fluid_temperature: temperature, supply_pressure: pressure, outlet } = conditions;
  if (name === undefined || name === dry) return [];
  try {
    const named = inletLiquid(name);
    // Behind a blocked outlet nothing flows: gas may load the seat as well as liquid.
    if (temperature === undefined || pressure === undefined || outlet === "dead-ended") return [];
    named.liquidAt(pressure.value as Pressure, temperature.value as Temperature);
    return [];
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    const isName = thrown.faults.some(({ code }) => code === "unknown-fluid");
    return thrown.faults.map(({ code, found, allowed, mend, near }): Finding => {
      const words = isName ? fluidNameWords : { code, allowed, mend };
      return {
        kind: "fault",
        path: isName ? `${at}.fluid` : `${at}.fluid_temperature`,
        notKnown: isName ? [`${at}.fluid`] : [`${at}.fluid_temperature`, `${at}.supply_pressure`],
        found: isName ? `${name} is no fluid on file` : found,
        ...words,
        ...(isName ? nearFluid(name, near) : near === undefined ? {} : { near }),
      };
    });
  }
}

/** Names of the trade for what is on file under another one; kerosene is stood in for by n-dodecane. */
const tradeNames: Readonly<Record<string, string>> = {
  kerosene: "n-dodecane",
  lox: "oxygen",
  lo2: "oxygen",
  ln2: "nitrogen",
  lch4: "methane",
  lng: "methane",
  n2o: "nitrous-oxide",
  isopropanol: "2-propanol",
  ipa: "2-propanol",
  hydrogen: "parahydrogen",
};

function nearFluid(name: string, near: string | undefined): { readonly near?: string } {
  const known = tradeNames[name.toLowerCase().trim()] ?? near;
  return known !== undefined && inletNames.includes(known) ? { near: known } : {};
}

const fluidNameWords = {
  code: "fluid-unknown",
  allowed: `Fluids on file: ${inletNames.join(", ")}; \`${dry}\` stands for a dry valve.`,
  mend: "Write one of these names",
};
