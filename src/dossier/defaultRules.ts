/**
 * Where defaults come from: data/defaults and data/friction. Each rule proposes values for fields; a
 * proposal for a field that the file names is dropped.
 *
 * To add a default: a row in data/defaults/plain.json, or a data file and a rule in `defaultRules`.
 */
import cavitationOnset from "../../data/defaults/cavitation-onset.json" with { type: "json" };
import contraction from "../../data/defaults/contraction.json" with { type: "json" };
import dwell from "../../data/defaults/dwell.json" with { type: "json" };
import equalisingAngle from "../../data/defaults/equalising-angle.json" with { type: "json" };
import hydrodynamic from "../../data/defaults/hydrodynamic.json" with { type: "json" };
import liquidRecovery from "../../data/defaults/liquid-recovery.json" with { type: "json" };
import packingStress from "../../data/defaults/packing-stress.json" with { type: "json" };
import plain from "../../data/defaults/plain.json" with { type: "json" };
import sharedBreakaway from "../../data/defaults/shared-breakaway.json" with { type: "json" };
import startingEfficiency from "../../data/defaults/starting-efficiency.json" with { type: "json" };
import stribeck from "../../data/defaults/stribeck.json" with { type: "json" };
import turbulentFriction from "../../data/defaults/turbulent-friction.json" with { type: "json" };
import { circleArea, flowCoefficientOfLoss, openBallLoss } from "../physics/flow/index.js";
import { dwellFactor, packingRadialStress } from "../physics/seat/index.js";
import { formatQuantity, type Length, type PressureDifference, type Time } from "../quantity/index.js";
import { coldPreload } from "./coldPreload.js";
import { driveTemperatures } from "./driveTemperature.js";
import { type FrictionPair, frictionPair, type Interval } from "./frictionPair.js";
import { itemAt } from "./path.js";
import type { Conditions, ValveFile } from "./schema.js";
import { stemStiffness } from "./stemStiffness.js";

/** A value written as in a valve file: a text, or a mapping of texts. */
type Raw = string | { readonly [key: string]: string };

/** A value for a field, the rows of a table, or the field that it follows, with its reason. */
export type Proposal = {
  readonly path: string;
  readonly reason: string;
  readonly references: readonly string[];
} & (
  | { readonly kind: "value"; readonly value: Raw }
  /** Follows another field, said in words: nothing is filled in. */
  | { readonly kind: "as"; readonly as: string }
  | { readonly kind: "table"; readonly rows: readonly { readonly [name: string]: Raw }[] }
);

/**
 * A source of defaults. Sees the values of the rules before it, and whether a field that is not known was
 * entered with a fault: what would be derived otherwise with that field is not derived without it.
 */
export type DefaultRule = (
  valve: ValveFile,
  conditions: Conditions,
  isFaulty: (path: string) => boolean,
) => readonly Proposal[];

export const defaultRules: readonly DefaultRule[] = [
  plainDefaults,
  seatFriction,
  preloadInTheCold,
  driveInTheCold,
  stemTwist,
  bearingFriction,
  followedBreakaway,
  dwellGrowth,
  stribeckFall,
  equalising,
  wormStart,
  packing,
  hydrodynamics,
  recovery,
  flowCoefficient,
  constants,
];

interface DataFile {
  readonly reason: string;
  readonly references: readonly string[];
}

interface Spread {
  readonly law: string;
  readonly low: number;
  readonly nominal: number;
  readonly high: number;
}

/** A number as a value with limits; `unit` as the parser writes it, empty for a ratio. */
function limits(low: number, nominal: number, high: number, law: string, unit = ""): Raw {
  const text = (number: number) => `${number} ${unit}`.trim();
  return { nominal: text(nominal), low: text(low), high: text(high), law };
}

function value(path: string, raw: Raw, { reason, references }: DataFile): Proposal {
  return { kind: "value", path, value: raw, reason, references };
}

