/**
 * The instant of a peak: where a signal stops rising and falls, be it rounded or a corner.
 *
 * On either side of the instant on trial the signal is a short power series, smooth through the peak or
 * with a slope of its own on each side. The posterior of the instant is the mean over those shapes and
 * over the size of the noise, weighted by their evidence. Derivation: docs/theory/events.md, "A peak".
 */
import { normalCdf } from "../../numerics/index.js";
import { type Instant, normalInstant } from "./instant.js";
import type { Samples } from "./series.js";

/** Terms of a shape at a place x from the peak, in half-widths of the window. */
interface PeakShape {
  readonly terms: (x: number) => readonly number[];
  readonly weight: number;
  /** Numbers of the terms whose coefficients are negative in a peak: without that a slope is one anywhere. */
  readonly falls: readonly number[];
}

const before = (x: number): number => Math.max(-x, 0);
const behind = (x: number): number => Math.max(x, 0);

/** Rounded peaks, and corners as of a current that rises until the ball breaks away. Weights: common practice, no source. */
const peakShapes: readonly PeakShape[] = [
  { terms: (x) => [1, x * x], falls: [1], weight: 0.1 },
  { terms: (x) => [1, x * x, x ** 3], falls: [1], weight: 0.1 },
  { terms: (x) => [1, before(x) ** 2, behind(x) ** 2], falls: [1, 2], weight: 0.1 },
  {
    terms: (x) => [1, before(x) ** 2, behind(x) ** 2, before(x) ** 3, behind(x) ** 3],
    falls: [1, 2],
    weight: 0.2,
  },
  { terms: (x) => [1, before(x), behind(x)], falls: [1, 2], weight: 0.15 },
  {
    terms: (x) => [1, before(x), behind(x), before(x) ** 2, behind(x) ** 2],
    falls: [1, 2],
    weight: 0.35,
  },
];

/** The rounded ones: what a spring throws back turns without a corner. */
export const roundedPeaks: readonly PeakShape[] = peakShapes.slice(0, 4);

/** Factors on the stated noise that are weighed against each other. */
const noiseScales = [0.6, 1, 1.7, 3] as const;
/** The window reaches down from the peak by this many of the noise, and by this share of the height. */
const depthInNoise = 8;
const leastDepth = 0.05;
const mostDepth = 0.5;
const leastSide = 4;
const mostSide = 60;
const stagePoints = 24;
const gridPoints = 100;
/** Log-density below the best at which a tail is cut. */
const tail = 14;

/**
 * The instant of a peak.
 *
 * @param samples  of the signal, time ascending;  @param top  number of the sample at the rough peak
 * @param height   of the peak above what counts as nothing, > 0
 * @returns        mean, deviation and 95 % interval; undefined where there is no room on both sides
 * Source          derived in docs/theory/events.md, "A peak"
 */
export function peakInstant(
  samples: Samples,
  top: number,
  height: number,
  used: readonly PeakShape[] = peakShapes,
): Instant | undefined {
  const s = samples.noise[top] ?? 0;
  let depth = Math.min(Math.max(depthInNoise * s, leastDepth * height), mostDepth * height);
  let fit = peakWithin(samples, top, depth, used);
  // Shapes that do not follow the peak ask for more noise than there is: less of it is fitted.
  for (let k = 0; k < mostHalvings && fit !== undefined && fit.noiseScale > misfit && !fit.isNarrow; k++) {
    depth /= 2;
    fit = peakWithin(samples, top, depth, used) ?? fit;
  }
  return fit?.instant;
}

const mostHalvings = 4;
/** A noise that must be scaled by this much says that the shapes do not follow the peak. */
const misfit = 1.15;

function peakWithin(
  { time_s, value, noise, correlation }: Samples,
  top: number,
  depth: number,
  used: readonly PeakShape[],
): { readonly instant: Instant; readonly noiseScale: number; readonly isNarrow: boolean } | undefined {
  const n = time_s.length;
  const level = value[top] ?? 0;
  const s = noise[top] ?? 0;
  const reach = (step: -1 | 1): number => {
    let i = top;
    let count = 0;
    while (i + step >= 0 && i + step < n && count < mostSide) {
      i += step;
      count++;
      if (count >= leastSide && (value[i] ?? 0) < level - depth) break;
    }
    return i;
  };
  const from = reach(-1);
  const to = reach(1);
  if (top - from < 2 || to - top < 2) return undefined;
  const size = Array.from({ length: to - from + 1 }, (_, i) => (value[from + i] ?? 0) - level);
  const half = Math.max((time_s[to] ?? 0) - (time_s[from] ?? 0), Number.MIN_VALUE) / 2;
  const scale = Math.max(depth, s);
  const y = size.map((v) => v / scale);
  const at = (t: number): Trial => ({
    t,
    ...density(
      Array.from({ length: y.length }, (_, i) => ((time_s[from + i] ?? 0) - t) / half),
      y,
      Math.max(s / scale, 1e-6) * Math.sqrt(correlation),
      used,
    ),
  });
  let low = time_s[from + 1] ?? 0;
  let high = time_s[to - 1] ?? 0;
  for (let stage = 0; stage < 4; stage++) {
    const rows = grid(low, high, stagePoints).map(at);
    const best = Math.max(...rows.map(({ log }) => log));
    const alive = rows.filter(({ log }) => log > best - tail).map(({ t }) => t);
    const step = (high - low) / stagePoints;
    const whole = high - low;
    high = Math.min(high, (alive.at(-1) ?? high) + step);
    low = Math.max(low, (alive[0] ?? low) - step);
    if (high - low > whole / 3) break;
  }
  const rows = grid(low, high, gridPoints).map(at);
  const best = Math.max(...rows.map(({ log }) => log));
  const mass = rows.map(({ log }) => Math.exp(log - best));
  const sum = mass.reduce((a, b) => a + b, 0);
  const logScale = rows.reduce((a, row, i) => a + row.logScale * (mass[i] ?? 0), 0) / sum;
  return {
    instant: summary(rows),
    noiseScale: Math.exp(logScale),
    isNarrow: to - from <= 2 * leastSide,
  };
}

