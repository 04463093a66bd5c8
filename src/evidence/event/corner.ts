/**
 * Where a signal leaves its rest: the instant of a corner, with its uncertainty.
 *
 * Ahead of the corner the signal rests at a level; behind it the signal rises as a short power
 * series whose lowest power is not known in advance (1: a jump of speed, 2: a jump of
 * acceleration, 3: a jump of jerk). The posterior of the instant is the mean over those shapes and
 * over the size of the noise, weighted by their evidence, with level and coefficients integrated
 * out exactly. Derivation, priors and coverage: docs/theory/events.md, "The corner".
 */
import { findRoot, median, normalCdf } from "../../numerics/index.js";
import type { Instant } from "./instant.js";
import {
  logEvidence,
  powerSums,
  type Samples,
  type Scratch,
  type Series,
  type SeriesFit,
  scratch,
  seriesAt,
  seriesFit,
} from "./series.js";

/** A shape behind the corner: the powers of elapsed time it may hold, and its prior weight. */
export interface CornerShape {
  readonly powers: readonly number[];
  readonly weight: number;
}

/**
 * A part leaves its rest: mostly with a jump of acceleration, when static friction gives way; with a
 * jump of jerk under a rising torque; with a jump of speed after a backlash closes.
 * Weights: common practice, no source; the coverage that follows from them is under test.
 */
export const departureShapes: readonly CornerShape[] = [
  { powers: [2], weight: 0.15 },
  { powers: [2, 3], weight: 0.25 },
  { powers: [2, 3, 4], weight: 0.15 },
  { powers: [3], weight: 0.1 },
  { powers: [3, 4], weight: 0.2 },
  { powers: [1, 2], weight: 0.1 },
  { powers: [1, 2, 3], weight: 0.05 },
];

/** A part comes to rest, seen backwards in time: against a stop with speed left, or braked. */
export const arrivalShapes: readonly CornerShape[] = [
  { powers: [1], weight: 0.1 },
  { powers: [1, 2], weight: 0.15 },
  { powers: [1, 2, 3], weight: 0.15 },
  { powers: [2], weight: 0.1 },
  { powers: [2, 3], weight: 0.2 },
  { powers: [2, 3, 4], weight: 0.1 },
  { powers: [3], weight: 0.05 },
  { powers: [3, 4], weight: 0.15 },
];

/** A current sets in: a voltage steps onto an inductance, or a controller ramps up. */
export const currentShapes: readonly CornerShape[] = [
  { powers: [1], weight: 0.2 },
  { powers: [1, 2], weight: 0.3 },
  { powers: [1, 2, 3], weight: 0.2 },
  { powers: [2, 3], weight: 0.3 },
];

/** Factors on the stated noise that are weighed against each other: moving parts shake, resting ones do not. */
const noiseScales = [0.1, 0.3, 0.6, 1, 1.6, 3, 10];

/** What a corner is fitted to: the signal rests near `rest`, then rises by about `rise` until the last sample. */
export interface CornerWindow extends Samples {
  /** Level of the rest and its standard uncertainty > 0, from samples ahead of the window. */
  readonly rest: number;
  readonly restUncertainty: number;
  /** Rise of the signal above the rest at the last sample, > 0. */
  readonly rise: number;
  /** Earliest instant considered. */
  readonly from_s: number;
}

/** The corner, and the instants behind it at which the rise passes given heights. */
export interface Corner extends Instant {
  readonly passes: readonly (Instant | undefined)[];
  /** Geometric mean of the factor on the stated noise: about 1 where the shapes follow the rise. */
  readonly noiseScale: number;
}

/** Prior standard deviation of the coefficients: the rise for the first, and this factor less for each that follows. */
const coefficientDecay = 0.45;
const coarsePoints = 60;
const finePoints = 100;
/** Log-density below the best at which a tail is cut: one millionth. */
const tail = 14;
/** Most stages of closing in, and how far below the best a stage looks, as a share of the best's lead over the median. */
const mostStages = 8;
const stageDepth = 0.3;

/**
 * The instant of a corner.
 *
 *   p(t0 | y) ~ sum_k w_k sum_f Int N(y; b + sum_j c_j x^j, f^2 s^2) N(b) N(c) db dc,   x = (t - t0)/(t_end - t0)
 *
 * @param window   samples around the corner, time ascending
 * @param shapes   what the signal may do behind the corner
 * @param heights  heights above the rest whose passing is wanted too, each below `rise`
 * @returns the posterior's mean, deviation and 95 % interval [s]
 * Valid for  noise near to normal; a rise that a series of three powers follows within ten times the noise.
 * Source     derived in docs/theory/events.md, "The corner".
 */
