/**
 * Whether chains of a sampler have converged, and how many independent draws they are worth.
 *
 * All of it after [vehtari-2021]: chains are split in half; draws are replaced by normal scores of
 * their ranks, so that heavy tails do no harm; R-hat compares the variance between chains with the one
 * within, of the scores (bulk) and of the scores of distances from the median (tail), and the larger
 * counts; the effective sample size sums autocorrelations over Geyer's initial monotone sequence.
 */
import { median } from "./moments.js";
import { normalQuantile } from "./normal.js";

/** Draws of one quantity, a row per chain, all of one length. */
export type Chains = readonly ArrayLike<number>[];

export interface ChainDiagnosis {
  /** Rank-normalised split R-hat; 1 when the chains cannot be told apart. */
  readonly rHat: number;
  /** Effective sample size for the centre of the law. */
  readonly bulkSize: number;
  /** Effective sample size for its 5 % and 95 % quantiles, the smaller of the two. */
  readonly tailSize: number;
}

/**
 * Diagnoses the chains of one quantity.
 * @param chains  at least 1 chain of at least 8 draws
 * @returns       see ChainDiagnosis; NaN where a chain does not move
 */
export function diagnoseChains(chains: Chains): ChainDiagnosis {
  const split = halves(chains);
  const centre = median(Float64Array.from(split.flatMap((chain) => [...chain])));
  const folded = split.map((chain) => chain.map((value) => Math.abs(value - centre)));
  return {
    rHat: Math.max(rHat(rankScores(split)), rHat(rankScores(folded))),
    bulkSize: effectiveSize(rankScores(split)),
    tailSize: Math.min(tailSizeAt(split, 0.05), tailSizeAt(split, 0.95)),
  };
}

/**
 * R-hat of chains as they are, neither split nor ranked.
 *
 *   R^2 = ((n-1)/n W + B/n) / W
 *
 * with W the mean variance within, B/n the variance of the chain means. Source [vehtari-2021, eq. 1 to 4].
 */
export function rHat(chains: Chains): number {
  const n = chains[0]?.length ?? 0;
  const moments = chains.map(momentsOf);
  const within = average(moments.map(({ variance }) => variance));
  const between = momentsOf(moments.map(({ mean }) => mean)).variance;
  return Math.sqrt((n - 1) / n + between / within);
}

/**
 * Effective sample size of chains as they are, neither split nor ranked.
 *
 *   S = m n / (-1 + 2 sum of P_t),   P_t = rho_2t + rho_2t+1
 *   rho_t = 1 - (W - mean of s_j^2 rho_tj) / var+
 *
 * the sum over P_t as long as it stays positive, and not let rise. Source [vehtari-2021, eq. 10 to 14].
 * @returns at most m n log10(m n), as the source has it for draws that lie more evenly than at random
 */
export function effectiveSize(chains: Chains): number {
  const m = chains.length;
  const n = chains[0]?.length ?? 0;
  const moments = chains.map(momentsOf);
  const within = average(moments.map(({ variance }) => variance));
  const between = m > 1 ? momentsOf(moments.map(({ mean }) => mean)).variance : 0;
  const pooled = ((n - 1) / n) * within + between;
  const autocovariance = (lag: number): number =>
    average(chains.map((chain, j) => autocovarianceOf(chain, moments[j]?.mean ?? 0, lag)));
  const correlation = (lag: number): number => 1 - (within - (n / (n - 1)) * autocovariance(lag)) / pooled;
  let sum = 0;
  let last = Number.POSITIVE_INFINITY;
  for (let t = 0; 2 * t + 1 < n - 1; t++) {
    const pair = (t === 0 ? 1 : correlation(2 * t)) + correlation(2 * t + 1);
    if (!(pair > 0)) break;
    last = Math.min(last, pair);
    sum += last;
  }
  const time = Math.max(-1 + 2 * sum, 1 / Math.log10(m * n));
  return (m * n) / time;
}

/** Normal scores of the ranks over all chains together, ties at their mean rank. */
function rankScores(chains: Chains): readonly Float64Array[] {
  const n = chains[0]?.length ?? 0;
  const all = Float64Array.from(chains.flatMap((chain) => Array.from(chain)));
  const order = Array.from(all, (_, i) => i).sort((a, b) => (all[a] ?? 0) - (all[b] ?? 0));
  const scores = new Float64Array(all.length);
  for (let i = 0; i < order.length; ) {
    let j = i + 1;
    while (j < order.length && all[order[j] ?? 0] === all[order[i] ?? 0]) j++;
    // Ranks i + 1 to j; the offset 3/8 is Blom's.
    const rank = (i + 1 + j) / 2;
    const score = normalQuantile((rank - 3 / 8) / (all.length + 1 / 4));
    for (let k = i; k < j; k++) scores[order[k] ?? 0] = score;
    i = j;
  }
  return chains.map((_, c) => scores.subarray(c * n, (c + 1) * n));
}

function tailSizeAt(chains: Chains, probability: number): number {
  const sorted = Float64Array.from(chains.flatMap((chain) => Array.from(chain))).sort();
  const quantile = sorted[Math.floor(probability * (sorted.length - 1))] ?? Number.NaN;
  return effectiveSize(
    chains.map((chain) => Float64Array.from(chain, (value) => (value <= quantile ? 1 : 0))),
  );
}

function halves(chains: Chains): readonly Float64Array[] {
  const n = Math.floor((chains[0]?.length ?? 0) / 2);
  return chains.flatMap((chain) => [
    Float64Array.from(chain).subarray(0, n),
    Float64Array.from(chain).subarray(chain.length - n),
  ]);
}

function momentsOf(values: ArrayLike<number>): { readonly mean: number; readonly variance: number } {
  const n = values.length;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += values[i] ?? 0;
  const mean = sum / n;
  let squares = 0;
  for (let i = 0; i < n; i++) squares += ((values[i] ?? 0) - mean) ** 2;
  return { mean, variance: squares / (n - 1) };
}

/** Autocovariance at a lag, over n. */
function autocovarianceOf(values: ArrayLike<number>, mean: number, lag: number): number {
  let sum = 0;
  for (let i = 0; i + lag < values.length; i++)
    sum += ((values[i] ?? 0) - mean) * ((values[i + lag] ?? 0) - mean);
  return sum / values.length;
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
