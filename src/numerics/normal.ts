/**
 * Normal distribution, whole and truncated, and two simple ones by their quantiles. All near double
 * precision, tails included, and plain expressions, because every sampled input passes through here.
 */
import { refuse } from "../fault/index.js";

const ROOT_TWO_PI = Math.sqrt(2 * Math.PI);

/**
 * Probability that a standard normal lies at or below x.
 *
 * @param x  any number [-]
 * @returns  probability [-], relative error below 1e-15 for x > -10 and 1e-13 down to x = -37.5
 * Source    rational approximations of [cody-1969] in the arrangement of [cody-1993, ANORM]
 */
export function normalCdf(x: number): number {
  return x <= 0 ? lowerTail(-x) : 1 - lowerTail(x);
}

/** Density of the standard normal: exp(-x^2/2)/sqrt(2 pi) at any x [-]. */
export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x) / ROOT_TWO_PI;
}

/**
 * Value that a standard normal stays below with probability p.
 *
 * @param p  probability, 0 <= p <= 1 [-]; 0 and 1 give minus and plus infinity
 * @returns  quantile [-], relative error about 1e-15
 * Refuses   p outside [0, 1].
 * Source    [wichura-1988, algorithm AS 241, PPND16]
 */
export function normalQuantile(p: number): number {
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return centralQuantile(q);
  if (!(p >= 0 && p <= 1)) refuseProbability(p);
  const tail = q < 0 ? p : 1 - p;
  if (tail === 0) return q < 0 ? -Infinity : Infinity;
  const x = tailQuantile(Math.sqrt(-Math.log(tail)));
  return q < 0 ? -x : x;
}

/**
 * Quantile of a normal cut off at two limits.
 *
 *   x = m + s PHI^-1( PHI(a) + u (PHI(b) - PHI(a)) ),  a = (low - m)/s,  b = (high - m)/s
 *
 * Evaluated on the side of the nearer tail and in logarithms, so limits far out in one tail work.
 *
 * @param mean       of the whole normal;  @param deviation  its standard deviation, >= 0
 * @param low        lower limit, may be -Infinity;  @param high  upper limit, may be Infinity
 * @param u          probability, 0 <= u <= 1 [-]
 * @returns          value in [low, high], never falling with u
 * Refuses           low > high, a deviation below 0, u outside [0, 1], anything not a number.
 */
export function truncatedNormalQuantile(
  mean: number,
  deviation: number,
  low: number,
  high: number,
  u: number,
): number {
  if (!(low <= high) || !(deviation >= 0) || !Number.isFinite(mean)) {
    refuse(
      "truncated-normal",
      `a normal of mean ${mean} and deviation ${deviation} between ${low} and ${high}`,
      "a finite mean, a deviation of at least 0, a lower limit not above the upper",
      "Correct the mean, the deviation or the limits.",
    );
  }
  if (!(u >= 0 && u <= 1)) refuseProbability(u);
  if (u === 0) return low;
  if (u === 1) return high;
  if (deviation === 0) return clamp(mean, low, high);
  const a = (low - mean) / deviation;
  const b = (high - mean) / deviation;
  const x = a + b > 0 ? -lowerSideQuantile(-b, -a, 1 - u) : lowerSideQuantile(a, b, u);
  return clamp(mean + deviation * x, low, high);
}

/**
 * Quantile of the triangular distribution.
 *
 * @param low  lower end;  @param mode  peak, low <= mode <= high;  @param high  upper end
 * @param u    probability, 0 <= u <= 1 [-]
 * @returns    value in [low, high]
 * Refuses     ends or peak out of order, u outside [0, 1].
 */
export function triangularQuantile(low: number, mode: number, high: number, u: number): number {
  if (!(low <= mode && mode <= high)) {
    refuse(
      "triangular-order",
      `a triangle with ends ${low} and ${high} and its peak at ${mode}`,
      "the peak between the ends, both included",
      "Put the three numbers in rising order.",
    );
  }
  if (!(u >= 0 && u <= 1)) refuseProbability(u);
  const width = high - low;
  const x =
    u * width <= mode - low
      ? low + Math.sqrt(u * width * (mode - low))
      : high - Math.sqrt((1 - u) * width * (high - mode));
  return clamp(x, low, high);
}

/**
 * Quantile of the uniform distribution between two ends.
 *
 * @param low  lower end;  @param high  upper end, >= low;  @param u  probability, 0 <= u <= 1 [-]
 * @returns    value in [low, high]
 * Refuses     ends out of order, u outside [0, 1].
 */
export function uniformQuantile(low: number, high: number, u: number): number {
  if (!(low <= high)) {
    refuse(
      "uniform-order",
      `a range from ${low} to ${high}`,
      "a lower end not above the upper",
      "Exchange the two ends.",
    );
  }
  if (!(u >= 0 && u <= 1)) refuseProbability(u);
  return clamp(low + u * (high - low), low, high);
}

/** Truncated standard normal on [a, b] with a + b <= 0: the mass lies on the lower side or around 0. */
function lowerSideQuantile(a: number, b: number, u: number): number {
  if (b > -5) {
    const pa = normalCdf(a);
    return normalQuantile(Math.min(1, pa + u * (normalCdf(b) - pa)));
  }
  const logB = logLowerTail(-b);
  const ratio = a === -Infinity ? 0 : Math.exp(logLowerTail(-a) - logB);
  return -tailQuantileOfLog(logB + Math.log(ratio + u * (1 - ratio)));
}

