/** Whether a sequence drifts: the test of Mann and Kendall, and the slope that goes with it. */
import { median } from "./moments.js";
import { normalCdf } from "./normal.js";

/** What the ranks say of a drift. */
export interface TrendTest {
  readonly count: number;
  /** Number of pairs that rise less number of pairs that fall. */
  readonly S: number;
  /** S over the number of pairs, -1 to 1 [-]. */
  readonly tau: number;
  /** Chance of an |S| at least as great in a sequence without drift [-]. */
  readonly p: number;
  /** How p was found: counted over all orders, or from the normal law with correction for ties. */
  readonly how: "exact" | "normal";
  /** Median of the slopes of all pairs, per step of the sequence. */
  readonly slope: number;
}

/** Up to this many values, and without ties, p is counted over all orders. */
const mostCounted = 40;

/**
 * Test of Mann and Kendall for a drift of a sequence.
 *
 *   S = sum_{i<j} sign(y_j - y_i),   Var S = (n(n-1)(2n+5) - sum_ties t(t-1)(2t+5)) / 18
 *
 * @param y  values in order, two or more
 * @returns  S, two-sided p, and the median slope of all pairs
 * Valid for independent values; a sequence that swings slowly looks like a drift
 * Source    [mann-1945]; its exact law for few values, as in [gilbert-1987, table A18]; ties and normal
 *           law with continuity correction [kendall-1975, ch. 4]; slope [sen-1968]
 */
export function mannKendall(y: ArrayLike<number>): TrendTest {
  const n = y.length;
  let S = 0;
  const slopes: number[] = [];
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const rise = (y[j] ?? 0) - (y[i] ?? 0);
      S += Math.sign(rise);
      slopes.push(rise / (j - i));
    }
  const ties = tieSizes(y);
  const how = ties.length === 0 && n <= mostCounted ? "exact" : "normal";
  const pairs = (n * (n - 1)) / 2;
  const p = how === "exact" ? Math.min(1, 2 * chanceOfAtLeast(Math.abs(S), n)) : normalChance(S, n, ties);
  return {
    count: n,
    S,
    tau: pairs > 0 ? S / pairs : 0,
    p: S === 0 ? 1 : p,
    how,
    slope: slopes.length === 0 ? 0 : median(slopes),
  };
}

/**
 * Chance that S reaches a value in a sequence of n distinct values without drift, counted over all
 * n! orders: an order has (pairs - S)/2 inversions, whose numbers follow from product (1 + q + ... + q^(k-1)).
 *
 * @param S  whole number;  @param n  whole number >= 1
 * @returns  one-sided probability [-]
 * Source    [kendall-1975, ch. 5]
 */
export function chanceOfAtLeast(S: number, n: number): number {
  let shares = Float64Array.of(1);
  for (let k = 2; k <= n; k++) {
    const next = new Float64Array(shares.length + k - 1);
    for (let i = 0; i < shares.length; i++)
      for (let move = 0; move < k; move++) next[i + move] = (next[i + move] ?? 0) + (shares[i] ?? 0) / k;
    shares = next;
  }
  const pairs = (n * (n - 1)) / 2;
  let chance = 0;
  for (let inversions = 0; inversions <= pairs; inversions++)
    if (pairs - 2 * inversions >= S) chance += shares[inversions] ?? 0;
  return chance;
}

function normalChance(S: number, n: number, ties: readonly number[]): number {
  const variance =
    (n * (n - 1) * (2 * n + 5) - ties.reduce((sum, t) => sum + t * (t - 1) * (2 * t + 5), 0)) / 18;
  if (!(variance > 0)) return 1;
  const z = (Math.abs(S) - 1) / Math.sqrt(variance);
  return Math.min(1, 2 * normalCdf(-z));
}

/** Sizes of the groups of equal values. */
function tieSizes(y: ArrayLike<number>): readonly number[] {
  const counts = new Map<number, number>();
  for (let i = 0; i < y.length; i++) counts.set(y[i] ?? 0, (counts.get(y[i] ?? 0) ?? 0) + 1);
  return [...counts.values()].filter((count) => count > 1);
}
