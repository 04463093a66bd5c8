/** All properties of a fluid at a state, with their sources and what is missing. */
import { Refusal, refuse } from "../fault/index.js";
import { type Density, formatNumber, type Pressure, type Temperature } from "../quantity/index.js";
import type { MissingRow, PropertyGroup, PropertyRow, SubstanceAnswer } from "./answer.js";
import { conductivityOn, thermalConductivity } from "./conductivity.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { liquidEvenSuperheated } from "./metastable.js";
import { kelvin, pressureText, stateText } from "./range.js";
import { saturationAtPressure, saturationAtTemperature } from "./saturated.js";
import { type FluidState, type HomogeneousState, twoPhaseState } from "./state.js";
import { stateAtPressureTemperature, stateAtTemperatureDensity } from "./stateAt.js";
import { surfaceTension } from "./surfaceTension.js";
import { viscosity, viscosityOn } from "./viscosity.js";

/** What fixes a state: two of the three, or one of the first two for a boiling fluid. */
export interface StateWanted {
  readonly T?: Temperature;
  readonly p?: Pressure;
  readonly rho?: Density;
  /** Follow the liquid below its vapour pressure. */
  readonly isSuperheated: boolean;
}

/**
 * The properties of a fluid at a state.
 * Refuses  a state that is not fixed by what is given; and as the functions that compute states
 */
export function fluidAnswer(fluid: Fluid, wanted: StateWanted): SubstanceAnswer {
  const state = wantedState(fluid, wanted);
  const { critical, triple, validity, file } = fluid;
  const name =
    state.phase === "two-phase" ? "two-phase" : isMetastable(state) ? "superheated liquid" : state.phase;
  const share =
    state.phase === "two-phase" && wanted.rho !== undefined
      ? `, ${formatNumber(100 * state.quality)} % of its mass vapour`
      : "";
  const { note } = file.viscosity ?? {};
  return {
    kind: "fluid",
    id: fluid.id,
    name: fluid.name,
    state: name,
    summary: `${stateText(fluid, state.T, state.p)}: ${name === "two-phase" ? "boiling, liquid and vapour side by side" : name}${share}`,
    groups: groupsOf(fluid, state, wanted),
    remarks: [
      `Triple point ${kelvin(triple.T)}, ${pressureText(triple.p)}; critical point ${kelvin(critical.T)}, ${pressureText(critical.p)}.`.replace(
        "Triple point",
        triple.called === "triple-point" ? "Triple point" : "Lambda point",
      ),
      `Equation of state from ${kelvin(validity.TMin)} to ${kelvin(validity.TMax)}, up to ${pressureText(validity.pMax)}: ${fluid.uncertainty}.`,
      ...(file.validity.note === "Published range." ? [] : [file.validity.note]),
      ...(note === undefined ? [] : [`Viscosity: ${note}`]),
      `Zero of enthalpy and entropy: ${file.equation_of_state.ideal.note.replace(/^Zero point: /, "")}`,
    ],
    notices: state.notices,
  };
}

function wantedState(fluid: Fluid, { T, p, rho, isSuperheated }: StateWanted): FluidState {
  if (T !== undefined && p !== undefined && rho === undefined) {
    return isSuperheated ? liquidEvenSuperheated(fluid, p, T) : stateAtPressureTemperature(fluid, p, T);
  }
  if (!isSuperheated && T !== undefined && p === undefined && rho !== undefined) {
    return stateAtTemperatureDensity(fluid, T, rho);
  }
  if (!isSuperheated && rho === undefined && (T !== undefined || p !== undefined)) {
    const { liquid, vapour } =
      T !== undefined ? saturationAtTemperature(fluid, T) : saturationAtPressure(fluid, p ?? (0 as Pressure));
    return twoPhaseState(liquid, vapour, 0);
  }
  return refuse(
    "state-not-fixed",
    `the state of ${fluid.id} is not fixed by what is given`,
    "Temperature and pressure fix a state, or temperature and density; temperature or pressure alone is taken for the boiling fluid. Superheated liquid needs temperature and pressure.",
    "Give `--temperature 90K --pressure 28bar(a)`, for example.",
  );
}

function isMetastable(state: FluidState): boolean {
  return "isMetastable" in state && state.isMetastable === true;
}

function groupsOf(fluid: Fluid, state: FluidState, wanted: StateWanted): readonly PropertyGroup[] {
  if (state.phase !== "two-phase")
    return [groupOf(fluid, isMetastable(state) ? "superheated liquid" : state.phase, state)];
  const equation = { sources: fluid.sources } as const;
  const boiling: PropertyGroup = {
    title: "boiling",
    rows: [
      {
        id: "latent_heat",
        words: "latent heat",
        value: state.vapour.h - state.liquid.h,
        dimension: "specific energy",
        ...equation,
      },
      ...asAmbientGas(fluid, state.liquid),
      ...tension(fluid, state.T),
    ],
    missing: [],
  };
  const mixture: readonly PropertyGroup[] =
    wanted.rho === undefined
      ? []
      : [
          {
            title: "mixture",
            rows: [
              {
                id: "quality",
                words: "mass share of vapour",
                value: state.quality,
                dimension: "ratio",
                ...equation,
              },
              ...energies(fluid, state),
            ],
            missing: [],
          },
        ];
  return [
    ...mixture,
    groupOf(fluid, "liquid", state.liquid),
    groupOf(fluid, "vapour", state.vapour),
    boiling,
  ];
}