function plainDefaults(valve: ValveFile): readonly Proposal[] {
  const rows: readonly (DataFile & {
    readonly field: string;
    readonly value: unknown;
    readonly only_with?: string;
  })[] = plain.defaults;
  return rows
    .filter((row) => row.only_with === undefined || itemAt(valve, row.only_with) !== undefined)
    .flatMap((row) => eachItem(valve, row.field).map((path) => value(path, row.value as Raw, row)));
}

/** A path with `[]` stands for every item of that list. */
function eachItem(valve: ValveFile, path: string): readonly string[] {
  const [list, rest] = path.split("[]");
  if (list === undefined || rest === undefined) return [path];
  const items = itemAt(valve, list);
  return Array.isArray(items) ? items.map((_, index) => `${list}[${index}]${rest}`) : [];
}

function middle({ low, high }: Interval): number {
  return Number(((low + high) / 2).toPrecision(6));
}

function even(interval: Interval): Raw {
  return limits(interval.low, middle(interval), interval.high, "uniform");
}

/** What a pair says, as the source of a default. */
function pairSource(pair: FrictionPair, what: string): DataFile {
  const caution = pair.caution === undefined ? "" : ` ${pair.caution}`;
  return {
    reason: `${what} of ${pair.name}, ${pair.conditions}. ${pair.provenance}${caution}`,
    references: ["common practice, no source"],
  };
}

function pairOf(material: string | undefined): FrictionPair | undefined {
  return material === undefined ? undefined : frictionPair(material);
}

function seatFriction({ valve }: ValveFile): readonly Proposal[] {
  const pair = pairOf(valve?.seat?.material);
  if (pair === undefined) return [];
  const { ambient, cold } = pair.running;
  const ratio = (coefficient: number) => Number((coefficient / middle(ambient)).toPrecision(3));
  return [
    value("valve.seat.friction", even(ambient), pairSource(pair, "Running friction")),
    value(
      "valve.seat.friction_cold_ratio",
      limits(ratio(cold.low), ratio(middle(cold)), ratio(cold.high), "uniform"),
      pairSource(pair, "Interval of cold running friction over the middle of the ambient one,"),
    ),
    value(
      "valve.seat.breakaway_ratio",
      even(pair.breakaway_over_running),
      pairSource(pair, "Breakaway over running friction"),
    ),
  ];
}

/** A declared ratio goes before it, as before any default. */
function preloadInTheCold(
  valve: ValveFile,
  _: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  const derived = coldPreload(valve);
  if (derived === undefined || isFaulty("valve.cold.inspected_at")) return [];
  const { low, nominal, high } = derived;
  const digits = (ratio: number) => Number(ratio.toPrecision(4));
  return [
    value("valve.seat.preload_cold_ratio", limits(digits(low), digits(nominal), digits(high), "triangular"), {
      reason:
        "Derived from materials and dimensions in valve.cold: remaining over first interference, times the stiffness of a cold seat (docs/theory/cold.md).",
      references: ["nist-cryogenics-2010, contraction"],
    }),
  ];
}

function driveInTheCold(
  file: ValveFile,
  conditions: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  return driveTemperatures(file, conditions, isFaulty).map(({ path, value: T, deviation, coldFor }) => {
    const when = coldFor === undefined ? "steady" : `after ${formatQuantity(coldFor, "time")} in the cold`;
    const spread = Math.max(deviation, 0.1).toPrecision(2);
    return value(path, `${T.toFixed(1)} K +/- ${spread} K`, {
      reason: `Derived from valve.cold.extension: the heat that it draws from the drive, ${when} (docs/theory/heat.md).`,
      references: ["nist-cryogenics-2010, conductivity", "churchill-chu-1975-plate, eq. 9"],
    });
  });
}

/** A field of a section that has a fault leaves it underived, as one that is missing does. */
function stemTwist(
  file: ValveFile,
  conditions: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  const derived = stemStiffness(file, conditions, isFaulty);
  if (derived === undefined || isFaulty("valve.stem.material")) return [];
  const text = (stiffness: number) => `${stiffness.toPrecision(4)} N m/rad`;
  return [
    value(
      "valve.stem.stiffness",
      { nominal: text(derived.nominal), low: text(derived.low), high: text(derived.high) },
      {
        reason:
          "Derived from valve.stem.sections: the twist of each over its length, one after the other (docs/theory/strength.md). What its joints yield comes on top and is not in it.",
        references: ["roark-2002, table 10.1"],
      },
    ),
  ];
}

