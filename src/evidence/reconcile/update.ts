/**
 * The update: declared inputs moved to where they, weighed by their declared spread, explain the
 * measured histories best (maximum posterior), and how far the test narrows them.
 *
 *   minimise  sum_j y-residual_j^2 / s^2  +  sum_k z_k^2  +  (clock/u)^2
 *
 * A history's residuals are weighed by its noise and by a model discrepancy that is correlated along
 * the stroke: neighbouring points share one error, so many points do not make a wrong model certain.
 * The spread after the test is that of the linearised posterior, (J^T J)^-1.
 * Sources: Bayesian parameter estimation as in [gelman-2013, ch. 13]; discrepancy term
 * [kennedy-ohagan-2001], here with a declared size.
 */
import { type LeastSquaresResult, leastSquares } from "../../numerics/index.js";
import { StrokePath } from "../../physics/motion/index.js";
import {
  flowMark,
  type Plan,
  type Sense,
  strokeOf,
  supplyVoltage,
  ValveSample,
} from "../../predict/index.js";
import { WindowMean } from "./average.js";
import { type MeasuredHistory, type MeasuredStroke, windowOf } from "./measured.js";
import { valuesAtScores } from "./scores.js";

/**
 * Size of the model discrepancy as a share of a channel's range, and how many independent stretches a
 * stroke has. Estimates: a lumped train is right to about a degree, a quasi-steady current to some per cent.
 */
const discrepancyShare = { angle: 0.008, current: 0.04, "supply voltage": 0.02 } as const;
const independentStretches = 12;
/** Simulations inside the fit run this tight, so that differences between them are meaningful. */
const fitTolerance = 1e-6;
/** What the choice of steps leaves in a history, relative; ten times the tolerance. */
const simulationNoise = 1e-5;
/**
 * The data are let in by stages, as shares of their weight: a weak pull first leads the inputs round
 * the cliff at which a simulated drive stalls, where the full pull would throw them over it.
 */
const strengths = [0.05, 0.2, 1] as const;
/** A fit that stalls with less than this left to gain in the sum of squares (a tenth of a spread) has settled. */
const settledGain = 0.01;

export interface Update {
  /** Independent scores at the maximum posterior; the last one is the clock, in its uncertainties. */
  readonly z: Float64Array;
  /** Covariance of the scores after the test, row after row, inputs only. */
  readonly covariance: Float64Array;
  readonly clockOffset_s: number;
  /** Sum of squares of the histories' weighted residuals per independent stretch and channel. */
  readonly misfit: number;
  readonly converged: boolean;
  readonly reason: string;
  readonly simulations: number;
}

/** What a simulated stroke shows at the measured instants. */
export type Simulated = readonly Float64Array[];

/** Simulates the stroke at given values and reads the channels at the measured instants. */
export function simulateAt(
  plan: Plan,
  sample: ValveSample,
  stroke: MeasuredStroke,
  clockOffset_s: number,
): Simulated {
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const path = new StrokePath();
  const horizon = longest(stroke.histories);
  strokeOf(plan, sample, train, stroke.sense, flowMark(sample, stroke.sense), {
    path,
    tolerance: fitTolerance,
    horizon,
  });
  const times = readingTimes(path, horizon);
  const angle = new Float64Array(times.length);
  const speed = new Float64Array(times.length);
  const current = new Float64Array(times.length);
  path.sample(times, angle, speed, current);
  return stroke.histories.map((history) => {
    const means = new WindowMean(
      times,
      channelOf(history.channel, train, stroke.sense, angle, speed, current),
    );
    const centres = history.time_s.map((t) => t - clockOffset_s);
    return means.at(centres, windowOf(history));
  });
}

/** Readings between which a simulated channel is close to straight: even ones, and where the path has corners. */
function readingTimes(path: StrokePath, horizon: number): Float64Array {
  const knots = path.knots();
  const even = Math.ceil(horizon / readingStep_s);
  const times = new Float64Array(knots.length + even);
  let k = 0;
  let n = 0;
  for (let j = 0; j < times.length; j++) {
    const next = n * readingStep_s;
    if (k < knots.length && (n >= even || (knots[k] ?? 0) <= next)) times[j] = knots[k++] ?? 0;
    else {
      times[j] = next;
      n++;
    }
  }
  return times;
}