/** Probability beyond x on one side, x >= 0. */
function lowerTail(x: number): number {
  if (x <= 0.67448975) return 0.5 - x * centralRatio(x * x);
  if (x > 38.6) return 0;
  // Splitting the square keeps the exponent exact: x^2/2 reaches 700 and its error is multiplied.
  const coarse = Math.floor(x * 16) / 16;
  const rest = (x - coarse) * (x + coarse);
  return Math.exp(-0.5 * coarse * coarse) * Math.exp(-0.5 * rest) * scaledTail(x);
}

/** Logarithm of the probability beyond x, x > 0.68. */
function logLowerTail(x: number): number {
  return -0.5 * x * x + Math.log(scaledTail(x));
}

/** (PHI(x) - 1/2)/x for |x| <= 0.675, by y = x^2. */
function centralRatio(y: number): number {
  const numerator =
    (((0.06568233791820745 * y + 2.2352520354606837) * y + 161.02823106855587) * y + 1067.6894854603709) * y +
    18154.98125334356;
  const denominator =
    (((y + 47.202581904688245) * y + 976.0985517377767) * y + 10260.932208618979) * y + 45507.78933502673;
  return numerator / denominator;
}

/** Tail probability times exp(x^2/2), for x > 0.67. */
function scaledTail(x: number): number {
  if (x <= 5.656854249492381) {
    const numerator =
      (((((((1.0765576773720192e-8 * x + 0.39894151208813466) * x + 8.883149794388377) * x +
        93.50665613217785) *
        x +
        597.2702763948002) *
        x +
        2494.5375852903726) *
        x +
        6848.190450536283) *
        x +
        11602.65143764735) *
        x +
      9842.714838383978;
    const denominator =
      (((((((x + 22.266688044328117) * x + 235.387901782625) * x + 1519.3775994075547) * x +
        6485.558298266761) *
        x +
        18615.571640885097) *
        x +
        34900.95272114598) *
        x +
        38912.00328609327) *
        x +
      19685.429676859992;
    return numerator / denominator;
  }
  const y = 1 / (x * x);
  const numerator =
    ((((0.023073441764940174 * y + 0.215898534057957) * y + 0.12740116116024736) * y + 0.022235277870649807) *
      y +
      0.0014216191932278934) *
      y +
    2.9112874951168793e-5;
  const denominator =
    ((((y + 1.284260096144911) * y + 0.4682382124808651) * y + 0.06598813786892856) * y +
      0.0037823963320275824) *
      y +
    7.297515550839662e-5;
  return (1 / ROOT_TWO_PI - (y * numerator) / denominator) / x;
}

/** Quantile for p = 1/2 + q, |q| <= 0.425. */
function centralQuantile(q: number): number {
  const r = 0.180625 - q * q;
  const numerator =
    ((((((2509.0809287301227 * r + 33430.57558358813) * r + 67265.7709270087) * r + 45921.95393154987) * r +
      13731.69376550946) *
      r +
      1971.5909503065513) *
      r +
      133.14166789178438) *
      r +
    3.3871328727963665;
  const denominator =
    ((((((5226.495278852854 * r + 28729.085735721943) * r + 39307.89580009271) * r + 21213.794301586597) * r +
      5394.196021424751) *
      r +
      687.1870074920579) *
      r +
      42.31333070160091) *
      r +
    1;
  return (q * numerator) / denominator;
}

/** Upper quantile of the tail probability exp(-s^2), s > 1.58. */
function tailQuantile(s: number): number {
  if (s <= 5) {
    const r = s - 1.6;
    const numerator =
      ((((((0.0007745450142783414 * r + 0.022723844989269184) * r + 0.2417807251774506) * r +
        1.2704582524523684) *
        r +
        3.6478483247632045) *
        r +
        5.769497221460691) *
        r +
        4.630337846156546) *
        r +
      1.4234371107496835;
    const denominator =
      ((((((1.0507500716444169e-9 * r + 0.0005475938084995345) * r + 0.015198666563616457) * r +
        0.14810397642748008) *
        r +
        0.6897673349851) *
        r +
        1.6763848301838038) *
        r +
        2.053191626637759) *
        r +
      1;
    return numerator / denominator;
  }
  const r = s - 5;
  const numerator =
    ((((((2.0103343992922881e-7 * r + 2.7115555687434876e-5) * r + 0.0012426609473880784) * r +
      0.026532189526576124) *
      r +
      0.29656057182850487) *
      r +
      1.7848265399172913) *
      r +
      5.463784911164114) *
      r +
    6.657904643501103;
  const denominator =
    ((((((2.0442631033899397e-15 * r + 1.421511758316446e-7) * r + 1.8463183175100548e-5) * r +
      0.0007868691311456133) *
      r +
      0.014875361290850615) *
      r +
      0.1369298809227358) *
      r +
      0.599832206555888) *
      r +
    1;
  return numerator / denominator;
}

/** Upper quantile of a tail probability given by its logarithm, log p < -3; the log may be below -745. */
function tailQuantileOfLog(logP: number): number {
  const s = Math.sqrt(-logP);
  if (s <= 25) return tailQuantile(s);
  let x = Math.sqrt(2) * s;
  // Newton on the logarithm; the start is within 0.2 and each step squares the relative error.
  for (let i = 0; i < 4; i++) x += (logLowerTail(x) - logP) * scaledTail(x) * ROOT_TWO_PI;
  return x;
}

function clamp(x: number, low: number, high: number): number {
  return Math.min(Math.max(x, low), high);
}

function refuseProbability(p: number): never {
  return refuse(
    "probability",
    `${p} as a probability`,
    "a number from 0 to 1",
    "Give a share of one, as 0.95, not a percentage.",
  );
}
