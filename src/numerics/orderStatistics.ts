/**
 * Quantiles, and how sure they are, from the ranks of a sample alone: no shape of distribution is
 * assumed. Valid for independent draws; from scrambled Sobol points they are, as a rule, wider than need be.
 */
import { refuse } from "../fault/index.js";
import { betaQuantile, regularizedBeta } from "./distributions.js";

/** A quantile with its interval. */
export interface QuantileInterval {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
  /** Ranks, from 1, of the order statistics that are the limits. */
  readonly lowRank: number;
  readonly highRank: number;
  /** Confidence attained, at least the one asked for [-]. */
  readonly confidence: number;
}

/** The sample is too small for an interval at that confidence. */
export interface TooFew {
  readonly estimate: number;
  /** Least sample size that would do. */
  readonly needed: number;
}

/**
 * Quantile of a sorted sample, linear between order statistics at the ranks p (n + 1/3) + 1/3: close
 * to median-unbiased whatever the distribution.
 *
 * @param sorted  rising numbers, at least one;  @param p  probability, 0 <= p <= 1 [-]
 * Refuses        an empty sample, p outside [0, 1].
 * Source         [hyndman-fan-1996, definition 8]
 */
export function quantileOfSorted(sorted: ArrayLike<number>, p: number): number {
  if (sorted.length === 0) {
    refuse("sample-size", "no values for a quantile", "at least one", "Take the figure as not known.");
  }
  checkShare(p, "p");
  const n = sorted.length;
  const rank = Math.min(Math.max(p * (n + 1 / 3) + 1 / 3, 1), n);
  const whole = Math.floor(rank);
  const below = sorted[whole - 1] ?? 0;
  const above = sorted[Math.min(whole, n - 1)] ?? 0;
  const share = rank - whole;
  return share === 0 ? below : below * (1 - share) + above * share;
}

/**
 * Quantile with its distribution-free confidence interval [X_(l), X_(u)]: the number of draws at or
 * below the true quantile is binomial (n, p), and
 *
 *   confidence = P(l <= Binomial(n, p) <= u - 1),
 *
 * with l as large and u as small as leave at most (1 - confidence)/2 on either side.
 *
 * @param sorted      rising numbers
 * @param p           probability of the quantile, 0 < p < 1 [-]
 * @param confidence  asked for, 0 < confidence < 1 [-]
 * @returns           the interval, or the sample size that one needs
 * Refuses            an empty sample, p or confidence outside their domain.
 * Source             [david-nagaraja-2003, 7.1]
 */
export function quantileInterval(
  sorted: ArrayLike<number>,
  p: number,
  confidence: number,
): QuantileInterval | TooFew {
  const estimate = quantileOfSorted(sorted, p);
  checkOpenShare(p, "p");
  checkOpenShare(confidence, "confidence");
  const n = sorted.length;
  const side = (1 - confidence) / 2;
  const needed = Math.max(leastCount(1 - p, side), leastCount(p, side));
  if (n < needed) return { estimate, needed };
  const lowRank = largest(1, n, (l) => binomialCdf(l - 1, n, p) <= side);
  const highRank = n + 1 - largest(1, n, (k) => binomialCdf(k - 1, n, 1 - p) <= side);
  return {
    estimate,
    low: sorted[lowRank - 1] ?? 0,
    high: sorted[highRank - 1] ?? 0,
    lowRank,
    highRank,
    confidence: binomialCdf(highRank - 1, n, p) - binomialCdf(lowRank - 1, n, p),
  };
}

/** What a tolerance limit by order statistics shall hold. */
export interface ToleranceLimit {
  /** Share of the population inside the limit or limits, 0 < coverage < 1 [-]. */
  readonly coverage: number;
  /** 0 < confidence < 1 [-] */
  readonly confidence: number;
  readonly sides: "one" | "two";
  /** 1: the extreme value is the limit; 2: the next one in; and so on. Default 1. */
  readonly order?: number;
}

/**
 * Least sample size for which the m-th extreme value (or both m-th extremes) bounds the given share
 * of the population with the given confidence, whatever the distribution:
 *
 *   1 - sum over j < r of C(n, j) (1 - coverage)^j coverage^(n - j) >= confidence,
 *
 * with r = m one-sided and r = 2 m two-sided.
 *
 * @returns  number of samples n
 * Refuses   coverage, confidence or order outside their domain.
 * Source    [wilks-1941]; for higher orders [wald-1943]
 */
