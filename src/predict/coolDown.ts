/**
 * The cool-down of one valve in one case: histories of its parts, when each is cold, when the valve may first
 * be turned, the propellant spent, clearances and seat interference on the way, with a small band of its own
 * (docs/theory/cold.md, "Cool-down").
 */
import { conditionsOf, type Dossier, referenceTemperatures } from "../dossier/index.js";
import { type Notice, Refusal } from "../fault/index.js";
import {
  asPublished,
  type CoolDownCase,
  type CorrelationFactors,
  coolDown,
  gapRemaining,
  interferenceRemaining,
  SolidHeat,
} from "../physics/cold/index.js";
import {
  type Area,
  type Declared,
  formatQuantity,
  type Length,
  type Mass,
  type MassFlow,
  type SpecificEnergy,
  type Temperature,
  type Time,
} from "../quantity/index.js";
import { type Fluid, fluid, isFluidName } from "../substance/index.js";
import type { ColdChain, Shrinking } from "./coldChain.js";
import { CoolDownEvents, type CoolDownHistory, type Looked, type PeakDifference } from "./coolDownEvents.js";
import { type CoolDownPlan, coolDownPath, type PlannedPart, planCoolDown } from "./coolDownPlan.js";
import { type CoolDownTables, coolantOf, noticesOf, tablesOf } from "./coolDownTables.js";
import type { Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { ownFigures, type Sampling } from "./ownBand.js";
import { placeOf } from "./trappedPlan.js";

/** Why a case has nothing to cool down; `cooled` where it has. */
/** `starts cold`: a cold liquid, and a start no warmer than it. */
export type CoolDownMedium = "cooled" | "dry" | "not colder" | "starts cold" | "no equation of state";

/** A part as declared, with its histories. */
export interface CooledPart {
  readonly name: string;
  readonly kind: PlannedPart["kind"];
  readonly isWetted: boolean;
  /** Heat that it gives up from start to rest, nominal [J]; NaN where that is not known. */
  readonly heat: number;
  /** Temperature at which it comes to rest [K]; NaN where that is not known. */
  readonly rest: number;
}

/** The cool-down of a case. Figures by coolDownPlan.ts; a time that does not come is NaN without missing fields. */
export interface CoolDownAnswer {
  readonly medium: CoolDownMedium;
  readonly isDeclared: boolean;
  readonly chain: ColdChain;
  readonly parts: readonly CooledPart[];
  readonly saturation: number;
  readonly history: CoolDownHistory | undefined;
  readonly peaks: readonly PeakDifference[];
  readonly notices: readonly Notice[];
}

/** Samples drawn at most; each follows the valve for hours of its time. */
const mostSamples = 40;
/** Error of a step that the samples let pass, and the nominal run [K]: times of the two agree to half a percent. */
const stepError = { samples: 2, nominal: 1 };

/** Follows the cool-down of a case. Refuses an unknown case. */
export function coolDownOf(dossier: Dossier, caseId: string, options: Sampling): CoolDownAnswer {
  const cold = dossier.valve.valve?.cold ?? {};
  const conditions = conditionsOf(dossier, caseId);
  const plan = planCoolDown({ dossier, cold, conditions, place: placeOf(dossier, caseId) });
  const { collected, ids } = plan;
  const { gather } = collected;
  const medium = mediumOf(conditions.fluid, conditions.fluid_temperature, cold.cool_down?.start);
  const space = gather.space([], []);
  const named = medium === "cooled" && conditions.fluid !== undefined ? fluid(conditions.fluid) : undefined;
  const begun =
    named === undefined || gather.missingFor("history").length > 0 ? undefined : begin(plan, named, space);
  const { nominal, tables } = begun ?? {};
  const sampling = { ...options, most: mostSamples, ...(nominal === undefined ? { samples: 0 } : {}) };
  return {
    medium,
    isDeclared: cold.cool_down !== undefined,
    chain: {
      path: coolDownPath,
      name: "cool-down",
      missing: Object.fromEntries(ids.map((id) => [id, gather.missingFor(id)])),
      figures: ownFigures(space, ids, sampling, (values) =>
        nominal === undefined || tables === undefined
          ? {}
          : values === space.nominal
            ? nominal.figures
            : settledFigures(followed(plan, tables, (slot) => values[slot] ?? Number.NaN, false)),
      ),
      unfit: begun?.unfit,
    },
    parts: plan.parts.map(({ name, kind, isWetted }, j) => ({
      name,
      kind,
      isWetted,
      heat: nominal?.heat[j] ?? Number.NaN,
      rest: nominal?.rest[j] ?? Number.NaN,
    })),
    saturation: nominal?.saturation ?? Number.NaN,
    history: nominal?.looked.history,
    peaks: nominal?.looked.peaks ?? [],
    notices: begun?.notices ?? [],
  };
}

/** A sample that does not come to rest has no figures. */
function settledFigures({ isSettled, figures }: Followed): Readonly<Record<string, number>> {
  return isSettled ? figures : {};
}

interface Begun {
  readonly tables?: CoolDownTables;
  readonly nominal?: Followed;
  readonly notices?: readonly Notice[];
  readonly unfit?: string;
}

/** Tables and the nominal run, or why the values of the case cannot be followed. */
function begin(plan: CoolDownPlan, named: Fluid, { nominal, declared }: InputSpace): Begun {
  const at = (slot: Slot) => nominal[slot] ?? Number.NaN;
  const { pressure, supply } = plan.slots;
  if (at(pressure) > at(supply))
    return {
      unfit: `the pressure in the valve while it cools, ${formatQuantity(at(pressure), "pressure")}, lies above the supply pressure, ${formatQuantity(at(supply), "pressure")}`,
    };
  try {
    const tables = tablesOf(plan, named, nominal, declared);
    const run = followed(plan, tables, at, true);
    if (!run.isSettled)
      return {
        unfit: `its parts have not come to rest ${formatQuantity(run.end, "time")} after the start: a light part boils to and fro`,
      };
    return { tables, nominal: run, notices: noticesOf(plan, Math.min(...run.rest), at(plan.slots.start)) };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { unfit: thrown.faults.map(({ found }) => found).join("; ") };
  }
}

/** A liquid below this cools a valve down; common practice, no source [K]. */
const coldLiquid = 233;

function mediumOf(
  name: string | undefined,
  liquid: Declared | undefined,
  start: Declared | undefined,
): CoolDownMedium {
  if (name === "none") return "dry";
  if (name !== undefined && !isFluidName(name)) return "no equation of state";
  const warm = start?.value ?? referenceTemperatures.ambient_K;
  if (liquid === undefined || liquid.value < warm) return "cooled";
  return liquid.value < coldLiquid ? "starts cold" : "not colder";
}

/** One run with what it is asked for. */
interface Followed {
  readonly figures: Readonly<Record<string, number>>;
  readonly saturation: number;
  readonly heat: readonly number[];
  readonly rest: readonly number[];
  readonly isSettled: boolean;
  readonly end: Time;
  readonly looked: Looked;
}

function followed(
  plan: CoolDownPlan,
  tables: CoolDownTables,
  at: (slot: Slot) => number,
  isNominal: boolean,
): Followed {
  const { slots, parts, links } = plan;
  const coolant = coolantOf(tables, at(slots.pressure));
  const flow = at(slots.flow) as MassFlow;
  const admitted = tables.admitted.h + tables.admitted.cp * (at(slots.fluid) - tables.admitted.T);
  const factors: Record<keyof CorrelationFactors, number> = { ...asPublished };
  for (const [key, slot] of plan.factors) factors[key] = at(slot);
  const start = at(slots.start) as Temperature;
  const model: CoolDownCase = {
    parts: parts.map((part, j) => ({
      mass: at(part.mass) as Mass,
      heat: tables.heats[j] ?? new SolidHeat(() => Number.NaN, 1 as Temperature, 2 as Temperature),
      heatFactor: at(part.specificHeat),
      ...(part.isWetted
        ? { wetted: { area: at(part.area) as Area, passage: at(part.passage) as Length } }
        : {}),
      toSurroundings: at(part.toSurroundings),
    })),
    links: links.map(({ first, second, resistance }) => ({ first, second, resistance: at(resistance) })),
    start,
    surroundings: at(slots.surroundings) as Temperature,
    coolant,
    flow,
    admitted: admitted as SpecificEnergy,
    factors,
  };
  const events = new CoolDownEvents(
    {
      names: parts.map(({ name }) => name),
      turning: parts.flatMap(({ kind }, j) =>
        kind === "ball" || kind === "seat" || kind === "body" ? [j] : [],
      ),
      coldBelow: coolant.saturation + at(slots.near),
      alike: at(slots.alike),
      clearances: plan.fits.map(({ place }, i) => ({ place, at: clearanceOf(plan, tables, at, i) })),
      interference: interferenceOf(plan, tables, at),
    },
    isNominal,
  );
  const end = coolDown(
    model,
    (moment) => events.look(moment),
    isNominal ? stepError.nominal : stepError.samples,
  );
  const looked = events.end();
  const latent = coolant.vapourEnthalpy - admitted;
  const sensible = coolant.vapourHeat * (Math.max(start, model.surroundings) - coolant.saturation);
  return {
    figures: {
      ...looked.figures,
      spent: flow * (looked.figures.turn ?? Number.NaN),
      least: looked.taken / (latent + sensible),
      latent: looked.taken / latent,
    },
    saturation: coolant.saturation,
    heat: model.parts.map(
      ({ mass, heat, heatFactor }, j) =>
        mass *
        heatFactor *
        (heat.enthalpy(start) - heat.enthalpy((end.temperatures[j] ?? Number.NaN) as Temperature)),
    ),
    rest: [...end.temperatures],
    isSettled: end.isSettled,
    end: end.time,
    looked,
  };
}

/** Contraction of a material from inspection, at where its spread stands. */
function shrinkage(
  { inspected }: CoolDownPlan,
  { contractions }: CoolDownTables,
  at: (slot: Slot) => number,
  { material, slot }: Shrinking,
): (T: number) => number {
  const table = material === undefined ? undefined : contractions.get(material.id);
  if (table === undefined) return () => Number.NaN;
  const start = table.value(inspected < 0 ? referenceTemperatures.ambient_K : at(inspected));
  const factor = at(slot);
  return (T) => (table.value(T) - start) * factor;
}

function clearanceOf(
  plan: CoolDownPlan,
  tables: CoolDownTables,
  at: (slot: Slot) => number,
  i: number,
): (T: Float64Array) => number {
  const fit = plan.fits[i];
  if (fit === undefined) return () => Number.NaN;
  const hole = shrinkage(plan, tables, at, fit.hole);
  const shaft = shrinkage(plan, tables, at, fit.shaft);
  const length = at(fit.diameter) as Length;
  const gap = at(fit.clearance) as Length;
  const linear = linearIn(2, ([c = 0, d = 0]) =>
    gapRemaining(gap, [{ length, contraction: c }], [{ length, contraction: d }]),
  );
  const { base, slopes } = linear;
  const [byHole = Number.NaN, byShaft = Number.NaN] = slopes;
  const { holeFollows, shaftFollows } = fit;
  return (T) =>
    base + byHole * hole(T[holeFollows] ?? Number.NaN) + byShaft * shaft(T[shaftFollows] ?? Number.NaN);
}

/** A function that is linear in its arguments, by its values at the origin and one step along each. */
function linearIn(count: number, f: (x: readonly number[]) => number) {
  const zero = Array.from({ length: count }, () => 0);
  const base = f(zero);
  return { base, slopes: zero.map((_, i) => f(zero.map((__, j) => (i === j ? 1 : 0))) - base) };
}

function interferenceOf(
  plan: CoolDownPlan,
  tables: CoolDownTables,
  at: (slot: Slot) => number,
): ((T: Float64Array) => number) | undefined {
  const { seats, collected } = plan;
  if (collected.gather.missingFor("tightest").length > 0) return undefined;
  const loop = {
    interference: at(seats.interference) as Length,
    ballRadius: (at(seats.ballDiameter) / 2) as Length,
    contactRadius: (at(seats.contact) / 2) as Length,
    seatHeight: at(seats.height) as Length,
  };
  const { base, slopes } = linearIn(3, ([body = 0, ball = 0, seat = 0]) =>
    interferenceRemaining({ ...loop, contraction: { body, ball, seat } }),
  );
  // Several parts of a kind share its length: two seats are half of it each.
  const terms = (["body", "ball", "seat"] as const).flatMap((kind, i) => {
    const shrunk = shrinkage(plan, tables, at, seats[kind]);
    const places = seats.places[kind];
    return places.map((place) => ({ place, shrunk, slope: (slopes[i] ?? Number.NaN) / places.length }));
  });
  return (T) => {
    let sum = base;
    for (const { place, shrunk, slope } of terms) sum += slope * shrunk(T[place] ?? Number.NaN);
    return sum;
  };
}
