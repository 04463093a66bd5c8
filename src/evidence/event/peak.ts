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

/** One term x^power, with a factor of its own on either side of the peak: 0 where it is absent. */
interface Term {
  readonly power: number;
  readonly before: number;
  readonly behind: number;
  /** Prior standard deviation of its coefficient, in depths of the window. */
  readonly spread: number;
}

/** Of a coefficient of which nothing is known but the depth of the window. */
const wide = 3;

/** Terms of a shape at a place x from the peak, in half-widths of the window; the first is the constant. */
interface PeakShape {
  readonly terms: readonly Term[];
  readonly weight: number;
  /** Numbers of the terms whose coefficients are negative in a peak: without that a slope is one anywhere. */
  readonly falls: readonly number[];
}

/** x^p on both sides, and |x|^p on one of them. */
const both = (power: number, spread = wide): Term => ({ power, before: 1, behind: 1, spread });
const before = (power: number): Term => ({
  power,
  before: power % 2 === 0 ? 1 : -1,
  behind: 0,
  spread: wide,
});
const behind = (power: number): Term => ({ power, before: 0, behind: 1, spread: wide });
/** By how much the parabola behind the peak is flatter than the one ahead, as halves of their difference. */
const flatter: Term = { power: 2, before: -1, behind: 1, spread: 0.5 };

/** Rounded peaks, and corners as of a current that rises until the ball breaks away. Weights: common practice, no source. */
const peakShapes: readonly PeakShape[] = [
  { terms: [both(0), both(2)], falls: [1], weight: 0.1 },
  { terms: [both(0), both(2), both(3)], falls: [1], weight: 0.1 },
  { terms: [both(0), before(2), behind(2)], falls: [1, 2], weight: 0.1 },
  { terms: [both(0), before(2), behind(2), before(3), behind(3)], falls: [1, 2], weight: 0.2 },
  { terms: [both(0), before(1), behind(1)], falls: [1, 2], weight: 0.15 },
  { terms: [both(0), before(1), behind(1), before(2), behind(2)], falls: [1, 2], weight: 0.35 },
];

/**
 * What a stop throws back turns without a corner. Friction turns round with the ball, so that it comes back
 * with less acceleration than it went, by up to about half of it either side of the mean; the torque itself
 * changes by a few tenths meanwhile. Spreads and weights: common practice, no source.
 */
export const reboundShapes: readonly PeakShape[] = [
  { terms: [both(0), both(2), flatter], falls: [1], weight: 0.5 },
  { terms: [both(0), both(2), flatter, both(3, 0.2)], falls: [1], weight: 0.5 },
];

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
  const half = Math.max((time_s[to] ?? 0) - (time_s[from] ?? 0), Number.MIN_VALUE) / 2;
  const scale = Math.max(depth, s);
  const place = Float64Array.from({ length: to - from + 1 }, (_, i) => (time_s[from + i] ?? 0) / half);
  const y = place.map((_, i) => ((value[from + i] ?? 0) - level) / scale);
  const deviation = Math.max(s / scale, 1e-6) * Math.sqrt(correlation);
  const room = peakRoom();
  const at = (t: number): Trial => {
    sumUp(place, y, t / half, room);
    return { t, ...density(room, deviation, y.length / correlation, used) };
  };
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

/** Highest power of a term. */
const highest = 3;
/** Sums of x^k, k = 0..6, and of y x^k, k = 0..3, ahead of the peak and behind it; room for the elimination. */
interface PeakRoom {
  readonly power: readonly [Float64Array, Float64Array];
  readonly cross: readonly [Float64Array, Float64Array];
  readonly square: Float64Array;
  readonly matrix: Float64Array;
}

const mostTerms = 5;

function peakRoom(): PeakRoom {
  const pair = (length: number) => [new Float64Array(length), new Float64Array(length)] as const;
  return {
    power: pair(2 * highest + 1),
    cross: pair(highest + 1),
    square: new Float64Array(1),
    matrix: new Float64Array(mostTerms * (2 * mostTerms + 1)),
  };
}

