/** Opening and closing strokes of a sample, and their times by every definition. */
import {
  type EventId,
  type LoopSettings,
  type ProfileKind,
  positionController,
  type RigidTrain,
  runStroke,
  type Stroke,
  type StrokePath,
  timeDefinitions,
} from "../physics/motion/index.js";
import type { Angle, Time, Torque } from "../quantity/index.js";
import type { Plan } from "./plan.js";
import { openings, type ValveSample } from "./valveSample.js";

export type Sense = "opening" | "closing";

/** Travelled shares whose passing times a band of the whole path needs besides [-]. */
export const pathLevels = [0.1, 0.25, 0.5, 0.75] as const;
/** Travelled shares whose passing is timed, ascending: those of the events and of the path [-]. */
const timedShares = [0.1, 0.25, 0.5, 0.75, 0.9, 0.99] as const;
/** Which of them an event passes. */
const sharePassed: Partial<Record<EventId, (typeof timedShares)[number]>> = {
  "10 % travel": 0.1,
  "90 % travel": 0.9,
  "99 % travel": 0.99,
};
const levelPlaces = pathLevels.map((level) => timedShares.indexOf(level));
/** Flow share at which an opening counts as passing flow; on closing, the share it has lost. */
const flowShare = 0.9;
/**
 * A stroke that neither arrives nor stalls is followed this long under full drive and under a profile
 * [s], or this many planned durations of the profile, or this many limits of the duty: the longest.
 */
const longestStroke = { full: 10, profile: 3 } as const;
const profileOverrun = 3;
const limitOverrun = 2;
/** A stroke left at rest short of this share of the travel has not opened, or closed, the valve [-]. */
const doneShare = 0.98;

/** Travelled angle at which the flow has made 90 % of its change, or undefined without flow [rad]. */
export function flowMark(sample: ValveSample, sense: Sense): number | undefined {
  const { massFlow, angles } = sample;
  const full = massFlow[openings - 1] ?? 0;
  if (!(full > 0)) return undefined;
  const target = sense === "opening" ? flowShare * full : (1 - flowShare) * full;
  for (let j = 1; j < openings; j++) {
    const high = massFlow[j] ?? 0;
    if (high < target) continue;
    const low = massFlow[j - 1] ?? 0;
    const a0 = angles[j - 1] ?? 0;
    const a1 = angles[j] ?? 0;
    const angle = a0 + ((a1 - a0) * (target - low)) / (high - low);
    return sense === "opening" ? angle : (angles[openings - 1] ?? 0) - angle;
  }
  return undefined;
}

export interface StrokeTimes {
  readonly stroke: Stroke;
  /** By definition, in the order of `timeDefinitions`; NaN where an event did not happen [s]. */
  readonly times: readonly number[];
  /** From command to each of `pathLevels`; NaN where it was not passed [s]. */
  readonly path: readonly number[];
}

/** One stroke of a train. @param mark travelled angle of the flow event, if there is flow [rad] */
export function strokeOf(
  plan: Plan,
  sample: ValveSample,
  train: RigidTrain,
  sense: Sense,
  mark: number | undefined,
  options: { readonly path?: StrokePath; readonly tolerance?: number; readonly horizon?: number } = {},
): StrokeTimes {
  const sign = sense === "opening" ? 1 : -1;
  const { marks, flowPlace } = marksOf(train.travel, mark);
  const start = (sense === "opening" ? 0 : train.travel) as Angle;
  const settings = plan.command === "full" ? undefined : loopSettings(sample, plan.command);
  // The dwell is that of a valve that stood closed; one that closes stood open, and was not loaded.
  const moved = sense === "opening" ? train : { ...train, dwellTorque: 0 as Torque };
  const stroke = runStroke(moved, {
    sense: sign,
    start,
    horizon: (options.horizon ?? horizonOf(plan, sense, settings, train.deadTime)) as Time,
    marks,
    buffers: sample.strokeBuffers,
    ...(settings === undefined ? {} : { controller: positionController(train, sign, start, settings) }),
    ...(options.path === undefined ? {} : { path: options.path }),
    ...(options.tolerance === undefined ? {} : { tolerance: options.tolerance }),
  });
  return { stroke, ...timesOf(stroke, train.deadTime, flowPlace) };
}

