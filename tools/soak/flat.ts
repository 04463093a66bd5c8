/**
 * Whether memory that was measured again and again stays flat: the test of Mann and Kendall on what follows the
 * warm-up, and the median slope of all pairs (src/numerics/trend.ts has the sources). Measurements after a
 * collection of garbage still swing slowly, which looks like a drift to the ranks; so a drift counts where it is
 * sure and is large too.
 */
import { mannKendall, median } from "../../src/numerics/index.js";

/** Chance of taking a flat sequence for a rising one. */
const chance = 0.01;
/** A rise over the measured time by less than this share of the middle is no leak that an hour would show. */
const smallest = 0.05;

export interface Flatness {
  readonly isFlat: boolean;
  /** Middle of the values. */
  readonly median: number;
  /** Rise by the median slope, from the first to the last value. */
  readonly rise: number;
  readonly p: number;
  readonly count: number;
}

/** Judges a sequence. @param values  in the order of time, evenly spaced, ten or more */
export function flatness(values: readonly number[]): Flatness {
  const { S, p, slope } = mannKendall(values);
  const middle = median(values);
  const rise = slope * (values.length - 1);
  const isFlat = !(S > 0 && p < chance && rise > smallest * middle);
  return { isFlat, median: middle, rise, p, count: values.length };
}