export function cornerInstant(
  window: CornerWindow,
  shapes: readonly CornerShape[],
  heights: readonly number[] = [],
): Corner {
  const end_s = window.time_s[window.time_s.length - 1] ?? 0;
  const candidates = shapes.map(({ powers, weight }) => ({
    powers: [0, ...powers],
    spreads: [window.restUncertainty, ...powers.map((_, k) => window.rise * coefficientDecay ** k)],
    logWeight: Math.log(weight),
  }));
  const room = scratch();
  const scan = (from: number, to: number, points: number) =>
    Array.from({ length: points }, (_, i) =>
      trialAt(window, candidates, from + ((to - from) * (i + 0.5)) / points, end_s, room),
    );
  let low = window.from_s;
  let high = end_s;
  // A peak may be far narrower than the first grid: close in on it by stages.
  for (let stage = 0; stage < mostStages; stage++) {
    const rows = scan(low, high, coarsePoints);
    const logs = rows.map((row) => row.log);
    const top = Math.max(...logs);
    const depth = Math.max(tail, stageDepth * (top - median(logs)));
    const alive = rows.filter((row) => row.log > top - depth);
    const step = (high - low) / coarsePoints;
    const whole = high - low;
    high = Math.min(end_s, (alive[alive.length - 1]?.instant ?? high) + step);
    low = Math.max(window.from_s, (alive[0]?.instant ?? low) - step);
    if (depth === tail && high - low > whole / 3) break;
  }
  const fine = scan(low, high, finePoints);
  const width = (high - low) / finePoints;
  const corner = mixture(
    fine.map((row) => ({ at: row.instant, log: row.log, variance: (width * width) / 12 })),
  );
  return {
    ...corner,
    passes: heights.map((height) => passing(window, candidates, fine, height, end_s)),
    noiseScale: meanScale(fine),
  };
}

interface Candidate extends Series {
  readonly logWeight: number;
}

/** One instant on trial: log-density, and its parts by shape and, within a shape, by noise scale. */
interface Trial {
  readonly instant: number;
  readonly log: number;
  readonly parts: Float64Array;
}

function trialAt(
  window: CornerWindow,
  candidates: readonly Candidate[],
  instant: number,
  end_s: number,
  room: Scratch,
): Trial {
  const sums = powerSums(window, window.rest, instant, Math.max(end_s - instant, Number.MIN_VALUE), 0);
  const parts = new Float64Array(candidates.length * noiseScales.length);
  let at = 0;
  for (const candidate of candidates) {
    for (const scale of noiseScales) {
      parts[at++] = logEvidence(sums, candidate, scale, room) + candidate.logWeight;
    }
  }
  const top = parts.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  return { instant, parts, log: top + Math.log(parts.reduce((a, part) => a + Math.exp(part - top), 0)) };
}

/** Geometric mean of the noise scale over the posterior. */
function meanScale(trials: readonly Trial[]): number {
  const top = Math.max(...trials.map((trial) => trial.log));
  const logScales = noiseScales.map(Math.log);
  let sum = 0;
  let total = 0;
  for (const { parts } of trials) {
    for (const [i, part] of parts.entries()) {
      const mass = Math.exp(part - top);
      sum += mass * (logScales[i % logScales.length] ?? 0);
      total += mass;
    }
  }
  return Math.exp(sum / total);
}

/** Parts below this share of the best are left out of a passing. */
const leastShare = 1e-3;

function passing(
  window: CornerWindow,
  candidates: readonly Candidate[],
  trials: readonly Trial[],
  height: number,
  end_s: number,
): Instant | undefined {
  const least = Math.max(...trials.map((trial) => Math.max(...trial.parts))) + Math.log(leastShare);
  const components: Component[] = [];
  for (const { instant, parts } of trials) {
    if (parts.every((part) => part < least)) continue;
    const span = end_s - instant;
    const sums = powerSums(window, window.rest, instant, span, 0);
    for (const [i, log] of parts.entries()) {
      const candidate = candidates[Math.floor(i / noiseScales.length)];
      if (log < least || candidate === undefined) continue;
      const fit = seriesFit(sums, candidate, noiseScales[i % noiseScales.length] ?? 1);
      const x = placeOf(fit, height);
      if (x === undefined) continue;
      const { slope, variance } = seriesAt(fit, x, "rise");
      components.push({ at: instant + x * span, log, variance: variance * (span / slope) ** 2 });
    }
  }
  return components.length === 0 ? undefined : mixture(components);
}

/** Where between 0 and 1 the series passes a height, if it does while rising. */
function placeOf(fit: SeriesFit, height: number): number | undefined {
  const above = (x: number) => seriesAt(fit, x, "rise").value - height;
  if (!(above(0) < 0 && above(1) > 0)) return undefined;
  const x = findRoot(above, 0, 1, { tolerance: 1e-6 });
  return seriesAt(fit, x, "rise").slope > 0 ? x : undefined;
}

/** One normal component of a mixture. */
interface Component {
  readonly at: number;
  readonly log: number;
  readonly variance: number;
}

/** Moments and central interval of a mixture of normal components. */
function mixture(components: readonly Component[]): Instant {
  const top = Math.max(...components.map((c) => c.log));
  const mass = components.map((c) => Math.exp(c.log - top));
  const sum = mass.reduce((a, b) => a + b, 0);
  const expected = (f: (c: Component) => number) =>
    components.reduce((a, c, i) => a + f(c) * (mass[i] ?? 0), 0) / sum;
  const mean = expected((c) => c.at);
  const deviation = Math.sqrt(expected((c) => (c.at - mean) ** 2 + c.variance));
  const below = (t: number) => expected((c) => normalCdf((t - c.at) / Math.sqrt(c.variance)));
  const quantile = (q: number) =>
    findRoot((t) => below(t) - q, mean - 12 * deviation, mean + 12 * deviation, {
      tolerance: 1e-4 * deviation,
    });
  return { time_s: mean, standardUncertainty_s: deviation, interval95_s: [quantile(0.025), quantile(0.975)] };
}
