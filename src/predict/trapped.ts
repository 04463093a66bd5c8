/**
 * The trapped liquid of one case: the ball's cavity and every declared segment, each with its clock, its
 * relief and its own small band (docs/theory/trapped.md). Fields nobody gave leave their figures out.
 */
import { conditionsOf, type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import {
  type ClosedVolume,
  equilibriumFlux,
  type NeededOpening,
  neededOpening,
  type TrappedFluid,
  timeToPressure,
  trappedFluid,
  trappedStateAt,
  ventedRise,
  type WarmedPressure,
  warmedPressure,
} from "../physics/trapped/index.js";
import type { Area, Power, Pressure, Temperature, Volume } from "../quantity/index.js";
import { type Fluid, fluid, isFluidName, stateAtPressureTemperature } from "../substance/index.js";
import { Gatherer, type Slot } from "./gather.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import { type ReliefSizes, reliefSizes } from "./reliefSizes.js";
import {
  at,
  type Given,
  gatherVolume,
  placeOf,
  relievingPressure,
  seatPressure,
  type TrappedFigure,
  trappedFigures,
  type VolumeSlots,
  ventSide,
} from "./trappedPlan.js";

/** Why a case has no trapped liquid to follow; the fields that are missing, where it is that. */
export type TrappedMedium =
  | { readonly kind: "fluid"; readonly fluid: Fluid }
  | { readonly kind: "none" }
  | { readonly kind: "no equation of state"; readonly name: string }
  | { readonly kind: "unknown"; readonly missing: readonly string[] };

/** Pressure against time of the closed volume without any relief. */
export interface TrappedHistory {
  readonly time_s: readonly number[];
  readonly pressure_Pa: readonly number[];
  readonly temperature_K: readonly number[];
}

/** One volume that can be shut in. Figures: `time` to the rating [s], infinite where warming does not reach it;
 * `warm` pressure without relief [Pa]; `highest` pressure with what relieves it, and `seats` at which they let go [Pa]; `vent` diameter needed [m];
 * `leak` of a downstream vent hole [kg/s]; `area` of the relief device needed [m2]. */
export interface TrappedVolume {
  readonly kind: "cavity" | "segment";
  /** Path of its section. */
  readonly path: string;
  readonly name: string;
  /** Missing fields by figure; empty lists where it is known. */
  readonly missing: Readonly<Record<TrappedFigure, readonly string[]>>;
  readonly figures: OwnFigures;
  readonly history: TrappedHistory | undefined;
  readonly warm: WarmedPressure | undefined;
  /** Highest pressure of the published range of the equation of state [Pa]. */
  readonly published: Pressure | undefined;
  readonly start: { readonly p: Pressure; readonly T: Temperature } | undefined;
  /** Why the fluid of the case cannot be followed in it, as a gas that is no liquid to shut in. */
  readonly unfit: string | undefined;
  /** What the highest pressure of a cavity is bounded by. */
  readonly boundedBy: "warming" | "vent hole" | "seats";
  /** Side to which the hole of a cavity opens, as declared. */
  readonly ventSide: "upstream" | "downstream" | "none" | undefined;
  readonly vent: NeededOpening | undefined;
  readonly relief: ReliefSizes | undefined;
  /** Values as declared, nominal. */
  readonly rating: number | undefined;
}

/** What is shut in, in one case. */
export interface TrappedAnswer {
  readonly medium: TrappedMedium;
  readonly cavity: TrappedVolume | undefined;
  readonly segments: readonly TrappedVolume[];
}

/** What may be shut in in a case. Refuses an unknown case. */
export function trappedMedium(dossier: Dossier, caseId: string): TrappedMedium {
  const { fluid: name } = conditionsOf(dossier, caseId);
  if (name === undefined) return { kind: "unknown", missing: [`${placeOf(dossier, caseId)}.fluid`] };
  if (name === "none") return { kind: "none" };
  return isFluidName(name) ? { kind: "fluid", fluid: fluid(name) } : { kind: "no equation of state", name };
}

/** Follows the cavity of the ball, if one is declared. Refuses an unknown case. */
export function cavityOf(dossier: Dossier, caseId: string, options: Sampling): TrappedVolume | undefined {
  const fields = dossier.valve.valve?.cavity;
  if (fields === undefined) return undefined;
  return fittingVolume(
    dossier,
    caseId,
    { kind: "cavity", path: "valve.cavity", name: "ball cavity", fields },
    options,
  );
}

/** Follows every declared segment of the line. Refuses an unknown case. */
export function segmentsOf(dossier: Dossier, caseId: string, options: Sampling): readonly TrappedVolume[] {
  return (dossier.valve.trapped?.segments ?? []).map((fields, j) =>
    fittingVolume(
      dossier,
      caseId,
      {
        kind: "segment",
        path: `trapped.segments[${j}]`,
        name: fields.name ?? `segment ${j + 1}`,
        fields,
      },
      options,
    ),
  );
}

/** A volume; one whose fluid cannot be followed in it says why. */
function fittingVolume(dossier: Dossier, caseId: string, given: Given, options: Sampling): TrappedVolume {
  try {
    return volumeOf(dossier, caseId, trappedMedium(dossier, caseId), given, options);
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    const unfit = thrown.faults.map(({ found }) => found).join("; ");
    return { ...volumeOf(dossier, caseId, { kind: "none" }, given, options), unfit };
  }
}

function volumeOf(
  dossier: Dossier,
  caseId: string,
  medium: TrappedMedium,
  given: Given,
  options: Sampling,
): TrappedVolume {
  const gather = new Gatherer<TrappedFigure>((path) => isFaulty(dossier, path));
  const slots = gatherVolume(gather, dossier, caseId, given);
  if (medium.kind === "unknown")
    for (const figure of trappedFigures) for (const path of medium.missing) gather.lack(figure, path);
  const missing = Object.fromEntries(trappedFigures.map((figure) => [figure, gather.missingFor(figure)]));
  const missingOf = (figure: TrappedFigure) => missing[figure] ?? [];
  const space = gather.space([], []);
  const values = space.nominal;
  const named = medium.kind === "fluid" ? medium.fluid : undefined;
  const canAnswer = (figure: TrappedFigure) => named !== undefined && missingOf(figure).length === 0;
  const nominal = named === undefined ? undefined : nominalOf(named, given, slots, values, canAnswer);
  const figures = ownFigures(space, trappedFigures, options, (sample) =>
    named === undefined || nominal === undefined
      ? {}
      : figuresOf(named, given, slots, sample, { values, nominal, canAnswer }),
  );
  const trapped = named === undefined || !canAnswer("warm") ? undefined : shutIn(named, slots, values);
  return {
    kind: given.kind,
    path: given.path,
    name: given.name,
    missing: {
      time: missingOf("time"),
      warm: missingOf("warm"),
      highest: missingOf("highest"),
      seats: missingOf("seats"),
      vent: missingOf("vent"),
      leak: missingOf("leak"),
      area: missingOf("area"),
    },
    figures,
    history: trapped === undefined || !canAnswer("time") ? undefined : historyOf(trapped, slots, values),
    warm: nominal?.warm,
    published: named?.validity.pMax,
    start: trapped === undefined ? undefined : { p: trapped.p0, T: trapped.closed.temperature },
    unfit: undefined,
    boundedBy: boundOf(given, slots, values, nominal),
    ventSide: given.kind === "cavity" ? given.fields.vent?.side : undefined,
    vent: nominal?.vent,
    relief: nominal?.relief,
    rating: slots.rating < 0 ? undefined : values[slots.rating],
  };
}

function shutIn(named: Fluid, slots: VolumeSlots, values: Float64Array): TrappedFluid {
  const closed: ClosedVolume = {
    fluid: named,
    volume: at(values, slots.volume) as Volume,
    pressure: at(values, slots.closing) as Pressure,
    temperature: at(values, slots.temperature) as Temperature,
    fill: slots.fill < 0 ? 1 : at(values, slots.fill),
    wallStiffness: slots.wallStiffness < 0 ? undefined : at(values, slots.wallStiffness),
  };
  return trappedFluid(closed);
}

/** What is computed once, at the nominal values. */
interface NominalParts {
  readonly warm: WarmedPressure | undefined;
  readonly vent: NeededOpening | undefined;
  /** Flux of the upstream liquid through a hole to the downstream side [kg/(m2 s)]. */
  readonly leakFlux: number | undefined;
  /** Rise of the cavity over the line with the vent hole open [Pa]. */
  readonly ventRise: number | undefined;
  readonly relief: ReliefSizes | undefined;
}

function nominalOf(
  named: Fluid,
  given: Given,
  slots: VolumeSlots,
  values: Float64Array,
  canAnswer: (figure: TrappedFigure) => boolean,
): NominalParts {
  const of = (slot: Slot) => at(values, slot);
  const coldest = of(slots.temperature) as Temperature;
  const warmest = of(slots.ambient) as Temperature;
  const side = ventSide(given, slots, values);
  const rating = of(slots.rating) as Pressure;
  const hasVent = given.kind === "cavity" && canAnswer("vent") && side !== undefined && side < rating;
  const way = { fluid: named, coldest, warmest };
  const back = of(slots.back) as Pressure;
  return {
    warm: canAnswer("warm") ? warmedPressure(shutIn(named, slots, values), warmest) : undefined,
    vent: hasVent ? neededOpening({ ...way, pressure: rating, behind: side }) : undefined,
    leakFlux:
      given.kind === "cavity" && canAnswer("leak") && back < of(slots.supply)
        ? equilibriumFlux(
            named,
            stateAtPressureTemperature(named, of(slots.supply) as Pressure, coldest),
            back,
          )
        : undefined,
    ventRise:
      hasVent && canAnswer("leak")
        ? ventedRise(
            { ...way, pressure: side, behind: side },
            of(slots.heat) as Power,
            of(slots.ventDischarge) * holeArea(of(slots.ventDiameter)),
          )
        : undefined,
    relief:
      given.kind === "segment" && canAnswer("area")
        ? reliefSizes(named, {
            coldest,
            warmest,
            heat: of(slots.heat) as Power,
            relieving: relievingPressure(slots, values),
            behind: of(slots.behindRelief) as Pressure,
            Kd: of(slots.reliefDischarge),
          })
        : undefined,
  };
}

function holeArea(diameter: number): Area {
  return ((Math.PI / 4) * diameter ** 2) as Area;
}

function boundOf(
  given: Given,
  slots: VolumeSlots,
  values: Float64Array,
  nominal: NominalParts | undefined,
): TrappedVolume["boundedBy"] {
  const warm = nominal?.warm?.p ?? Number.POSITIVE_INFINITY;
  const side = ventSide(given, slots, values);
  const vented =
    side === undefined || nominal?.ventRise === undefined
      ? Number.POSITIVE_INFINITY
      : side + nominal.ventRise;
  const seats = seatPressure(given, slots, values) ?? Number.POSITIVE_INFINITY;
  if (warm <= Math.min(vented, seats)) return "warming";
  return vented <= seats ? "vent hole" : "seats";
}

/** The figures of one sample. Openings scale from the nominal ones: with the heat leak, inversely with the
 * discharge coefficient and with the root of the pressure difference. */
function figuresOf(
  named: Fluid,
  given: Given,
  slots: VolumeSlots,
  values: Float64Array,
  base: {
    readonly values: Float64Array;
    readonly nominal: NominalParts;
    readonly canAnswer: (figure: TrappedFigure) => boolean;
  },
): Readonly<Record<string, number>> {
  const of = (slot: Slot) => at(values, slot);
  const was = (slot: Slot) => at(base.values, slot);
  const { canAnswer, nominal } = base;
  const q = of(slots.heat) as Power;
  const trapped = canAnswer("warm") ? shutIn(named, slots, values) : undefined;
  const warmest = of(slots.ambient) as Temperature;
  const warm =
    trapped === undefined
      ? Number.NaN
      : values === base.values
        ? (nominal.warm?.p ?? Number.NaN)
        : warmedPressure(trapped, warmest).p;
  const time =
    trapped === undefined || !canAnswer("time")
      ? Number.NaN
      : (timeToPressure(trapped, of(slots.rating) as Pressure, q, warmest) ?? Number.POSITIVE_INFINITY);
  const side = ventSide(given, slots, values);
  const rise =
    nominal.ventRise === undefined
      ? undefined
      : nominal.ventRise *
        ((q / was(slots.heat)) *
          (was(slots.ventDischarge) / of(slots.ventDischarge)) *
          (was(slots.ventDiameter) / of(slots.ventDiameter)) ** 2) **
          2;
  const bounds = [
    warm,
    side === undefined || rise === undefined ? Number.POSITIVE_INFINITY : side + rise,
    seatPressure(given, slots, values) ?? Number.POSITIVE_INFINITY,
  ];
  return {
    time,
    warm,
    highest: Math.min(...bounds),
    seats: seatPressure(given, slots, values) ?? Number.NaN,
    vent: ventDiameter(nominal.vent, q, of(slots.ventDischarge), {
      now: of(slots.rating) - (side ?? Number.NaN),
      nominal: was(slots.rating) - (ventSide(given, slots, base.values) ?? Number.NaN),
    }),
    leak:
      nominal.leakFlux === undefined
        ? Number.NaN
        : of(slots.ventDischarge) *
          holeArea(of(slots.ventDiameter)) *
          nominal.leakFlux *
          Math.sqrt((of(slots.supply) - of(slots.back)) / (was(slots.supply) - was(slots.back))),
    area: reliefArea(nominal.relief, slots, values, base.values),
  };
}

function ventDiameter(
  needed: NeededOpening | undefined,
  q: number,
  Cd: number,
  room: { readonly now: number; readonly nominal: number },
): number {
  if (needed === undefined) return Number.NaN;
  const area = ((needed.area_m2_W * q) / Cd) * Math.sqrt(room.nominal / room.now);
  return Math.sqrt((4 * area) / Math.PI);
}

function reliefArea(
  sizes: ReliefSizes | undefined,
  slots: VolumeSlots,
  values: Float64Array,
  nominal: Float64Array,
): number {
  if (sizes === undefined) return Number.NaN;
  const room = (from: Float64Array) => relievingPressure(slots, from) - at(from, slots.behindRelief);
  return (
    sizes.largest.area *
    (at(values, slots.heat) / at(nominal, slots.heat)) *
    (at(nominal, slots.reliefDischarge) / at(values, slots.reliefDischarge)) *
    Math.sqrt(room(nominal) / room(values))
  );
}

/** Points of a history, and how far past the rating it is drawn [-]. */
const historyPoints = 49;
const beyondRating = 1.25;

function historyOf(trapped: TrappedFluid, slots: VolumeSlots, values: Float64Array): TrappedHistory {
  const q = at(values, slots.heat);
  const warmest = at(values, slots.ambient) as Temperature;
  const end = Math.min(warmedPressure(trapped, warmest).p, beyondRating * at(values, slots.rating));
  const states = Array.from({ length: historyPoints }, (_, j) => {
    const share = j / (historyPoints - 1);
    return trappedStateAt(trapped, (trapped.p0 + share * (end - trapped.p0)) as Pressure);
  }).flatMap((state) => (state === undefined ? [] : [state]));
  return {
    time_s: states.map(({ heat }) => heat / q),
    pressure_Pa: states.map(({ p }) => p),
    temperature_K: states.map(({ T }) => T),
  };
}