/** Well under the width of a window, a few times the electrical time constant [s]. */
const readingStep_s = 5e-4;

function channelOf(
  channel: MeasuredHistory["channel"],
  train: ReturnType<ValveSample["train"]>,
  sense: Sense,
  angle: Float64Array,
  speed: Float64Array,
  current: Float64Array,
): Float64Array {
  if (channel === "angle") return travelled(angle, sense, train.travel);
  if (channel === "current") return current.map(Math.abs);
  return current.map((i, j) => supplyVoltage(train, i, speed[j] ?? 0));
}

/** Angles are compared as travel from the start of the stroke, so that a sensor's zero does not matter. */
function travelled(angle: Float64Array, sense: Sense, travel: number): Float64Array {
  return sense === "opening" ? angle : angle.map((a) => travel - a);
}

function longest(histories: readonly MeasuredHistory[]): number {
  return histories.reduce((end, { time_s }) => Math.max(end, time_s[time_s.length - 1] ?? 0), 0) + 0.05;
}

/** Weight of each history's residuals: one over noise and discrepancy, spread over dependent points. */
export function weights(histories: readonly MeasuredHistory[]): readonly number[] {
  return histories.map(({ channel, values, noise }) => {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (const value of values) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    const range = Math.max(high - low, channel === "supply voltage" ? 0.1 * Math.abs(high) : 0);
    const discrepancy = discrepancyShare[channel] * range;
    const dependent = Math.max(values.length / independentStretches, 1);
    const variance = noise * noise + discrepancy * discrepancy * dependent;
    return variance > 0 ? 1 / Math.sqrt(variance) : 0;
  });
}

/** Updates the inputs of a plan against one measured stroke. */
export function updateInputs(plan: Plan, stroke: MeasuredStroke): Update {
  const { space } = plan;
  const n = space.inputs.length;
  const sample = new ValveSample(plan);
  const weight = weights(stroke.histories);
  const points = stroke.histories.reduce((sum, { values }) => sum + values.length, 0);
  const clock = Math.max(stroke.commandUncertainty_s, leastClock_s);
  let strength = 1;
  const residuals = (x: Float64Array): Float64Array => {
    const out = new Float64Array(points + n + 1).fill(Number.NaN);
    valuesAtScores(space, x, sample.values);
    const simulated = simulateAt(plan, sample, stroke, (x[n] ?? 0) * clock);
    let k = 0;
    stroke.histories.forEach(({ values }, h) => {
      const w = strength * (weight[h] ?? 0);
      const seen = simulated[h];
      for (let i = 0; i < values.length; i++) out[k++] = w * ((seen?.[i] ?? Number.NaN) - (values[i] ?? 0));
    });
    for (let j = 0; j <= n; j++) out[k++] = x[j] ?? 0;
    return out;
  };
  let start = new Float64Array(n + 1);
  let simulations = 0;
  let fit: LeastSquaresResult | undefined;
  for (strength of strengths) {
    const isLast = strength === 1;
    fit = leastSquares({
      residuals,
      start,
      scale: new Float64Array(n + 1).fill(1),
      noise: simulationNoise,
      differences: isLast ? "central" : "forward",
      firstDamping: isLast ? 1e-3 : 0.1,
      maxIterations: isLast ? 40 : 8,
      tolerance: isLast ? 1e-4 : 1e-2,
    });
    simulations += fit.evaluations;
    start = Float64Array.from(fit.x);
  }
  if (fit === undefined) throw new Error("the update has no stage");
  const whole = fit.covarianceFactor;
  const covariance = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let k = 0; k < n; k++) covariance[j * n + k] = whole?.[j * (n + 1) + k] ?? (j === k ? 1 : 0);
  }
  let squares = 0;
  for (let k = 0; k < points; k++) squares += (fit.residuals[k] ?? 0) ** 2;
  return {
    z: fit.x.subarray(0, n),
    covariance,
    clockOffset_s: (fit.x[n] ?? 0) * clock,
    misfit: squares / Math.max(independentStretches * stroke.histories.length, 1),
    converged: fit.converged || fit.slack * fit.slack * fit.sumOfSquares < settledGain,
    reason: fit.reason,
    simulations,
  };
}

/** No clock is better than this against the command [s]. */
const leastClock_s = 1e-4;