function groupOf(fluid: Fluid, title: string, state: HomogeneousState): PropertyGroup {
  const equation = { sources: fluid.sources } as const;
  const transport = transportOf(fluid, state);
  const found = [
    attempt("viscosity", "viscosity", () => ({
      id: "viscosity",
      words: "viscosity",
      value: transport.viscosity(),
      dimension: "viscosity",
      uncertainty: fluid.file.viscosity?.uncertainty ?? "",
      sources: fluid.file.viscosity?.sources ?? [],
    })),
    attempt("conductivity", "thermal conductivity", () => ({
      id: "conductivity",
      words: "thermal conductivity",
      value: transport.conductivity(),
      dimension: "conductivity",
      uncertainty: fluid.file.thermal_conductivity?.uncertainty ?? "",
      sources: fluid.file.thermal_conductivity?.sources ?? [],
    })),
  ];
  const rows: readonly PropertyRow[] = [
    ...energies(fluid, state),
    {
      id: "cp",
      words: "specific heat at constant pressure",
      value: state.cp,
      dimension: "specific heat",
      ...equation,
    },
    {
      id: "cv",
      words: "specific heat at constant volume",
      value: state.cv,
      dimension: "specific heat",
      ...equation,
    },
    { id: "speed_of_sound", words: "speed of sound", value: state.w, dimension: "speed", ...equation },
    ...found.flatMap((one) => ("value" in one ? [one] : [])),
  ];
  return {
    title,
    rows: rows.filter(({ value }) => Number.isFinite(value)),
    missing: found.flatMap((one) => ("reason" in one ? [one] : [])),
  };
}

/** A superheated liquid lies inside the dome: its correlations are asked directly, as those of a liquid. */
function transportOf(
  fluid: Fluid,
  state: HomogeneousState,
): { viscosity: () => number; conductivity: () => number } {
  const { viscosity: eta, thermal_conductivity: lambda } = fluid.file;
  if (!isMetastable(state) || eta === undefined || lambda === undefined) {
    return {
      viscosity: () => viscosity(fluid, state.T, state.rho),
      conductivity: () => thermalConductivity(fluid, state.T, state.rho),
    };
  }
  const isotherm = new Isotherm(fluid).setTemperature(state.T);
  isotherm.pressure(state.rho);
  return {
    viscosity: () => viscosityOn(eta, isotherm),
    conductivity: () => conductivityOn(lambda, isotherm, state),
  };
}

function energies(fluid: Fluid, state: FluidState): readonly PropertyRow[] {
  const equation = { sources: fluid.sources } as const;
  return [
    { id: "density", words: "density", value: state.rho, dimension: "density", ...equation },
    { id: "enthalpy", words: "specific enthalpy", value: state.h, dimension: "specific energy", ...equation },
    { id: "entropy", words: "specific entropy", value: state.s, dimension: "specific heat", ...equation },
    {
      id: "internal_energy",
      words: "specific internal energy",
      value: state.u,
      dimension: "specific energy",
      ...equation,
    },
  ];
}

/** Ambient conditions of the volume that a liquid has as gas. */
const ambient = { T: 288.15 as Temperature, p: 101_325 as Pressure } as const;

/** How often a liquid fills its volume once it is gas at ambient conditions; nothing for one that stays liquid there. */
function asAmbientGas(fluid: Fluid, { rho }: HomogeneousState): readonly PropertyRow[] {
  try {
    const gas = stateAtPressureTemperature(fluid, ambient.p, ambient.T);
    if (gas.phase === "liquid") return [];
    return [
      {
        id: "volumes_as_gas",
        words: "volume as gas at 15 degC and 1.01325 bar(a) over that of the liquid",
        value: rho / gas.rho,
        dimension: "ratio",
        sources: fluid.sources,
      },
    ];
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return [];
  }
}

function tension(fluid: Fluid, T: Temperature): readonly PropertyRow[] {
  const data = fluid.file.surface_tension;
  if (data === undefined) return [];
  const { sources, uncertainty } = data;
  return [
    {
      id: "surface_tension",
      words: "surface tension",
      value: surfaceTension(fluid, T),
      dimension: "stiffness",
      uncertainty,
      sources,
    },
  ];
}

/** The row, or why there is none: one missing correlation hides no other. */
function attempt(id: string, words: string, compute: () => PropertyRow): PropertyRow | MissingRow {
  try {
    return compute();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { id, words, reason: thrown.faults.map(({ found, allowed }) => `${found}. ${allowed}`).join(" ") };
  }
}
