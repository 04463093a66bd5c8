/** The first whole stroke in a signal: from which rest to which, and roughly when. */
import { median, movingAverage, movingMedian } from "../../numerics/index.js";
import { resolutionStep } from "./staircase.js";

/** A signal without gaps. */
export interface Signal {
  readonly time_s: Float64Array;
  readonly value: Float64Array;
}

/** One stroke of a signal, by sample numbers. Heights count from the first rest, positive along the stroke. */
export interface Stroke {
  readonly sense: 1 | -1;
  readonly start: number;
  readonly end: number;
  /** Last sample at the first rest and first sample at the second, as far as the noise lets see. */
  readonly leaves: number;
  readonly arrives: number;
  /** First sample past the stroke: the signal returns, or the record ends. */
  readonly until: number;
  /** Smoothed height at each sample. */
  readonly smooth: Float64Array;
  readonly noise: number;
  readonly step: number;
}

/** Why there is no stroke. */
export interface NoStroke {
  readonly largest: number;
  readonly noise: number;
}

/** Fewer readings show no stroke. */
export const leastSamples = 8;
const medianHalfWidth = 1;
/** Noise, as a share of the stroke, from which the average takes in one more sample on either side. */
const averageFrom = [0.001, 0.005];
/** A signal moves if it leaves its rest by this many of its noise. */
const clearly = 8;
/** The rest ends where the smoothed signal leaves it by this many of the smoothed noise. */
const leavesAt = 4;
/** A stroke ends where the signal falls back by this share of it. */
const fallsBack = 0.05;

/** Samples at the start that are taken for the rest if the command does not show it: at least, and as a share. */
const leastKnown = 5;
const startShare = 1 / 50;
/** A change is clear from this share of the largest, in so many samples running; the rest ends at this share of the way to it. */
const clearChange = 0.25;
const changeRun = 3;
const ahead = 0.8;

/** Signal without its gaps and outside a window cut off. */
export function signalOf(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  from: number,
  to: number,
): Signal {
  const times = new Float64Array(time_s.length);
  const kept = new Float64Array(time_s.length);
  let count = 0;
  for (let i = 0; i < time_s.length; i++) {
    const t = time_s[i] ?? Number.NaN;
    const v = values[i] ?? Number.NaN;
    if (!(t >= from && t <= to && Number.isFinite(v))) continue;
    times[count] = t;
    kept[count++] = v;
  }
  return { time_s: times.subarray(0, count), value: kept.subarray(0, count) };
}

/**
 * Finds the first stroke.
 *
 * @param signal  without gaps, time ascending
 * @param rests   number of samples at the start that are known to be at rest; 0 if not known
 */
export function findStroke(signal: Signal, rests: number): Stroke | NoStroke {
  const { value } = signal;
  const n = value.length;
  if (n < leastSamples) return { largest: 0, noise: 0 };
  const step = resolutionStep(value);
  const noise = Math.max(scatterOf(value), step / Math.sqrt(12));
  const despiked = movingMedian(value, medianHalfWidth).values;
  const span = despiked.reduce((a, v) => Math.max(a, Math.abs(v - (despiked[0] ?? 0))), 0);
  const halfWidth = averageFrom.filter((share) => noise > share * span).length;
  const clean = movingAverage(despiked, halfWidth).values;
  const resting = rests >= leastKnown ? rests : Math.max(leastKnown, restingAtStart(clean, startShare));
  const start = median(clean.subarray(0, resting));
  const height = clean.map((v) => v - start);
  const largest = height.reduce((a, h) => (Math.abs(h) > Math.abs(a) ? h : a), 0);
  const size = Math.abs(largest);
  if (!(size > clearly * noise) || size <= 2 * step) return { largest, noise };
  const sense = largest > 0 ? 1 : -1;
  const smooth = height.map((h) => sense * h);
  const first = smooth.findIndex((h) => h >= (1 - fallsBack) * size);
  let until = first;
  while (until < n && (smooth[until] ?? 0) >= (1 - 2 * fallsBack) * size) until++;
  const end = start + sense * median(smooth.subarray(first + Math.floor(0.6 * (until - first)), until));
  const top = sense * (end - start);
  const tolerance = Math.max((leavesAt * noise) / Math.sqrt(2 * halfWidth + 1), 1.05 * step, 1e-4 * top);
  const half = smooth.findIndex((h) => h >= top / 2);
  let leaves = half;
  while (leaves > 0 && (smooth[leaves] ?? 0) > tolerance) leaves--;
  let arrives = half;
  while (arrives < until - 1 && (smooth[arrives] ?? 0) < top - tolerance) arrives++;
  return { sense, start, end, leaves, arrives, until, smooth, noise, step };
}

/**
 * Number of samples at the start that a signal rests: a share of the record, but not beyond the first clear
 * change. A long record in which a signal is away from its rest for most of the time has a short rest.
 */
export function restingAtStart(value: Float64Array, share: number): number {
  const level = median(value.subarray(0, Math.min(leastKnown, value.length)));
  const span = value.reduce((a, v) => Math.max(a, Math.abs(v - level)), 0);
  const most = Math.floor(share * value.length);
  let run = 0;
  for (let i = 0; i < most; i++) {
    run = Math.abs((value[i] ?? 0) - level) > clearChange * span ? run + 1 : 0;
    // A change is not sudden: what leads up to it is no rest either.
    if (run === changeRun) return Math.floor(ahead * (i - changeRun + 1));
  }
  return most;
}

/** Deviation of one sample from differences of neighbours: blind to slow motion. */
function scatterOf(value: Float64Array): number {
  const bends = new Float64Array(Math.max(0, value.length - 2));
  for (let i = 0; i < bends.length; i++)
    bends[i] = Math.abs((value[i] ?? 0) - 2 * (value[i + 1] ?? 0) + (value[i + 2] ?? 0));
  // 1.4826 turns a median deviation into a normal's; the bend of three samples has variance 6 s^2.
  return bends.length === 0 ? 0 : (1.4826 * median(bends)) / Math.sqrt(6);
}
