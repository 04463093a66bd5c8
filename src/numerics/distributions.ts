/**
 * Gamma, beta, chi-squared and Student distributions, for the intervals of a mean, a variance and a
 * probability. Accuracy about 1e-13 relative, also for parameters of a million.
 */
import { refuse } from "../fault/index.js";
import { normalQuantile } from "./normal.js";
import { findRoot } from "./roots.js";

const HALF_LOG_TWO_PI = 0.5 * Math.log(2 * Math.PI);
const TINY = 1e-300;
// Halvings from 1 to the smallest number: small parameters have quantiles of 1e-100.
const HALVINGS = 2200;

/**
 * Logarithm of the gamma function.
 *
 * @param z  > 0 [-]
 * @returns  ln GAMMA(z) [-]
 * Source    Stirling's series with its remainder [abramowitz-stegun-1972, 6.1.41]
 */
export function logGamma(z: number): number {
  return (z - 0.5) * Math.log(z) - z + HALF_LOG_TWO_PI + stirlingRemainder(z);
}

/**
 * Regularised incomplete beta function, the distribution of a beta variable.
 *
 *   I_x(a, b) = integral from 0 to x of t^(a-1) (1-t)^(b-1) dt / B(a, b)
 *
 * @param x  0 <= x <= 1 [-];  @param a  > 0 [-];  @param b  > 0 [-]
 * @returns  probability [-]
 * Refuses   arguments outside their domain.
 * Source    continued fraction [dlmf-2010, 8.17.22]; leading factor in the manner of [loader-2000]
 */
export function regularizedBeta(x: number, a: number, b: number): number {
  if (!(x >= 0 && x <= 1 && a > 0 && b > 0)) {
    refuse(
      "beta-arguments",
      `x = ${x}, a = ${a}, b = ${b} for a beta distribution`,
      "x from 0 to 1, a and b above 0",
      "Check the counts and the probability they were made from.",
    );
  }
  if (x === 0 || x === 1) return x;
  // The fraction converges quickly below the mean; above it, use the other tail.
  if (x > (a + 1) / (a + b + 2)) return 1 - betaTail(1 - x, b, a);
  return betaTail(x, a, b);
}

/**
 * Quantile of the beta distribution.
 *
 * @param p  probability, 0 <= p <= 1 [-];  @param a  > 0 [-];  @param b  > 0 [-]
 * @returns  x with I_x(a, b) = p [-]
 * Refuses   arguments outside their domain.
 */
export function betaQuantile(p: number, a: number, b: number): number {
  checkProbability(p);
  if (p === 0 || p === 1) return p;
  return findRoot((x) => regularizedBeta(x, a, b) - p, 0, 1, { maxIterations: HALVINGS });
}

/**
 * Probability that a chi-squared variable lies at or below x: P(nu/2, x/2).
 *
 * @param x  >= 0 [-];  @param freedom  degrees of freedom nu > 0 [-]
 * @returns  probability [-]
 * Refuses   arguments outside their domain.
 * Source    series and continued fraction [abramowitz-stegun-1972, 6.5.29 and 6.5.31, 26.4.19]
 */
export function chiSquaredCdf(x: number, freedom: number): number {
  if (!(x >= 0 && freedom > 0)) {
    refuse(
      "chi-squared-arguments",
      `chi squared of ${x} with ${freedom} degrees of freedom`,
      "chi squared of at least 0 and more than 0 degrees of freedom",
      "Check the number of points against the number of fitted values.",
    );
  }
  const a = freedom / 2;
  const z = x / 2;
  if (z === 0) return 0;
  if (z === Infinity) return 1;
  return z < a + 1 ? gammaSeries(a, z) : 1 - gammaFraction(a, z);
}

/**
 * Quantile of the chi-squared distribution.
 *
 * @param p  probability, 0 <= p < 1 [-];  @param freedom  degrees of freedom > 0 [-]
 * @returns  x with chiSquaredCdf(x, freedom) = p [-]
 * Refuses   arguments outside their domain.
 */
export function chiSquaredQuantile(p: number, freedom: number): number {
  checkProbability(p);
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  let high = freedom + 10 * Math.sqrt(2 * freedom) + 20;
  while (chiSquaredCdf(high, freedom) < p) high *= 2;
  return findRoot((x) => chiSquaredCdf(x, freedom) - p, 0, high, { maxIterations: HALVINGS });
}

/**
 * Probability that Student's t lies at or below the given value.
 *
 * @param t  any number [-];  @param freedom  degrees of freedom > 0 [-]
 * @returns  probability [-]
 * Source    [abramowitz-stegun-1972, 26.7.1]
 */
