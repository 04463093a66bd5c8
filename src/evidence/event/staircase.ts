/**
 * Coarse resolution: what a reading in steps says about the signal behind it.
 * Derivations in docs/theory/events.md, "Resolution".
 */

/**
 * The step of a quantised signal, 0 where none is seen.
 *
 * All differences of neighbouring samples are whole multiples of the step.
 *
 * @param values  samples, NaN for a gap
 * @returns step in the unit of the values, >= 0
 */
export function resolutionStep(values: ArrayLike<number>): number {
  const all = new Float64Array(values.length);
  let count = 0;
  for (let i = 1; i < values.length; i++) {
    const d = Math.abs((values[i] ?? 0) - (values[i - 1] ?? 0));
    if (d > 0) all[count++] = d;
  }
  if (count < 8) return 0;
  // Of very many differences a part says the same.
  const stride = Math.ceil(count / mostDifferences);
  const differences = new Float64Array(Math.floor(count / stride)).map((_, i) => all[i * stride] ?? 0).sort();
  // The smallest differences may be round-off of the decimal text, not steps.
  const largest = differences[differences.length - 1] ?? 0;
  const real = differences.filter((d) => d > 1e-9 * largest);
  const least = real[0] ?? 0;
  const cluster = real.filter((d) => d < 1.5 * least);
  // A step seen once or twice is a chance, as where an even ramp begins and ends between samples.
  if (cluster.length < leastSingleSteps) return 0;
  const step = cluster.reduce((a, d) => a + d, 0) / cluster.length;
  const small = real.filter((d) => d < 20.5 * step);
  const whole = small.filter((d) => Math.abs(d / step - Math.round(d / step)) < 0.02);
  // An even ramp has equal differences too, but it neither pauses nor takes now more steps, now fewer.
  const isRamp = new Set(whole.map((d) => Math.round(d / step))).size <= 2 && pauses(values) < leastPauses;
  return whole.length >= 0.98 * small.length && !isRamp ? step : 0;
}

const leastSingleSteps = 3;
const mostDifferences = 40_000;
/** Share of pauses in a moving staircase. */
const leastPauses = 0.1;

/** Share of equal neighbours between the first change and the last. */
function pauses(values: ArrayLike<number>): number {
  let first = -1;
  let last = -1;
  let equal = 0;
  let within = 0;
  for (let i = 1; i < values.length; i++) {
    if (values[i] !== values[i - 1]) {
      if (first < 0) first = i;
      last = i;
      equal += within;
      within = 0;
    } else if (first >= 0) within++;
  }
  return last > first ? equal / (last - first) : 0;
}

/**
 * Standard uncertainty of a mean of readings in steps, from the steps alone.
 *
 *   u^2 = sum_k (q / (pi k))^2 / 2 exp(-4 (pi k s / q)^2)
 *
 * The readings' mean differs from the signal by a sawtooth of the signal's place between two
 * steps, which noise of deviation s smooths; q^2/12 without noise, nothing for s > q/2.
 *
 * @param step   q, >= 0
 * @param noise  s, of the signal ahead of the quantiser, >= 0, same unit
 * @returns standard uncertainty, same unit
 * Source  derived in docs/theory/events.md, "Resolution".
 */
export function resolutionUncertainty(step: number, noise: number): number {
  if (step === 0) return 0;
  if (noise === 0) return step / Math.sqrt(12);
  let variance = 0;
  for (let k = 1; k <= mostHarmonics; k++) {
    variance += ((step / (Math.PI * k)) ** 2 / 2) * Math.exp(-4 * ((Math.PI * k * noise) / step) ** 2);
  }
  return Math.sqrt(variance);
}

/** Harmonics of the sawtooth: what is left out is below a thousandth of the step. */
const mostHarmonics = 400;

/** Points of a rising signal known from the instants at which its reading stepped. */
export interface Edges {
  readonly time_s: readonly number[];
  readonly value: readonly number[];
  readonly noise: readonly number[];
}

/** Error of the thresholds of a converter, in steps. Common practice, no source. */
const thresholdError = 0.1;

/**
 * The thresholds a rising staircase passes, and when.
 *
 * Where steps exceed the noise, neighbouring readings share their error and the information lies
 * in the instants of the steps. A threshold that noise passes several times counts once, at the
 * instant that leaves as many low readings behind it as high ones ahead.
 *
 * @param time_s  ascending;  @param value  readings of a rising signal, without NaN
 * @param step    of the reading, > 0;  @param noise  of the signal, >= 0
 * @param above   thresholds below this value are part of the rest and left out
 */
export function edges(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  step: number,
  noise: number,
  above: number,
): Edges {
  const n = value.length;
  const origin = value[0] ?? 0;
  const stair = Array.from({ length: n }, (_, i) => Math.round(((value[i] ?? 0) - origin) / step));
  const from = Math.round((above - origin) / step);
  const highest = stair.reduce((a, b) => Math.max(a, b), from);
  const instants: number[] = [];
  const levels: number[] = [];
  const passed = firstAbove(stair, from, highest);
  const left = lastAtOrBelow(stair, from, highest);
  for (let k = from; k < highest; k++) {
    const first = passed[k - from] ?? 0;
    if (first < 1) continue;
    const last = Math.max(first, left[k - from] ?? 0);
    let below = 0;
    for (let i = first; i <= last; i++) if ((stair[i] ?? 0) <= k) below++;
    const at = Math.min(first + below, n - 1);
    instants.push(((time_s[at] ?? 0) + (time_s[at - 1] ?? 0)) / 2);
    levels.push(origin + (k + 0.5) * step);
  }
  const interval = ((time_s[n - 1] ?? 0) - (time_s[0] ?? 0)) / Math.max(1, n - 1);
  return {
    time_s: instants,
    value: levels,
    noise: instants.map((_, i) => edgeNoise(instants, i, step, noise, interval)),
  };
}

/** For each step from `from` up to `to`, the first sample above it, in one pass. */
function firstAbove(stair: readonly number[], from: number, to: number): Int32Array {
  const first = new Int32Array(Math.max(0, to - from));
  let next = from;
  for (let i = 0; i < stair.length && next < to; i++) {
    while (next < to && (stair[i] ?? 0) > next) first[next++ - from] = i;
  }
  return first;
}

/** For each step from `from` up to `to`, the last sample at it or below, in one pass. */
function lastAtOrBelow(stair: readonly number[], from: number, to: number): Int32Array {
  const last = new Int32Array(Math.max(0, to - from));
  let next = to - 1;
  for (let i = stair.length - 1; i >= 0 && next >= from; i--) {
    while (next >= from && (stair[i] ?? 0) <= next) last[next-- - from] = i;
  }
  return last;
}

/** Deviation of a threshold's crossing, as a deviation of value: s^2 = (q/10)^2 + (v h)^2/12 + v h s/sqrt(pi). */
function edgeNoise(
  instants: readonly number[],
  i: number,
  step: number,
  noise: number,
  interval: number,
): number {
  const before = instants[i - 1] ?? instants[i] ?? 0;
  const after = instants[i + 1] ?? instants[i] ?? 0;
  const between = (instants[i - 1] === undefined ? 0 : 1) + (instants[i + 1] === undefined ? 0 : 1);
  const travel = (between * step * interval) / Math.max(after - before, interval);
  return Math.sqrt((thresholdError * step) ** 2 + travel ** 2 / 12 + (travel * noise) / Math.sqrt(Math.PI));
}
