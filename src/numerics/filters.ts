/**
 * Smoothing and differentiation of evenly sampled signals. Each result states its delay: how much
 * later the filtered signal shows a slow change, in the unit of the sample step.
 */
import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { refuse } from "../fault/index.js";

/** A filtered signal, as long as the one that went in. */
export interface Filtered {
  readonly values: Float64Array;
  /** Delay of a slow change behind the input, in the unit of the step; 0 for centred filters. */
  readonly delay: number;
}

/**
 * First-order low pass, exact for an input held over each step:
 *
 *   y_k = y_(k-1) + (1 - exp(-step/tau)) (x_k - y_(k-1)),   tau = 1/(2 pi cutoff),   y_0 = x_0
 *
 * @param signal  evenly sampled;  @param step  > 0, time between samples
 * @param cutoff  frequency at which the gain is 0.707, > 0, in cycles per unit of step
 * @returns       delay step a/(1 - a) with a = exp(-step/tau), close to tau for fine steps
 * Refuses        step or cutoff not above 0.
 * Source         derived from the recurrence: group delay of 1 - a over 1 - a/z at zero frequency
 */
export function lowPassOnePole(signal: ArrayLike<number>, step: number, cutoff: number): Filtered {
  checkStep(step);
  if (!(cutoff > 0)) {
    refuse("filter-cutoff", `a cutoff of ${cutoff}`, "a frequency above 0", "Give the cutoff frequency.");
  }
  const kept = Math.exp(-step * 2 * Math.PI * cutoff);
  const values = new Float64Array(signal.length);
  let y = signal[0] ?? 0;
  for (let i = 0; i < signal.length; i++) {
    y += (1 - kept) * ((signal[i] ?? 0) - y);
    values[i] = y;
  }
  return { values, delay: (step * kept) / (1 - kept) };
}

/**
 * Centred moving average over 2 halfWidth + 1 samples; near the ends over as many on either side as
 * there are.
 *
 * @param signal  evenly sampled;  @param halfWidth  whole number >= 0, samples on either side
 * @returns       delay 0
 * Refuses        a half-width that is not a whole number >= 0.
 */
export function movingAverage(signal: ArrayLike<number>, halfWidth: number): Filtered {
  checkHalfWidth(halfWidth, 0);
  const n = signal.length;
  const sums = new Float64Array(n + 1);
  // Sums of departures from the first value: sums of a large offset would lose digits.
  const offset = signal[0] ?? 0;
  for (let i = 0; i < n; i++) sums[i + 1] = (sums[i] ?? 0) + (signal[i] ?? 0) - offset;
  const values = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const h = Math.min(halfWidth, i, n - 1 - i);
    values[i] = offset + ((sums[i + h + 1] ?? 0) - (sums[i - h] ?? 0)) / (2 * h + 1);
  }
  return { values, delay: 0 };
}

/**
 * Centred moving median over 2 halfWidth + 1 samples, shorter near the ends: removes spikes of up to
 * halfWidth samples and keeps a step where it is.
 *
 * @param signal  evenly sampled;  @param halfWidth  whole number >= 0, samples on either side
 * @returns       delay 0
 * Refuses        a half-width that is not a whole number >= 0.
 * Source         [tukey-1977, ch. 7]
 */
export function movingMedian(signal: ArrayLike<number>, halfWidth: number): Filtered {
  checkHalfWidth(halfWidth, 0);
  const n = signal.length;
  const values = new Float64Array(n);
  const window: number[] = [];
  let from = 0;
  let to = 0;
  for (let i = 0; i < n; i++) {
    const h = Math.min(halfWidth, i, n - 1 - i);
    for (; to <= i + h; to++) {
      const x = signal[to] ?? 0;
      window.splice(lowerBound(window, x), 0, x);
    }
    for (; from < i - h; from++) window.splice(lowerBound(window, signal[from] ?? 0), 1);
    values[i] = window[h] ?? 0;
  }
  return { values, delay: 0 };
}