export function studentCdf(t: number, freedom: number): number {
  const square = t * t;
  // Of two equal forms: the second loses the digits of a small t, the first those of a small tail.
  const outer =
    square < 1
      ? 1 - regularizedBeta(square / (freedom + square), 0.5, freedom / 2)
      : regularizedBeta(freedom / (freedom + square), freedom / 2, 0.5);
  return t < 0 ? outer / 2 : 1 - outer / 2;
}

/**
 * Quantile of Student's distribution.
 *
 * @param p        probability, 0 < p < 1 [-]
 * @param freedom  degrees of freedom > 0 [-]; Infinity gives the normal quantile
 * @returns        t with studentCdf(t, freedom) = p [-]
 * Refuses         arguments outside their domain.
 */
export function studentQuantile(p: number, freedom: number): number {
  checkProbability(p);
  if (freedom === Infinity) return normalQuantile(p);
  if (p === 0.5) return 0;
  if (p === 0 || p === 1) return p === 0 ? -Infinity : Infinity;
  const tail = Math.min(p, 1 - p);
  let high = 2;
  while (studentCdf(-high, freedom) > tail) high *= 4;
  const t = findRoot((x) => studentCdf(-x, freedom) - tail, 0, high);
  return p < 0.5 ? -t : t;
}

/** I_x(a, b) for x below the mean, by Lentz's evaluation of the continued fraction. */
function betaTail(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < TINY ? TINY : d);
  let fraction = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < TINY ? TINY : d);
    if (Math.abs(c) < TINY) c = TINY;
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < TINY ? TINY : d);
    if (Math.abs(c) < TINY) c = TINY;
    fraction *= d * c;
    if (Math.abs(d * c - 1) <= Number.EPSILON) break;
  }
  return (betaPower(x, a, b) * fraction) / a;
}

/**
 * x^a (1-x)^b / B(a, b). Written about the mean a/(a+b), where the large powers cancel by
 * themselves; differences of logGamma would lose nine digits at parameters of a million.
 */
function betaPower(x: number, a: number, b: number): number {
  const sum = a + b;
  const departure = sum * x - a;
  const logPower = a * logRatio(x * sum, a, departure) + b * logRatio((1 - x) * sum, b, -departure);
  const remainder = stirlingRemainder(sum) - stirlingRemainder(a) - stirlingRemainder(b);
  return Math.sqrt((a / sum) * b) * Math.exp(logPower + remainder - HALF_LOG_TWO_PI);
}

/** ln(value/centre), with value = centre + departure: from whichever of the two is the exact one. */
function logRatio(value: number, centre: number, departure: number): number {
  const share = departure / centre;
  return Math.abs(share) < 0.5 ? Math.log1p(share) : Math.log(value / centre);
}

/** P(a, z) by its series, for z < a + 1. */
function gammaSeries(a: number, z: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 100_000; n++) {
    term *= z / (a + n);
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum * gammaPower(a, z);
}

/** Q(a, z) = 1 - P(a, z) by its continued fraction, for z >= a + 1. */
function gammaFraction(a: number, z: number): number {
  let b = z + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < 100_000; n++) {
    const numerator = -n * (n - a);
    b += 2;
    d = numerator * d + b;
    if (Math.abs(d) < TINY) d = TINY;
    c = b + numerator / c;
    if (Math.abs(c) < TINY) c = TINY;
    d = 1 / d;
    fraction *= d * c;
    if (Math.abs(d * c - 1) <= Number.EPSILON) break;
  }
  return fraction * gammaPower(a, z);
}

/** z^a exp(-z) / GAMMA(a), about z = a for the reason given at betaPower. */
function gammaPower(a: number, z: number): number {
  const departure = z - a;
  const logPower = a * logRatio(z, a, departure) - departure;
  return Math.sqrt(a) * Math.exp(logPower - stirlingRemainder(a) - HALF_LOG_TWO_PI);
}

/** ln GAMMA(z) - ((z - 1/2) ln z - z + ln(2 pi)/2). */
function stirlingRemainder(z: number): number {
  let shifted = z;
  let remainder = 0;
  while (shifted < 12) {
    remainder += (shifted + 0.5) * Math.log1p(1 / shifted) - 1;
    shifted++;
  }
  const y = 1 / (shifted * shifted);
  const series = ((((-691 / 360360) * y + 1 / 1188) * y - 1 / 1680) * y + 1 / 1260) * y - 1 / 360;
  return remainder + (series * y + 1 / 12) / shifted;
}

function checkProbability(p: number): void {
  if (p >= 0 && p <= 1) return;
  refuse(
    "probability",
    `${p} as a probability`,
    "a number from 0 to 1",
    "Give a share of one, as 0.95, not a percentage.",
  );
}
