/**
 * One end of a stroke, always looked at in the same way: a signal rests at 0 and rises. The start of
 * a stroke is its own side; the end is a side seen backwards in time and counted from the last rest.
 */
import { type Corner, type CornerShape, cornerInstant } from "./corner.js";
import { bracketed, type Instant, widened } from "./instant.js";
import { type Rest, restOf } from "./rest.js";
import type { Samples } from "./series.js";
import { edges } from "./staircase.js";
import type { Signal, Stroke } from "./stroke.js";

/** A rest followed by a rise. */
export interface Side {
  readonly time_s: Float64Array;
  /** Height above the rough level of the rest, rising. */
  readonly height: Float64Array;
  /** The same, smoothed. */
  readonly smooth: Float64Array;
  /** Last sample at rest, as far as the noise lets see. */
  readonly leaves: number;
  /** Height of the whole stroke, > 0. */
  readonly top: number;
  readonly noise: number;
  readonly step: number;
}

/** The side at which a stroke begins. */
export function departureSide(signal: Signal, stroke: Stroke): Side {
  const { sense, start, end, until, smooth, leaves, noise, step } = stroke;
  return {
    time_s: signal.time_s.subarray(0, until),
    height: signal.value.subarray(0, until).map((v) => sense * (v - start)),
    smooth: smooth.subarray(0, until),
    leaves,
    top: sense * (end - start),
    noise,
    step,
  };
}

/** The side at which a stroke ends, backwards in time. */
export function arrivalSide(signal: Signal, stroke: Stroke): Side {
  const forward = departureSide(signal, stroke);
  const { top, noise, step } = forward;
  return {
    time_s: forward.time_s.map((t) => -t).reverse(),
    height: forward.height.map((h) => top - h).reverse(),
    smooth: forward.smooth.map((h) => top - h).reverse(),
    leaves: stroke.until - 1 - stroke.arrives,
    top,
    noise,
    step,
  };
}

/** The rise is followed up to this multiple of the noise, within the two shares of the stroke below. */
const reachInNoise = 40;
const leastReach = 0.002;
const usualReach = 0.12;
/** Where samples or steps are few the rise is followed up to this share of the stroke. */
const mostReach = 0.3;
const leastRising = 8;
/** A noise that must be scaled by this much says that the shapes do not follow the rise. */
const misfit = 1.35;
const leastEdges = 6;
/** More samples than this in a window are averaged in blocks: nothing is lost, time is gained. */
const mostSamples = 300;
/** Noise below this share of a step leaves runs of equal readings. */
export const coarse = 0.42;
/** Smallest noise counted with, as a share of the stroke: the round-off of a simulated signal. */
const leastNoise = 1e-6;

/** Where a side leaves its rest, with the rest it left. */
export interface Leaving {
  readonly corner: Corner;
  readonly rest: Rest;
  /** In words, for the reader of the event. */
  readonly how: string;
}

/**
 * The instant at which a side leaves its rest. Where the shapes cannot follow the rise within its
 * noise, less of the rise is fitted; where they cannot follow even its first samples, the sampling
 * interval adds to the uncertainty.
 */
export function leaving(side: Side, shapes: readonly CornerShape[]): Leaving {
  let reach = Math.min(usualReach, Math.max(leastReach, (reachInNoise * side.noise) / side.top));
  for (;;) {
    const end = endOfRise(side, reach);
    const result = leavingWithin(side, shapes, [], end);
    if (result.corner.noiseScale < misfit) return result;
    if (endOfRise(side, reach / 2) === end) {
      const interval = (side.time_s[end] ?? 0) - (side.time_s[end - 1] ?? 0);
      return { ...result, corner: { ...result.corner, ...widened(result.corner, interval / Math.sqrt(12)) } };
    }
    reach /= 2;
  }
}