/** One instant on trial: log-density, and the mean logarithm of the noise scale there. */
interface Trial {
  readonly t: number;
  readonly log: number;
  readonly logScale: number;
}

function grid(low: number, high: number, points: number): readonly number[] {
  return Array.from({ length: points }, (_, i) => low + ((high - low) * (i + 0.5)) / points);
}

/** Log of the evidence of all shapes and noises at one instant on trial. */
function density(
  x: readonly number[],
  y: readonly number[],
  s: number,
  used: readonly PeakShape[],
): Omit<Trial, "t"> {
  const parts: { readonly log: number; readonly scale: number }[] = [];
  for (const { terms, weight, falls } of used) {
    const rows = x.map(terms);
    for (const scale of noiseScales)
      parts.push({ log: Math.log(weight) + logEvidence(rows, y, scale * s, falls), scale: Math.log(scale) });
  }
  const best = Math.max(...parts.map(({ log }) => log));
  const sum = parts.reduce((a, { log }) => a + Math.exp(log - best), 0);
  const logScale = parts.reduce((a, { log, scale }) => a + scale * Math.exp(log - best), 0) / sum;
  return { log: best + Math.log(sum), logScale };
}

/** Prior standard deviation of every coefficient, in depths of the window. */
const spread = 3;

/**
 * Log N(y; X c, s^2) with c ~ N(0, spread^2) integrated out, the coefficients of `falls` over negative
 * values alone: times the chance that they are negative behind the data over that ahead of them.
 */
function logEvidence(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  s: number,
  falls: readonly number[],
): number {
  const p = rows[0]?.length ?? 0;
  // Row a: precision matrix, right-hand side, and the unit matrix that becomes its inverse.
  const width = 2 * p + 1;
  const A = Array.from({ length: p }, (_, a) => {
    const row = new Float64Array(width);
    row[a] = 1 / (spread * spread);
    row[p + 1 + a] = 1;
    return row;
  });
  let square = 0;
  rows.forEach((row, i) => {
    const v = (y[i] ?? 0) / s;
    square += v * v;
    A.forEach((target, a) => {
      const xa = (row[a] ?? 0) / s;
      for (let b = 0; b < p; b++) target[b] = (target[b] ?? 0) + (xa * (row[b] ?? 0)) / s;
      target[p] = (target[p] ?? 0) + xa * v;
    });
  });
  const right = A.map((row) => row[p] ?? 0);
  let logDeterminant = 0;
  // Elimination without pivots: the matrix is positive definite.
  A.forEach((row, a) => {
    const pivot = row[a] ?? 1;
    logDeterminant += Math.log(pivot);
    for (let k = 0; k < width; k++) row[k] = (row[k] ?? 0) / pivot;
    A.forEach((other, b) => {
      const factor = other[a] ?? 0;
      if (b === a || factor === 0) return;
      for (let k = 0; k < width; k++) other[k] = (other[k] ?? 0) - factor * (row[k] ?? 0);
    });
  });
  const gain = A.reduce((sum, row, a) => sum + (row[p] ?? 0) * (right[a] ?? 0), 0);
  const falling = falls.reduce((sum, a) => {
    const mean = A[a]?.[p] ?? 0;
    const deviation = Math.sqrt(Math.max(A[a]?.[p + 1 + a] ?? 0, Number.MIN_VALUE));
    return sum + Math.log(Math.max(2 * normalCdf(-mean / deviation), Number.MIN_VALUE));
  }, 0);
  return (
    falling - 0.5 * (square - gain) - 0.5 * logDeterminant - p * Math.log(spread) - y.length * Math.log(s)
  );
}

function summary(rows: readonly Trial[]): Instant {
  const best = Math.max(...rows.map(({ log }) => log));
  const mass = rows.map(({ log }) => Math.exp(log - best));
  const sum = mass.reduce((a, b) => a + b, 0);
  const mean = rows.reduce((a, { t }, i) => a + t * (mass[i] ?? 0), 0) / sum;
  const width = (rows[1]?.t ?? mean) - (rows[0]?.t ?? mean);
  const variance =
    rows.reduce((a, { t }, i) => a + (t - mean) ** 2 * (mass[i] ?? 0), 0) / sum + (width * width) / 12;
  const quantile = (q: number): number => {
    let below = 0;
    for (const [i, { t }] of rows.entries()) {
      const share = (mass[i] ?? 0) / sum;
      if (below + share >= q) return t + width * ((q - below) / share - 0.5);
      below += share;
    }
    return rows.at(-1)?.t ?? mean;
  };
  return {
    ...normalInstant(mean, Math.sqrt(variance)),
    interval95_s: [quantile(0.025), quantile(0.975)],
  };
}
