/** How the line behind the valve fills, in one case: the front, its stop, the gas ahead of it, and bounds of what flashes. */
import { conditionsOf, type Dossier, materialNamed } from "../dossier/index.js";
import {
  areaOf,
  type EmptyLine,
  type EmptyPipe,
  type Filled,
  type Filling,
  fill,
  flashed,
  impedance,
  pipeResistance,
} from "../physics/line/index.js";
import type { Pressure, Temperature } from "../quantity/index.js";
import {
  fluid as fluidNamed,
  isFluidName,
  liquidAtPressureTemperature,
  saturationAtPressure,
  solidIntegral,
  stateAtPressureTemperature,
} from "../substance/index.js";
import type { Gatherer, Slot } from "./gather.js";
import type { Plan } from "./plan.js";
import type { BuiltLine, SurgeLine } from "./surgeLine.js";
import { inertanceOf } from "./surgePipe.js";
import type { ValveSample } from "./valveSample.js";

/** Ids of the figures: `prime` the pressure as the front is stopped [Pa], `primeShare` the worst of it over what a place behind
 * the valve may reach [-], `fillTime` from first motion until liquid stands at the end [s]. */
export const primingFigures = ["prime", "primeShare", "fillTime"] as const;

/** Filling at the nominal values. */
export interface PrimingFigures {
  readonly filled: Filled;
  /** Of the gas before the valve opens, and where that is from [Pa, absolute]. */
  readonly gasAhead_Pa: number;
  readonly gasAheadOf: GasAheadOf;
  readonly figures: Readonly<Record<(typeof primingFigures)[number], number>>;
  /** Mass that fills the line [kg], share of it that flashes by pressure alone, and what all heat of the metal boils [kg]. */
  readonly mass_kg: number;
  readonly flashedShare: number | undefined;
  readonly boiledByMetal_kg: number | undefined;
}

/** Where the pressure of the gas ahead is from, in the order in which one goes before the other. */
export type GasAheadOf = "start" | "ambient" | "back";

/** The end of a line that fills towards an engine which does not burn yet. */
export interface Unlit {
  readonly of: "start" | "ambient";
  readonly slot: Slot;
}

/** What priming reads. */
export interface PrimingSlots {
  /** As declared; undefined where nobody says. */
  readonly state: "empty" | "full" | undefined;
  readonly isEmpty: boolean;
  readonly isKnown: boolean;
  readonly aheadOf: GasAheadOf;
  readonly gasTemperature: Slot;
  readonly exponent: Slot;
  readonly gasConstant: number;
  readonly heatRatio: number;
  /** Of the end of the line while nothing burns there; undefined where the back pressure is that of the case. */
  readonly unlit: Unlit | undefined;
  /** Heat that the metal gives down to the boiling point [J], and of that boiling point and the liquid [J/kg]. */
  readonly flash: { readonly share: number; readonly byMetal: number | undefined } | undefined;
}

/** Slots of priming; what is missing is noted under "priming". */
export function gatherPriming(dossier: Dossier, plan: Plan, gather: Gatherer<string>): PrimingSlots {
  const given = dossier.valve.line?.priming ?? {};
  const lack = (path: string) => gather.lack("priming", path);
  const conditions = conditionsOf(dossier, plan.caseId);
  const unlit = given.state === "empty" ? unlitOf(dossier, plan) : undefined;
  const ambient = unlit?.of === "ambient" ? dossier.valve.duty?.ambient_pressure : undefined;
  const back = conditions.back_pressure_at_start ?? ambient ?? conditions.back_pressure;
  if (given.state === undefined) lack("line.priming.state");
  const isEmpty = given.state === "empty";
  const name = given.gas;
  if (isEmpty && (name === undefined || !isFluidName(name))) lack("line.priming.gas");
  const need = (field: "gas_temperature" | "exponent") =>
    isEmpty ? gather.need("priming", `line.priming.${field}`, given[field]) : -1;
  const gasTemperature = need("gas_temperature");
  const exponent = need("exponent");
  const T = given.gas_temperature?.value as Temperature | undefined;
  const isKnown = gather.missingFor("priming").length === 0;
  const gas = isKnown && isEmpty && name !== undefined ? fluidNamed(name) : undefined;
  const dilute =
    gas === undefined || T === undefined
      ? undefined
      : stateAtPressureTemperature(gas, dilutePressure as Pressure, T);
  return {
    state: given.state === "empty" || given.state === "full" ? given.state : undefined,
    isEmpty,
    isKnown,
    gasTemperature,
    exponent,
    gasConstant: gas?.specificGasConstant ?? Number.NaN,
    heatRatio: dilute === undefined ? Number.NaN : dilute.cp / dilute.cv,
    unlit,
    aheadOf: unlit?.of ?? (conditions.back_pressure_at_start === undefined ? "back" : "start"),
    flash: isEmpty ? flashOf(dossier, plan, back?.value) : undefined,
  };
}

/**
 * The liquid of an engine's propellant comes to an injector behind which nothing burns: until both are there it cannot
 * light. The chamber then stands at the declared pressure of the start, else at the ambient one, if that is the lower.
 */
function unlitOf({ valve }: Dossier, { medium, slots, space }: Plan): Unlit | undefined {
  if (valve.engine === undefined || medium.kind !== "liquid" || medium.fit.fluid !== valve.duty?.fluid)
    return undefined;
  if (slots.backPressureAtStart >= 0) return { of: "start", slot: slots.backPressureAtStart };
  const at = (slot: Slot) => (slot < 0 ? Number.NaN : (space.nominal[slot] ?? Number.NaN));
  return at(slots.ambientPressure) < at(slots.backPressure)
    ? { of: "ambient", slot: slots.ambientPressure }
    : undefined;
}

