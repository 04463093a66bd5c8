/** Breakaway peak, bounce, flow onset and trip: events beside the stroke's own. */

import { movingAverage } from "../../numerics/index.js";
import type { EventId } from "../../physics/motion/index.js";
import type { CornerShape } from "./corner.js";
import { type DetectedEvent, type EventChannel, found, missing } from "./event.js";
import { bracketed } from "./instant.js";
import { peakInstant, reboundShapes } from "./peak.js";
import { restOf } from "./rest.js";
import { departureSide, leaving } from "./side.js";
import { resolutionStep } from "./staircase.js";
import { findStroke, type Signal, type Stroke } from "./stroke.js";

/** What these events are looked for in. */
export interface MoreChannels {
  readonly angle: Signal;
  readonly stroke: Stroke | undefined;
  readonly current: Signal | undefined;
  readonly torque: Signal | undefined;
  readonly flow: Signal | undefined;
  /** When the command goes back, if it does [s]. */
  readonly next_s: number;
}

/** A peak, a fall or a rebound stands out of the noise by this many of it. */
const clearly = 8;
const smoothHalf = 1;

/** The four events; `known` are the ones found so far. */
export function moreEvents(
  channels: MoreChannels,
  known: readonly DetectedEvent[],
): readonly DetectedEvent[] {
  const at = (id: EventId) => {
    const event = known.find((one) => one.id === id);
    return event?.found === true ? event.time_s : undefined;
  };
  return [breakawayPeak(channels, at), bounce(channels), flowOnset(channels, at), trip(channels, at)];
}

type InstantOf = (id: EventId) => number | undefined;

function breakawayPeak({ current, torque, next_s }: MoreChannels, at: InstantOf): DetectedEvent {
  const id = "breakaway peak";
  const signal = torque ?? current;
  const channel: EventChannel = torque === undefined ? "current" : "torque";
  if (signal === undefined) return missing(id, "no channel holds the motor current or a torque");
  const from = at("command") ?? at("current") ?? at("first motion");
  const motion = at("first motion");
  const to = at("90 % travel") ?? at("end of travel") ?? Math.min(next_s, signal.time_s.at(-1) ?? next_s);
  if (from === undefined || motion === undefined)
    return missing(id, "the command, or the motion it belongs to, is not known");
  const rise = risen(signal, from);
  // The peak lies before half of the way from first motion to 90 % of the travel.
  const top = largest(rise.height, signal.time_s, from, motion + (to - motion) / 2);
  if (top === undefined) return missing(id, `the ${channel} has no reading there`);
  const height = rise.height[top] ?? 0;
  const after = smallest(rise.height, signal.time_s, signal.time_s[top] ?? 0, Math.min(to, next_s));
  if (!(height - after > clearly * rise.noise && height > clearly * rise.noise))
    return missing(id, `the ${channel} does not fall again by more than its noise: it has no peak`);
  const instant = peakInstant(
    {
      time_s: signal.time_s,
      value: rise.raw,
      noise: rise.raw.map(() => rise.noise),
      correlation: rise.correlation,
    },
    top,
    height - after,
  );
  return instant === undefined
    ? missing(id, `too few readings of the ${channel} lie on either side of its peak`)
    : found(id, channel, instant, `shapes of a peak fitted to the ${channel}`);
}

interface Risen {
  /** Smoothed and raw height above the rest, positive along the change. */
  readonly height: Float64Array;
  readonly raw: Float64Array;
  readonly noise: number;
  readonly correlation: number;
}

function risen({ time_s, value }: Signal, from_s: number): Risen {
  const before = time_s.findIndex((t) => t >= from_s);
  const step = resolutionStep(value);
  const spread = value.reduce((a, v) => Math.max(a, Math.abs(v - (value[0] ?? 0))), 0);
  const rest = restOf(value.subarray(0, Math.max(before, 2)), step, 1e-6 * spread);
  const largestUp = value.reduce((a, v) => Math.max(a, v - rest.level), 0);
  const largestDown = value.reduce((a, v) => Math.max(a, rest.level - v), 0);
  const sense = largestUp >= largestDown ? 1 : -1;
  const raw = value.map((v) => sense * (v - rest.level));
  return {
    height: movingAverage(raw, smoothHalf).values,
    raw,
    noise: rest.noise,
    correlation: rest.correlation,
  };
}

function largest(values: Float64Array, time: Float64Array, from: number, to: number): number | undefined {
  let best: number | undefined;
  for (let i = 0; i < values.length; i++) {
    const t = time[i] ?? 0;
    if (t < from || t > to) continue;
    if (best === undefined || (values[i] ?? 0) > (values[best] ?? 0)) best = i;
  }
  return best;
}

function smallest(values: Float64Array, time: Float64Array, from: number, to: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    const t = time[i] ?? 0;
    if (t >= from && t <= to) least = Math.min(least, values[i] ?? 0);
  }
  return least;
}

/** A rebound is looked for up to this share of the travel before the stop. */
const reboundFrom = 0.9;

