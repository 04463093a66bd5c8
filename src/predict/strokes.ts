/** Opening and closing strokes of a sample, and their times by every definition. */
import {
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

/** Travelled shares of the stroke whose passing times the definitions use. */
const travelShares = [0.1, 0.9, 0.99] as const;
/** Travelled shares whose passing times a band of the whole path needs besides [-]. */
export const pathLevels = [0.1, 0.25, 0.5, 0.75] as const;
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
  const shares: { angle: number; event: string }[] = [
    { angle: travelShares[0] * train.travel, event: "10 % travel" },
    { angle: travelShares[1] * train.travel, event: "90 % travel" },
    { angle: travelShares[2] * train.travel, event: "99 % travel" },
  ];
  const levelEvent = (level: number) => `level ${level}`;
  for (const level of pathLevels) shares.push({ angle: level * train.travel, event: levelEvent(level) });
  if (mark !== undefined) shares.push({ angle: mark, event: "90 % flow" });
  shares.sort((a, b) => a.angle - b.angle);
  const start = (sense === "opening" ? 0 : train.travel) as Angle;
  const settings = plan.command === "full" ? undefined : loopSettings(sample, plan.command);
  // The dwell is that of a valve that stood closed; one that closes stood open, and was not loaded.
  const moved = sense === "opening" ? train : { ...train, dwellTorque: 0 as Torque };
  const stroke = runStroke(moved, {
    sense: sign,
    start,
    horizon: (options.horizon ?? horizonOf(plan, sense, settings, train.deadTime)) as Time,
    marks: Float64Array.from(shares, ({ angle }) => angle),
    ...(settings === undefined ? {} : { controller: positionController(train, sign, start, settings) }),
    ...(options.path === undefined ? {} : { path: options.path }),
    ...(options.tolerance === undefined ? {} : { tolerance: options.tolerance }),
  });
  const eventTime = (event: string): number => {
    switch (event) {
      case "command":
        return 0;
      case "current":
        return train.deadTime;
      case "first motion":
        return stroke.firstMotion ?? Number.NaN;
      case "end of travel":
        return stroke.arrival ?? Number.NaN;
      default: {
        const j = shares.findIndex((row) => row.event === event);
        return j < 0 ? Number.NaN : (stroke.markTimes[j] ?? Number.NaN);
      }
    }
  };
  return {
    stroke,
    times: timeDefinitions.map(({ from, to }) => eventTime(to) - eventTime(from)),
    path: pathLevels.map((level) => eventTime(levelEvent(level))),
  };
}

function horizonOf(plan: Plan, sense: Sense, settings: LoopSettings | undefined, deadTime: number): number {
  const duty = plan.dossier.valve.duty;
  const limit = (sense === "opening" ? duty?.open_within : duty?.close_within)?.time?.value ?? 0;
  const least =
    settings === undefined
      ? longestStroke.full
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
  return isAtRest(stroke) ? false : undefined;
}

/** A stroke whose motion holds less than this share of the energy supplied has stopped [-]. */
const restingEnergy = 1e-6;

function isAtRest({ ledger }: Stroke): boolean {
  return Math.abs(ledger.entries.kinetic) <= restingEnergy * Math.abs(ledger.entries.supplied);
}

function loopSettings(sample: ValveSample, kind: ProfileKind): LoopSettings {
  const { slots } = sample.plan;
  return {
    kind,
    duration: sample.at(slots.profileDuration) as Time,
    sampleTime: sample.at(slots.sampleTime) as Time,
    positionGain: sample.at(slots.positionGain),
    speedBandwidth: sample.at(slots.speedBandwidth),
  };
}