/** A gas counts as perfect at this pressure [Pa]. */
const dilutePressure = 1e4;
/** A front is followed so many durations of the opening, at least so long [s]. */
const followed = 3;
const leastFollowed = 1;

/** Bounds of flashing at the nominal values; undefined where the fluid has no boiling point there. */
function flashOf(
  { valve }: Dossier,
  { medium, space, slots }: Plan,
  back: number | undefined,
): PrimingSlots["flash"] {
  if (medium.kind !== "liquid" || back === undefined || !isFluidName(medium.fit.fluid)) return undefined;
  const named = fluidNamed(medium.fit.fluid);
  const { critical, triple } = named;
  if (back <= triple.p || back >= critical.p) return undefined;
  const supply = (space.nominal[slots.supplyPressure] ?? Number.NaN) as Pressure;
  const boiling = saturationAtPressure(named, back as Pressure);
  const { h } = liquidAtPressureTemperature(named, supply, medium.fit.temperature);
  const { metal } = valve.line?.priming ?? {};
  const material = materialNamed(valve, metal?.material);
  const isGiven = metal?.mass !== undefined && metal.temperature !== undefined && material !== undefined;
  const heat =
    isGiven && material.file.specific_heat !== undefined && metal.temperature.value > boiling.T
      ? metal.mass.value *
        solidIntegral(material, "specific_heat", boiling.T, metal.temperature.value as Temperature).value
      : 0;
  const { share, byMetal } = flashed(h, boiling.liquid.h, boiling.latentHeat, heat);
  return { share, byMetal: isGiven ? byMetal : undefined };
}

/** The empty line of a sample behind the valve; undefined where it stands full, or something is missing. */
export function emptyLineOf(
  slots: PrimingSlots,
  given: {
    readonly sample: ValveSample;
    readonly line: SurgeLine;
    readonly built: BuiltLine;
    readonly own: (slot: Slot) => number;
  },
): EmptyLine | undefined {
  const { sample, line, built, own } = given;
  if (!slots.isEmpty || !slots.isKnown || sample.system === undefined) return undefined;
  const { pipes, liquid, losses } = built.network;
  const behind = line.mainPipes("downstream").flatMap((i) => pipes[i] ?? []);
  const rho = liquid.density;
  const within = behind.reduce((sum, pipe) => sum + pipeResistance(pipe, rho), 0);
  // What stands between the pipes behind the valve counts with them, evenly.
  const between = built.behind - built.endResistance - within;
  const { heights } = built.network;
  const empty = behind.map(
    (pipe): EmptyPipe => ({
      rise: (heights?.[pipe.to] ?? 0) - (heights?.[pipe.from] ?? 0),
      length: pipe.length,
      area: areaOf(pipe.bore),
      resistance: pipeResistance(pipe, rho) + (losses.length > 0 ? Math.max(between, 0) / behind.length : 0),
    }),
  );
  return {
    density: rho,
    pipes: empty,
    gas: {
      pressure: built.backPressure,
      gasConstant: slots.gasConstant,
      temperature: own(slots.gasTemperature),
      exponent: own(slots.exponent),
      heatRatio: slots.heatRatio,
    },
    backPressure: built.backPressure,
    outletResistance: built.endResistance > 0 ? built.endResistance : leastOutlet,
  };
}

/** Fills the line of a sample; undefined where its valve stays shut, and nothing comes into the line. */
export function primingOf(
  slots: PrimingSlots,
  given: {
    readonly sample: ValveSample;
    readonly line: SurgeLine;
    readonly built: BuiltLine;
    readonly empty: EmptyLine;
    readonly opening: Filling["opening"];
    readonly duration: number;
  },
): PrimingFigures | undefined {
  const { sample, line, built, empty, opening, duration } = given;
  const { system } = sample;
  const { pipes, liquid } = built.network;
  const ahead = line.mainPipes("upstream").flatMap((i) => pipes[i] ?? []);
  const last = line
    .mainPipes("downstream")
    .flatMap((i) => pipes[i] ?? [])
    .at(-1);
  if (last === undefined || system === undefined) return undefined;
  const until = Math.max(followed * duration, leastFollowed);
  if (!(opening(until).coefficient > 0)) return undefined;
  const rho = liquid.density;
  const filled = fill(
    {
      ...empty,
      supplyPressure: system.supplyPressure,
      inertance: inertanceOf(ahead),
      resistance: system.upstream,
      chokingPressure: liquid.chokingPressure,
      opening,
      impedance: impedance(last),
    },
    until,
  );
  const volume = empty.pipes.reduce((sum, { length, area }) => sum + length * area, 0);
  const shares = line.places.flatMap(({ allowed_Pa, side, kind }) =>
    allowed_Pa !== undefined && (side === "downstream" || kind === "valve")
      ? [Math.max(filled.stopPressure, filled.gasPressure) / allowed_Pa]
      : [],
  );
  return {
    filled,
    gasAhead_Pa: empty.gas.pressure,
    gasAheadOf: slots.aheadOf,
    figures: {
      prime: Math.max(filled.stopPressure, filled.gasPressure),
      primeShare: shares.length === 0 ? Number.NaN : Math.max(...shares),
      fillTime: filled.time ?? Number.NaN,
    },
    mass_kg: volume * rho,
    flashedShare: slots.flash?.share,
    boiledByMetal_kg: slots.flash?.byMetal,
  };
}

/** An end of the line that loses nothing lets gas and liquid out as freely as this [Pa/(kg/s)^2]. */
const leastOutlet = 1;
