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

/** Signal without its gaps and outside a window cut off. */
export function signalOf(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  from: number,
  to: number,
): Signal {
  const kept: number[] = [];
  for (let i = 0; i < time_s.length; i++) {
    const t = time_s[i] ?? Number.NaN;
    if (t >= from && t <= to && Number.isFinite(values[i])) kept.push(i);
  }
  const pick = (source: ArrayLike<number>) => Float64Array.from(kept, (i) => source[i] ?? 0);
  return { time_s: pick(time_s), value: pick(values) };
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
  const start = median(clean.subarray(0, Math.max(rests, Math.min(5, n), Math.floor(n / 50))));
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

/** Deviation of one sample from differences of neighbours: blind to slow motion. */
function scatterOf(value: Float64Array): number {
  const bends = Array.from({ length: Math.max(0, value.length - 2) }, (_, i) =>
    Math.abs((value[i] ?? 0) - 2 * (value[i + 1] ?? 0) + (value[i + 2] ?? 0)),
  );
  // 1.4826 turns a median deviation into a normal's; the bend of three samples has variance 6 s^2.
  return bends.length === 0 ? 0 : (1.4826 * median(bends)) / Math.sqrt(6);
}