/** The instant at which a ball that met its stop has rebounded furthest. */
function bounce({ angle, stroke }: MoreChannels): DetectedEvent {
  const id = "bounce";
  if (stroke === undefined) return missing(id, "the angle does not move");
  const { smooth, until, sense, start, end, noise, step } = stroke;
  const top = sense * (end - start);
  const noiseNow = Math.max(noise, step / Math.sqrt(12), 1e-7 * top);
  const least = Math.max(clearly * noiseNow, 2 * step);
  // First contact: the first local maximum above the share that is followed by a clear fall.
  let contact = -1;
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < until; i++) {
    const h = smooth[i] ?? 0;
    if (h < reboundFrom * top) continue;
    if (h > highest) {
      highest = h;
      contact = i;
    } else if (highest - h > least) break;
  }
  if (contact < 0) return missing(id, "the ball does not reach its stop");
  let low = contact;
  for (let i = contact; i < until; i++) {
    const h = smooth[i] ?? 0;
    if (h < (smooth[low] ?? 0)) low = i;
    else if (h - (smooth[low] ?? 0) > least && (smooth[contact] ?? 0) - (smooth[low] ?? 0) > least) break;
  }
  const depth = (smooth[contact] ?? 0) - (smooth[low] ?? 0);
  if (!(depth > least)) return missing(id, "the angle does not rebound by more than its noise");
  const raw = angle.value.subarray(0, until).map((v) => -sense * (v - start));
  const instant = peakInstant(
    {
      time_s: angle.time_s.subarray(0, until),
      value: raw,
      noise: raw.map(() => noiseNow),
      correlation: 1,
    },
    low,
    depth,
    reboundShapes,
  );
  return instant === undefined
    ? missing(id, "too few readings of the angle show the rebound")
    : found(id, "angle", instant, "shapes of a peak fitted to the rebound");
}

/** A flow sets in with a jump of its rate where the port opens on a full line, or of the rate's rate. Weights: common practice, no source. */
const flowShapes: readonly CornerShape[] = [
  { powers: [1], weight: 0.1 },
  { powers: [1, 2], weight: 0.3 },
  { powers: [1, 2, 3], weight: 0.2 },
  { powers: [2], weight: 0.1 },
  { powers: [2, 3], weight: 0.2 },
  { powers: [2, 3, 4], weight: 0.1 },
];

/** The instant at which the flow leaves its rest. */
function flowOnset({ flow, next_s }: MoreChannels, at: InstantOf): DetectedEvent {
  const id = "flow onset";
  if (flow === undefined) return missing(id, "no channel holds the flow");
  const begin = at("command") ?? at("first motion");
  const end = flow.time_s.findIndex((t) => t >= next_s);
  const whole = end < 0 ? flow.time_s.length : end;
  const signal = { time_s: flow.time_s.subarray(0, whole), value: flow.value.subarray(0, whole) };
  const rests = begin === undefined ? 0 : signal.time_s.filter((t) => t < begin).length;
  const change = findStroke(signal, rests);
  if (!("sense" in change)) return missing(id, "the flow does not leave its rest by more than its noise");
  const { corner, how } = leaving(departureSide(signal, change), flowShapes);
  return found(id, "flow", corner, how);
}

/** Share of its level below which a current has been cut, and readings that show it. */
const cutShare = 0.1;
const cutRun = 3;

/** The instant at which the driver cuts the current although the command stands and the ball is under way. */
function trip({ current, next_s, stroke, angle }: MoreChannels, at: InstantOf): DetectedEvent {
  const id = "trip";
  if (current === undefined) return missing(id, "no channel holds the motor current");
  const from = at("current") ?? at("first motion");
  if (from === undefined) return missing(id, "the current does not set in");
  const arrived = at("end of travel");
  const { time_s } = current;
  const { height, raw, noise } = risen(current, from);
  const level = levelBefore(height, time_s, from, Math.min(next_s, arrived ?? Number.POSITIVE_INFINITY));
  let run = 0;
  let wasOn = false;
  for (let i = 0; i < height.length; i++) {
    const t = time_s[i] ?? 0;
    if (t <= from || t >= next_s) continue;
    const isCut = (raw[i] ?? 0) < Math.max(cutShare * level, 3 * noise) && level > clearly * noise;
    run = isCut && wasOn ? run + 1 : 0;
    if ((raw[i] ?? 0) > level / 2) wasOn = true;
    if (run < cutRun) continue;
    const first = i - cutRun + 1;
    const at_s = time_s[first] ?? 0;
    if (arrived !== undefined && at_s >= Math.min(arrived, reachesStop(angle, stroke)))
      return missing(id, "the current is cut at the end of travel, as it should be");
    let last = first - 1;
    // Back to the last reading that still stood at its level.
    while (last > 0 && (raw[last - 1] ?? 0) - (raw[last] ?? 0) > clearly * noise) last--;
    return found(
      id,
      "current",
      bracketed(time_s[last] ?? at_s, time_s[last + 1] ?? at_s),
      "between two samples",
    );
  }
  return missing(id, "the current is not cut while the command stands");
}

/** A ball beyond this share of its travel meets its stop, from which it may rebound before it rests. */
const atStop = 0.95;

/** When the ball first comes near its stop: a limit switch there cuts the current before a rebound has died out. */
function reachesStop(angle: Signal, stroke: Stroke | undefined): number {
  if (stroke === undefined) return Number.POSITIVE_INFINITY;
  const top = Math.abs(stroke.end - stroke.start);
  const first = stroke.smooth.findIndex((h) => h >= atStop * top);
  return angle.time_s[first] ?? Number.POSITIVE_INFINITY;
}

/** Median size of the current while it flows. */
function levelBefore(height: Float64Array, time: Float64Array, from: number, to: number): number {
  const within = height.filter((_, i) => (time[i] ?? 0) > from && (time[i] ?? 0) < to);
  const top = within.reduce((a, h) => Math.max(a, h), 0);
  const flowing = within.filter((h) => h > top / 4).sort();
  return flowing[Math.floor(flowing.length / 2)] ?? 0;
}