/** Marks of a stroke in ascending order: the timed shares of the travel, and the flow's among them if there is flow. */
function marksOf(
  travel: number,
  flow: number | undefined,
): { readonly marks: Float64Array; readonly flowPlace: number } {
  const count = timedShares.length;
  if (flow === undefined)
    return { marks: Float64Array.from(timedShares, (share) => share * travel), flowPlace: count };
  const marks = new Float64Array(count + 1);
  let flowPlace = 0;
  for (let k = 0; k < count; k++) {
    const angle = (timedShares[k] ?? Number.NaN) * travel;
    if (angle <= flow) flowPlace = k + 1;
    marks[angle <= flow ? k : k + 1] = angle;
  }
  marks[flowPlace] = flow;
  return { marks, flowPlace };
}

function timesOf(
  stroke: Stroke,
  deadTime: number,
  flowPlace: number,
): { readonly times: readonly number[]; readonly path: readonly number[] } {
  const { markTimes } = stroke;
  const hasFlow = markTimes.length > timedShares.length;
  const passed = (share: number) => markTimes[share < flowPlace ? share : share + 1] ?? Number.NaN;
  const eventTime = (event: EventId): number => {
    switch (event) {
      case "command":
        return 0;
      case "current":
        return deadTime;
      case "first motion":
        return stroke.firstMotion ?? Number.NaN;
      case "end of travel":
        return stroke.arrival ?? Number.NaN;
      case "90 % flow":
        return hasFlow ? (markTimes[flowPlace] ?? Number.NaN) : Number.NaN;
      default: {
        const share = sharePassed[event];
        return share === undefined ? Number.NaN : passed(timedShares.indexOf(share));
      }
    }
  };
  const times: number[] = [];
  for (const { from, to } of timeDefinitions) times.push(eventTime(to) - eventTime(from));
  const path: number[] = [];
  for (const place of levelPlaces) path.push(passed(place));
  return { times, path };
}

function horizonOf(plan: Plan, sense: Sense, settings: LoopSettings | undefined, deadTime: number): number {
  const duty = plan.dossier.valve.duty;
  const limit = (sense === "opening" ? duty?.open_within : duty?.close_within)?.time?.value ?? 0;
  const least =
    settings === undefined
      ? longestStroke.full + deadTime
      : Math.max(longestStroke.profile, profileOverrun * settings.duration + deadTime);
  return Math.max(least, limitOverrun * limit);
}

/**
 * Whether a stroke did what it was for. Late is not failed: a stroke still on its way when it was
 * followed no further is neither, unless all but the last 2 % of its travel is done.
 * @returns undefined where it was not followed far enough to say
 */
export function isDone(stroke: Stroke, sense: Sense, travel: number): boolean | undefined {
  if (stroke.outcome === "arrived") return true;
  if (stroke.outcome === "stalled") return false;
  const travelled = sense === "opening" ? stroke.angle : travel - stroke.angle;
  if (travelled >= doneShare * travel) return true;
  return isAtRest(stroke, travel) ? false : undefined;
}

/** A ball that would pass less than this share of the travel in as long again as it was followed has stopped [-]. */
const restingShare = 0.01;

function isAtRest({ speed, end }: Stroke, travel: number): boolean {
  return Math.abs(speed) * end < restingShare * travel;
}

/** Settings of the position loop that a profile is followed with. */
export function loopSettings(sample: ValveSample, kind: ProfileKind): LoopSettings {
  const { slots } = sample.plan;
  return {
    kind,
    duration: sample.at(slots.profileDuration) as Time,
    sampleTime: sample.at(slots.sampleTime) as Time,
    positionGain: sample.at(slots.positionGain),
    speedBandwidth: sample.at(slots.speedBandwidth),
  };
}