/** The instant at which a side passes a low height above its rest, from the shapes of its rise. */
export function lowPassing(side: Side, shapes: readonly CornerShape[], height: number): Instant | undefined {
  const usual = Math.min(usualReach, (reachInNoise * side.noise) / side.top);
  const end = endOfRise(side, Math.max(usual, (1.5 * height) / side.top));
  return leavingWithin(side, shapes, [height], end).corner.passes[0];
}

function leavingWithin(
  side: Side,
  shapes: readonly CornerShape[],
  heights: readonly number[],
  end: number,
): Leaving {
  const { time_s, height, leaves, top, step } = side;
  const at = (i: number) => time_s[i] ?? 0;
  const interval = (at(height.length - 1) - at(0)) / Math.max(1, height.length - 1);
  const from_s = Math.max(at(0), at(leaves) - 2 * (at(end) - at(leaves)) - 10 * interval);
  let from = 0;
  while (from < leaves && at(from) < from_s) from++;
  const isShort = from < 3;
  const rest = restOf(height.subarray(0, isShort ? Math.max(1, leaves) : from), step, leastNoise * top);
  const rise = Math.max((side.smooth[end] ?? top) - rest.level, 2 * rest.noise);
  // A rest that lies inside the window must not be counted twice: its level is left free.
  const restUncertainty = isShort ? rise : rest.levelUncertainty;
  const isCoarse = step > 0 && rest.noise < coarse * step;
  const samples = isCoarse
    ? staircase(side, end, rest)
    : blocks(time_s.subarray(from, end + 1), height.subarray(from, end + 1), rest);
  if (samples.time_s.length < 3) {
    const passes = heights.map(() => undefined);
    const corner = { ...bracketed(at(leaves), at(leaves + 1)), passes, noiseScale: 1 };
    return { corner, rest, how: "between the last sample at rest and the next" };
  }
  const window = { ...samples, rest: rest.level, restUncertainty, rise, from_s };
  const corner = cornerInstant(window, shapes, heights);
  const how = isCoarse
    ? `shapes fitted to ${samples.time_s.length} steps of the reading`
    : `shapes fitted to ${end + 1 - from} samples`;
  return { corner, rest, how };
}

/** Last sample of a rise followed up to a share of the stroke, or further where samples or steps are few. */
function endOfRise(side: Side, reach: number): number {
  const { smooth, leaves, top, step } = side;
  const share = Math.min(mostReach, Math.max(reach, ((leastEdges + 1) * step) / top));
  let end = leaves;
  while (end < smooth.length - 1 && (smooth[end] ?? 0) < share * top) end++;
  while (end < leaves + leastRising && end < smooth.length - 1 && (smooth[end] ?? 0) < mostReach * top) end++;
  return end;
}

function staircase(side: Side, end: number, rest: Rest): Samples {
  const stepDeviation = side.step / Math.sqrt(12);
  const ahead = Math.sqrt(Math.max(rest.noise ** 2 - stepDeviation ** 2, 0));
  const points = edges(
    side.time_s.subarray(0, end + 1),
    side.height.subarray(0, end + 1),
    side.step,
    ahead,
    rest.highest,
  );
  return { ...points, correlation: 1 };
}

/** Averages over blocks of neighbouring samples, so that at most `mostSamples` remain. */
export function blocks(time_s: Float64Array, value: Float64Array, rest: Rest): Samples {
  const size = Math.ceil(time_s.length / mostSamples);
  const count = Math.ceil(time_s.length / size);
  const average = (source: Float64Array) =>
    Float64Array.from({ length: count }, (_, k) => {
      const block = source.subarray(k * size, (k + 1) * size);
      return block.reduce((a, b) => a + b, 0) / block.length;
    });
  const noise = Float64Array.from({ length: count }, (_, k) => {
    const length = Math.min(size, time_s.length - k * size);
    // Correlated neighbours average less; what is averaged here no longer counts below.
    return rest.noise * Math.sqrt(Math.min(rest.correlation, length) / length);
  });
  return {
    time_s: average(time_s),
    value: average(value),
    noise,
    correlation: Math.max(1, rest.correlation / size),
  };
}