function bearingFriction(
  { valve }: ValveFile,
  _: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  const packing =
    valve?.packing?.torque === undefined && !isFaulty("valve.packing.torque")
      ? valve?.packing?.material
      : undefined;
  const fields = [
    ["valve.stem.collar_friction", valve?.stem?.collar_material],
    ["valve.bearing.friction", valve?.bearing?.material],
    ["valve.packing.friction", packing],
  ] as const;
  return fields.flatMap(([path, material]) => {
    const pair = pairOf(material);
    return pair === undefined
      ? []
      : [value(path, even(pair.running.ambient), pairSource(pair, "Running friction"))];
  });
}

/** Breakaway ratios that follow the seats'; a floating ball has no trunnion bearings. */
function followedBreakaway({ valve }: ValveFile): readonly Proposal[] {
  const { field, also, reason, references } = sharedBreakaway;
  const seats = valve?.seat?.breakaway_ratio;
  if (seats === undefined) return [];
  const as = `as ${sharedBreakaway.as}, ${seats.readAs}`;
  return [field, ...also]
    .filter((path) => valve?.support === "trunnion" || !path.startsWith("valve.bearing."))
    .map((path): Proposal => ({ kind: "as", path, as, reason, references }));
}

function equalising(_: ValveFile, { outlet, fluid }: Conditions): readonly Proposal[] {
  if (outlet !== "dead-ended" || fluid === "none") return [];
  return [
    value("valve.equalising_angle", `${equalisingAngle.value} ${equalisingAngle.unit}`, equalisingAngle),
  ];
}

/** Starting efficiency of stages whose teeth slide: worms by name, and whatever passes on little. */
function wormStart({ drive }: ValveFile): readonly Proposal[] {
  const { spread, below } = startingEfficiency;
  return (drive?.stages ?? []).flatMap((stage, index) => {
    const running = stage.efficiency?.value;
    if (running === undefined) return [];
    const isWorm = /\bworm\b/i.test(`${stage.name ?? ""} ${stage.part ?? ""}`);
    if (!isWorm && running >= below) return [];
    const share = (factor: number) => Number((factor * running).toPrecision(4));
    return [
      value(
        `drive.stages[${index}].starting_efficiency`,
        limits(share(spread.low), share(spread.nominal), share(spread.high), spread.law),
        {
          reason: `${spread.nominal} of the running efficiency. ${startingEfficiency.reason}`,
          references: startingEfficiency.references,
        },
      ),
    ];
  });
}

function dwellGrowth(_: ValveFile, { dwell: declared }: Conditions): readonly Proposal[] {
  if (declared === undefined) return [];
  const table = dwell.rows.map((row) => ({ dwell: row.dwell as Time, factor: row.factor }));
  const { factor, notices } = dwellFactor(table, declared.value as Time);
  const { low, nominal, high, law } = dwell.spread;
  const grown = (share: number) => Number((1 + share * (factor - 1)).toPrecision(4));
  const caveat = notices.map(({ text }) => ` Note: ${text}.`).join("");
  return [
    value(
      "valve.seat.dwell_ratio",
      factor === 1 ? "1" : limits(grown(low), grown(nominal), grown(high), law),
      {
        reason: `After a dwell of ${declared.text}. ${dwell.reason}${caveat}`,
        references: dwell.references,
      },
    ),
  ];
}

function stribeckFall(): readonly Proposal[] {
  return [spreadValue("valve.seat.stribeck_speed", stribeck, stribeck.spread, "m/s")];
}

function spreadValue(path: string, data: DataFile, { low, nominal, high, law }: Spread, unit = ""): Proposal {
  return value(path, limits(low, nominal, high, law, unit), data);
}