/** All sums that the shapes about one instant share, so that a shape costs no pass over the samples. */
function sumUp(place: Float64Array, y: Float64Array, origin: number, room: PeakRoom): void {
  for (const list of [...room.power, ...room.cross, room.square]) list.fill(0);
  for (let i = 0; i < place.length; i++) {
    const x = (place[i] ?? 0) - origin;
    const v = y[i] ?? 0;
    const power = room.power[x < 0 ? 0 : 1];
    const cross = room.cross[x < 0 ? 0 : 1];
    room.square[0] = (room.square[0] ?? 0) + v * v;
    let xk = 1;
    for (let k = 0; k <= 2 * highest; k++) {
      power[k] = (power[k] ?? 0) + xk;
      if (k <= highest) cross[k] = (cross[k] ?? 0) + xk * v;
      xk *= x;
    }
  }
}

/** Log of the evidence of all shapes and noises at one instant on trial. */
function density(room: PeakRoom, s: number, count: number, used: readonly PeakShape[]): Omit<Trial, "t"> {
  const parts: { readonly log: number; readonly scale: number }[] = [];
  for (const shape of used) {
    for (const scale of noiseScales)
      parts.push({
        log: Math.log(shape.weight) + logEvidence(room, shape, scale * s, count),
        scale: Math.log(scale),
      });
  }
  const best = Math.max(...parts.map(({ log }) => log));
  const sum = parts.reduce((a, { log }) => a + Math.exp(log - best), 0);
  const logScale = parts.reduce((a, { log, scale }) => a + scale * Math.exp(log - best), 0) / sum;
  return { log: best + Math.log(sum), logScale };
}

/**
 * Log N(y; X c, s^2) with c_j ~ N(0, spread_j^2) integrated out, the coefficients of `falls` over negative
 * values alone: times the chance that they are negative behind the data over that ahead of them.
 *
 * @param count  independent samples in the sums
 */
function logEvidence(room: PeakRoom, { terms, falls }: PeakShape, s: number, count: number): number {
  const { power, cross, square, matrix } = room;
  const p = terms.length;
  const down = 1 / (s * s);
  // Row a: precision matrix, right-hand side, and the unit matrix that becomes its inverse.
  const width = 2 * p + 1;
  for (let a = 0; a < p; a++) {
    const one = terms[a] ?? both(0);
    const row = a * width;
    for (let b = 0; b < p; b++) {
      const other = terms[b] ?? both(0);
      const k = one.power + other.power;
      matrix[row + b] =
        down *
          (one.before * other.before * (power[0][k] ?? 0) + one.behind * other.behind * (power[1][k] ?? 0)) +
        (a === b ? 1 / (one.spread * one.spread) : 0);
      matrix[row + p + 1 + b] = a === b ? 1 : 0;
    }
    matrix[row + p] =
      down * (one.before * (cross[0][one.power] ?? 0) + one.behind * (cross[1][one.power] ?? 0));
  }
  // Of the posterior's precision over the prior's.
  let logDeterminant = 0;
  let gain = 0;
  // Elimination without pivots: the matrix is positive definite.
  for (let a = 0; a < p; a++) {
    const row = a * width;
    // Round-off can take a pivot below its prior where the samples say nothing of a term.
    const prior = 1 / (terms[a]?.spread ?? wide) ** 2;
    const pivot = Math.max(matrix[row + a] ?? 1, prior);
    const right = matrix[row + p] ?? 0;
    // The right-hand side reduced by the terms ahead: its square over the pivot is what the term explains.
    gain += (right * right) / pivot;
    logDeterminant += Math.log(pivot / prior);
    for (let k = a; k < width; k++) matrix[row + k] = (matrix[row + k] ?? 0) / pivot;
    for (let b = 0; b < p; b++) {
      const other = b * width;
      const factor = matrix[other + a] ?? 0;
      if (b === a || factor === 0) continue;
      for (let k = a; k < width; k++)
        matrix[other + k] = (matrix[other + k] ?? 0) - factor * (matrix[row + k] ?? 0);
    }
  }
  let falling = 0;
  for (const a of falls) {
    const mean = matrix[a * width + p] ?? 0;
    const deviation = Math.sqrt(Math.max(matrix[a * width + p + 1 + a] ?? 0, Number.MIN_VALUE));
    falling += Math.log(Math.max(2 * normalCdf(-mean / deviation), Number.MIN_VALUE));
  }
  return falling - 0.5 * (down * (square[0] ?? 0) - gain) - 0.5 * logDeterminant - count * Math.log(s);
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