/**
 * Weights of a Savitzky-Golay filter: the derivative, at a place in the window, of the polynomial of
 * least squares through its 2 halfWidth + 1 samples, step 1.
 *
 * @param halfWidth   whole number m >= 1;  @param degree  of the polynomial, 0 <= degree <= 2 m
 * @param derivative  0 for smoothing, up to degree
 * @param at          place, -m to m, 0 the centre
 * @returns           weight of each sample, from -m to m
 * Refuses            numbers outside these bounds.
 * Source             [savitzky-golay-1964, tables I to XI]; away from the centre [gorry-1990]
 */
export function savitzkyGolayWeights(
  halfWidth: number,
  degree: number,
  derivative: number,
  at = 0,
): Float64Array {
  checkHalfWidth(halfWidth, 1);
  const fits = Number.isInteger(degree) && degree >= 0 && degree <= 2 * halfWidth;
  if (!fits || !(Number.isInteger(derivative) && derivative >= 0 && derivative <= degree)) {
    refuse(
      "filter-degree",
      `derivative ${derivative} of a polynomial of degree ${degree} over ${2 * halfWidth + 1} samples`,
      "a degree below the number of samples and a derivative no higher than the degree",
      "Widen the window or lower the degree.",
    );
  }
  const count = 2 * halfWidth + 1;
  // Scaled to [-1, 1], or the powers of a wide window spoil the normal matrix.
  const design = Matrix.zeros(count, degree + 1);
  for (let k = 0; k < count; k++) {
    for (let p = 0; p <= degree; p++) design.set(k, p, ((k - halfWidth) / halfWidth) ** p);
  }
  const wanted = Matrix.zeros(degree + 1, 1);
  for (let p = derivative; p <= degree; p++) {
    let factor = 1;
    for (let q = 0; q < derivative; q++) factor *= p - q;
    wanted.set(p, 0, factor * (at / halfWidth) ** (p - derivative));
  }
  const normal = design.transpose().mmul(design);
  const solved = new CholeskyDecomposition(normal).solve(wanted);
  const weights = design.mmul(solved).to1DArray();
  return Float64Array.from(weights, (w) => w / halfWidth ** derivative);
}

/**
 * Derivative of a noisy signal by Savitzky-Golay; within half a window of the ends the polynomial of
 * the last whole window is used, so that nothing is lost and the delay stays 0.
 *
 * @param signal   evenly sampled, at least 2 halfWidth + 1 values
 * @param step     > 0, time between samples
 * @param window   halfWidth in samples >= 1; degree, default 2; derivative, default 1 (0 smooths)
 * @returns        derivative in signal units per unit of step to that power, delay 0
 * Refuses         a signal shorter than the window, and the bounds of savitzkyGolayWeights.
 * Source          [savitzky-golay-1964]
 */
export function savitzkyGolayDerivative(
  signal: ArrayLike<number>,
  step: number,
  window: { readonly halfWidth: number; readonly degree?: number; readonly derivative?: number },
): Filtered {
  checkStep(step);
  const { halfWidth, degree = 2, derivative = 1 } = window;
  const centre = savitzkyGolayWeights(halfWidth, degree, derivative);
  const n = signal.length;
  if (n < centre.length) {
    refuse(
      "filter-length",
      `a signal of ${n} samples for a window of ${centre.length}`,
      "at least one whole window",
      "Use a narrower window or a longer record.",
    );
  }
  const scale = step ** -derivative;
  const values = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const start = Math.min(Math.max(i - halfWidth, 0), n - centre.length);
    const at = i - start - halfWidth;
    const weights = at === 0 ? centre : savitzkyGolayWeights(halfWidth, degree, derivative, at);
    let sum = 0;
    for (let k = 0; k < weights.length; k++) sum += (weights[k] ?? 0) * (signal[start + k] ?? 0);
    values[i] = sum * scale;
  }
  return { values, delay: 0 };
}

function lowerBound(sorted: readonly number[], x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? 0) < x) low = middle + 1;
    else high = middle;
  }
  return low;
}

function checkStep(step: number): void {
  if (step > 0 && Number.isFinite(step)) return;
  refuse("filter-step", `a sample step of ${step}`, "a time above 0", "Give the time between samples.");
}

function checkHalfWidth(halfWidth: number, least: number): void {
  if (Number.isInteger(halfWidth) && halfWidth >= least) return;
  refuse(
    "filter-width",
    `a half-width of ${halfWidth} samples`,
    `a whole number of at least ${least}`,
    "Round it.",
  );
}