/** Radial stress of a packing whose material is given: its share of the gland stress that seals the supply pressure. */
function packing({ duty, valve }: ValveFile): readonly Proposal[] {
  const pair = pairOf(valve?.packing?.material);
  const supply = duty?.supply_pressure;
  const ambient = duty?.ambient_pressure;
  if (pair === undefined || supply === undefined || ambient === undefined) return [];
  const share =
    packingStress.by_material.find(({ material }) => pair.id.startsWith(material)) ?? packingStress.spread;
  const sealed = Math.max(0, supply.value - ambient.value) as PressureDifference;
  const stress = (K: number) =>
    formatQuantity(packingRadialStress(K, sealed), "pressure difference", { digits: 4 });
  const raw = {
    nominal: stress(middle(share)),
    low: stress(share.low),
    high: stress(share.high),
    law: "uniform",
  };
  return [
    value("valve.packing.radial_stress", raw, {
      reason: `${packingStress.what}; here the supply pressure of the duty. ${packingStress.reason}`,
      references: packingStress.references,
    }),
  ];
}

function hydrodynamics(
  { valve }: ValveFile,
  _: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  if (isFaulty("valve.hydrodynamic.curve")) return [];
  const rows = hydrodynamic.rows.map(({ opening, coefficient }) => ({
    angle: `${opening} deg`,
    coefficient: `${coefficient}`,
  }));
  const curve: Proposal = {
    kind: "table",
    path: "valve.hydrodynamic.curve",
    rows,
    reason: hydrodynamic.reason,
    references: hydrodynamic.references,
  };
  if (valve?.hydrodynamic?.curve === undefined) {
    return [curve, spreadValue("valve.hydrodynamic.scale", hydrodynamic, hydrodynamic.spread)];
  }
  return [
    value("valve.hydrodynamic.scale", "1", {
      reason: "The declared curve stands as it is.",
      references: ["derived from the valve file"],
    }),
  ];
}

function recovery(): readonly Proposal[] {
  const { low, high } = liquidRecovery.spread;
  const rounded = (factor: number) => Number(Math.min(1, factor).toPrecision(4));
  return [
    {
      kind: "table",
      path: "valve.recovery",
      rows: liquidRecovery.rows.map(({ opening, factor }) => ({
        angle: `${opening} deg`,
        factor: limits(rounded(factor + low), factor, rounded(factor + high), "uniform"),
      })),
      reason: liquidRecovery.reason,
      references: liquidRecovery.references,
    },
  ];
}

/** Wide-open flow coefficient: the end of a declared characteristic, or that of a full-bore ball. */
function flowCoefficient(
  { valve }: ValveFile,
  _: Conditions,
  isFaulty: (path: string) => boolean,
): readonly Proposal[] {
  if (isFaulty("valve.characteristic")) return [];
  const end = valve?.characteristic?.at(-1)?.flow_coefficient;
  if (end !== undefined) {
    return [
      value(
        "valve.flow_coefficient",
        formatQuantity(end.value, "flow coefficient", { unit: "Kv", digits: "all" }),
        {
          reason: "The last row of the declared characteristic.",
          references: ["derived from the valve file"],
        },
      ),
    ];
  }
  const bore = valve?.bore?.value;
  const table = turbulentFriction.rows.map(({ size, factor }) => ({ size: (size / 1000) as Length, factor }));
  const smallest = table[0]?.size ?? 0;
  const largest = table.at(-1)?.size ?? 0;
  if (bore === undefined || bore < smallest || bore > largest) return [];
  const loss = openBallLoss(table, bore as Length);
  const C = flowCoefficientOfLoss(loss, circleArea((bore / 2) as Length));
  const { low, nominal, high, law } = turbulentFriction.spread;
  const text = (factor: number) => formatQuantity(factor * C, "flow coefficient", { unit: "Kv", digits: 4 });
  return [
    value(
      "valve.flow_coefficient",
      { nominal: text(nominal), low: text(low), high: text(high), law },
      {
        reason: `A full bore of ${valve?.bore?.text} with K = 3 f_T. ${turbulentFriction.reason}`,
        references: turbulentFriction.references,
      },
    ),
  ];
}

function constants(): readonly Proposal[] {
  return [
    spreadValue("valve.cavitation_onset", cavitationOnset, cavitationOnset.spread),
    spreadValue("valve.contraction", contraction, contraction.spread),
  ];
}
