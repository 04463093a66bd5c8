/** Mean, spread and correlation of plain samples. */
import { refuse } from "../fault/index.js";

/**
 * Arithmetic mean.
 *
 * @param sample  at least one number
 * Refuses        an empty sample.
 */
export function mean(sample: ArrayLike<number>): number {
  checkCount(sample, 1, "a mean");
  let sum = 0;
  for (let i = 0; i < sample.length; i++) sum += sample[i] ?? 0;
  const first = sum / sample.length;
  // A second pass takes off the rounding of the first.
  let rest = 0;
  for (let i = 0; i < sample.length; i++) rest += (sample[i] ?? 0) - first;
  return first + rest / sample.length;
}

/**
 * Variance with the divisor n - 1.
 *
 * @param sample  at least two numbers
 * Refuses        fewer than two.
 * Source         [gum-2008, 4.2.2]
 */
export function variance(sample: ArrayLike<number>): number {
  checkCount(sample, 2, "a variance");
  const m = mean(sample);
  let sum = 0;
  for (let i = 0; i < sample.length; i++) sum += ((sample[i] ?? 0) - m) ** 2;
  return sum / (sample.length - 1);
}

/** Standard deviation with the divisor n - 1; refuses fewer than two numbers [gum-2008, 4.2.2]. */
export function standardDeviation(sample: ArrayLike<number>): number {
  return Math.sqrt(variance(sample));
}

/** Middle value; the mean of the two middle ones if their count is even. Refuses an empty sample. */
export function median(sample: ArrayLike<number>): number {
  checkCount(sample, 1, "a median");
  const sorted = Float64Array.from(sample).sort();
  const half = sorted.length >> 1;
  const upper = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? 0) + upper) / 2;
}

/**
 * Pearson's product-moment correlation.
 *
 * @param x  at least two numbers;  @param y  as many
 * @returns  -1 to 1, or undefined where one of them does not vary: then no correlation exists
 * Refuses   unequal lengths, fewer than two pairs.
 */
export function pearson(x: ArrayLike<number>, y: ArrayLike<number>): number | undefined {
  checkCount(x, 2, "a correlation");
  if (x.length !== y.length) {
    refuse(
      "pairs",
      `${x.length} values beside ${y.length}`,
      "as many of one as of the other, since they are taken in pairs",
      "Give both values of every pair.",
    );
  }
  const mx = mean(x);
  const my = mean(y);
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < x.length; i++) {
    const dx = (x[i] ?? 0) - mx;
    const dy = (y[i] ?? 0) - my;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  if (xx === 0 || yy === 0) return undefined;
  return Math.min(1, Math.max(-1, xy / (Math.sqrt(xx) * Math.sqrt(yy))));
}

/**
 * Spearman's rank correlation: Pearson's correlation of the ranks, ties at their mean rank.
 *
 * @param x  at least two numbers;  @param y  as many
 * @returns  -1 to 1, or undefined where one of them does not vary
 * Refuses   unequal lengths, fewer than two pairs.
 * Source    [spearman-1904]
 */
export function spearman(x: ArrayLike<number>, y: ArrayLike<number>): number | undefined {
  return pearson(ranks(x), ranks(y));
}

/** Ranks from 1; equal values share the mean of their ranks. */
export function ranks(sample: ArrayLike<number>): Float64Array {
  const order = Array.from({ length: sample.length }, (_, i) => i);
  order.sort((i, j) => (sample[i] ?? 0) - (sample[j] ?? 0));
  const out = new Float64Array(sample.length);
  for (let start = 0; start < order.length; ) {
    let end = start + 1;
    while (end < order.length && sample[order[end] ?? 0] === sample[order[start] ?? 0]) end++;
    for (let k = start; k < end; k++) out[order[k] ?? 0] = (start + 1 + end) / 2;
    start = end;
  }
  return out;
}

function checkCount(sample: ArrayLike<number>, least: number, what: string): void {
  if (sample.length >= least) return;
  refuse(
    "sample-size",
    `${sample.length} values for ${what}`,
    `at least ${least}`,
    "Give more values, or take the figure as not known.",
  );
}