export function wilksSampleSize(limit: ToleranceLimit): number {
  const outside = outsideCount(limit);
  let high = outside;
  while (attained(high, limit) < limit.confidence) high *= 2;
  return high - largest(0, high - outside, (k) => attained(high - k, limit) >= limit.confidence);
}

/**
 * Confidence with which the m-th extreme value (or both) of n draws bounds the given share.
 *
 * @param n      number of draws, >= 0;  @param limit  its `confidence` is not used
 * @returns      confidence [-], 0 where n is too small to have such extremes
 * Source        [wilks-1941]
 */
export function wilksConfidence(n: number, limit: Omit<ToleranceLimit, "confidence">): number {
  outsideCount({ ...limit, confidence: 0.5 });
  return attained(n, { ...limit, confidence: 0.5 });
}

/** An interval of a probability. */
export interface ProbabilityInterval {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Interval of a probability from a count of successes; never less sure than asked for.
 *
 * @param successes   whole number, 0 <= successes <= trials;  @param trials  whole number >= 1
 * @param confidence  two-sided, 0 < confidence < 1 [-]
 * @returns           share seen, and limits that leave (1 - confidence)/2 on either side [-]
 * Refuses            counts or confidence outside their domain.
 * Source             [clopper-pearson-1934]
 */
export function clopperPearson(successes: number, trials: number, confidence: number): ProbabilityInterval {
  const whole = Number.isInteger(successes) && Number.isInteger(trials);
  if (!(whole && trials >= 1 && successes >= 0 && successes <= trials)) {
    refuse(
      "counts",
      `${successes} of ${trials}`,
      "whole numbers, at least one trial, no more successes than trials",
      "Check the two counts.",
    );
  }
  checkOpenShare(confidence, "confidence");
  const side = (1 - confidence) / 2;
  const failures = trials - successes;
  return {
    estimate: successes / trials,
    low: successes === 0 ? 0 : betaQuantile(side, successes, failures + 1),
    high: failures === 0 ? 1 : betaQuantile(1 - side, successes + 1, failures),
  };
}

/**
 * Probability of at most k successes in n trials.
 *
 * @param k  whole number;  @param n  whole number >= 0;  @param p  of one success, 0 <= p <= 1 [-]
 * @returns  probability [-]
 * Source    [abramowitz-stegun-1972, 26.5.24]
 */
export function binomialCdf(k: number, n: number, p: number): number {
  if (k < 0) return 0;
  if (k >= n) return 1;
  return regularizedBeta(1 - p, n - k, k + 1);
}

function attained(n: number, limit: ToleranceLimit): number {
  const outside = outsideCount(limit);
  if (n < outside) return 0;
  return regularizedBeta(1 - limit.coverage, outside, n - outside + 1);
}

function outsideCount(limit: ToleranceLimit): number {
  const order = limit.order ?? 1;
  checkOpenShare(limit.coverage, "coverage");
  checkOpenShare(limit.confidence, "confidence");
  if (!(Number.isInteger(order) && order >= 1)) {
    refuse("wilks-order", `order ${order}`, "a whole number of at least 1", "Write 1 for the extreme value.");
  }
  return limit.sides === "two" ? 2 * order : order;
}

/** Least n with share^n <= side. */
function leastCount(share: number, side: number): number {
  return Math.max(1, Math.ceil(Math.log(side) / Math.log(share) - 1e-12));
}

/** Largest whole number in [low, high] for which the test holds; it holds at low, and never again once it fails. */
function largest(low: number, high: number, holds: (k: number) => boolean): number {
  let yes = low;
  let no = high + 1;
  while (no - yes > 1) {
    const middle = Math.floor((yes + no) / 2);
    if (holds(middle)) yes = middle;
    else no = middle;
  }
  return yes;
}

function checkShare(p: number, name: string): void {
  if (p >= 0 && p <= 1) return;
  refuse(
    "probability",
    `${name} = ${p}`,
    "a number from 0 to 1",
    "Give a share of one, as 0.95, not a percentage.",
  );
}

function checkOpenShare(p: number, name: string): void {
  if (p > 0 && p < 1) return;
  refuse(
    "probability",
    `${name} = ${p}`,
    "a number between 0 and 1, neither of them included: certainty would need endless samples",
    "Give a share of one, as 0.95, not a percentage.",
  );
}
