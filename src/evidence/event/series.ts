/**
 * A short power series fitted to samples with known noise: posterior of its coefficients under
 * normal priors about zero. Bayesian linear regression in closed form (docs/theory/events.md,
 * "The series").
 */

/** Samples with the standard deviation of each. */
export interface Samples {
  readonly time_s: ArrayLike<number>;
  readonly value: ArrayLike<number>;
  readonly noise: ArrayLike<number>;
  /** Number of samples that carry the information of one independent sample, >= 1. */
  readonly correlation: number;
}

const highestPower = 4;

/** Weighted sums that every series about one origin shares. */
export interface PowerSums {
  /** Sums of x^k, k = 0..8. */
  readonly power: Float64Array;
  /** Sums of y x^k, k = 0..4. */
  readonly cross: Float64Array;
  /** Sum of y^2. */
  readonly square: number;
  /** Independent samples in the sums. */
  readonly count: number;
}

/**
 * Sums over samples of y = value - level against x = (time - origin)/span.
 *
 * @param from  smallest x that moves: below it x counts as 0 (0 for a corner, -Infinity for a plain series)
 */
export function powerSums(
  samples: Samples,
  level: number,
  origin: number,
  span: number,
  from: number,
): PowerSums {
  const power = new Float64Array(2 * highestPower + 1);
  const cross = new Float64Array(highestPower + 1);
  const { time_s, value, noise, correlation } = samples;
  let square = 0;
  for (let i = 0; i < time_s.length; i++) {
    const deviation = noise[i] ?? 1;
    const weight = 1 / (deviation * deviation * correlation);
    const y = (value[i] ?? 0) - level;
    const wy = weight * y;
    square += wy * y;
    power[0] = (power[0] ?? 0) + weight;
    cross[0] = (cross[0] ?? 0) + wy;
    const x = ((time_s[i] ?? 0) - origin) / span;
    if (x <= from) continue;
    let xk = 1;
    for (let k = 1; k <= 2 * highestPower; k++) {
      xk *= x;
      power[k] = (power[k] ?? 0) + weight * xk;
      if (k <= highestPower) cross[k] = (cross[k] ?? 0) + wy * xk;
    }
  }
  return { power, cross, square, count: time_s.length / correlation };
}

/** A series: its powers, ascending, 0 to 4, and the prior standard deviation of each coefficient, > 0. */
export interface Series {
  readonly powers: readonly number[];
  readonly spreads: readonly number[];
}

/** Room for the evidence of series of up to five powers; reused, because a scan asks a thousand times. */
export interface Scratch {
  readonly factor: Float64Array;
  readonly solved: Float64Array;
}

export function scratch(): Scratch {
  return { factor: new Float64Array(25), solved: new Float64Array(5) };
}

/**
 * Log evidence of the series sum_j c_j x^(p_j), up to a constant of the samples.
 *
 *   A = S/f^2 + diag(1/u_j^2),   log evidence = -n log f - (y.y/f^2 - g.A^-1 g/f^4 + log|A| + 2 sum log u_j)/2
 *
 * @param sums   of the samples;  @param series  p_j and u_j
 * @param scale  f, factor on the noise of every sample, > 0
 * @param room   left with the lower Cholesky factor of A (rows of the series' length) and L^-1 g/f^2
 * Source        derived in docs/theory/events.md, "The series"
 */
export function logEvidence(sums: PowerSums, series: Series, scale: number, room: Scratch): number {
  const { powers, spreads } = series;
  const { factor, solved } = room;
  const size = powers.length;
  const down = 1 / (scale * scale);
  let log = -sums.count * Math.log(scale);
  let explained = 0;
  for (let i = 0; i < size; i++) {
    const row = i * size;
    let right = down * (sums.cross[powers[i] ?? 0] ?? 0);
    for (let j = 0; j <= i; j++) {
      const other = j * size;
      let entry = down * (sums.power[(powers[i] ?? 0) + (powers[j] ?? 0)] ?? 0);
      const prior = i === j ? 1 / (spreads[i] ?? 1) ** 2 : 0;
      entry += prior;
      for (let k = 0; k < j; k++) entry -= (factor[row + k] ?? 0) * (factor[other + k] ?? 0);
      // A pivot is never below its prior; round-off can say so where there are fewer samples than powers.
      factor[row + j] = i === j ? Math.sqrt(Math.max(entry, prior)) : entry / (factor[other + j] ?? 1);
      if (j < i) right -= (factor[row + j] ?? 0) * (solved[j] ?? 0);
    }
    const pivot = factor[row + i] ?? 1;
    const z = right / pivot;
    solved[i] = z;
    explained += z * z;
    log -= Math.log((spreads[i] ?? 1) * pivot);
  }
  return log - 0.5 * (down * sums.square - explained);
}

/** Posterior of the coefficients of one series. */
export interface SeriesFit {
  readonly powers: readonly number[];
  /** Chi-square of the fit with the noise as scaled, priors included. */
  readonly chiSquare: number;
  /** Lower Cholesky factor of the posterior precision, by rows. */
  readonly factor: Float64Array;
  readonly coefficients: Float64Array;
}

/** Posterior of the coefficients c = A^-1 g/f^2, in the terms of `logEvidence`. */
export function seriesFit(sums: PowerSums, series: Series, scale: number): SeriesFit {
  const room = scratch();
  logEvidence(sums, series, scale, room);
  const { powers } = series;
  const size = powers.length;
  const { factor, solved } = room;
  const explained = solved.reduce((a, z) => a + z * z, 0);
  for (let i = size - 1; i >= 0; i--) {
    let s = solved[i] ?? 0;
    for (let k = i + 1; k < size; k++) s -= (factor[k * size + i] ?? 0) * (solved[k] ?? 0);
    solved[i] = s / (factor[i * size + i] ?? 1);
  }
  return { powers, chiSquare: sums.square / (scale * scale) - explained, factor, coefficients: solved };
}

/**
 * The series at a place: value, slope, and variance of the value.
 *
 * @param part  the whole series, or its rise above its own constant term
 */
export function seriesAt(
  fit: SeriesFit,
  x: number,
  part: "whole" | "rise",
): { readonly value: number; readonly slope: number; readonly variance: number } {
  const { powers, factor, coefficients } = fit;
  const size = powers.length;
  const solved: number[] = [];
  let value = 0;
  let slope = 0;
  let variance = 0;
  for (let i = 0; i < size; i++) {
    const p = powers[i] ?? 0;
    const c = coefficients[i] ?? 0;
    const basis = p === 0 && part === "rise" ? 0 : x ** p;
    value += c * basis;
    if (p > 0) slope += c * p * x ** (p - 1);
    let s = basis;
    for (let k = 0; k < i; k++) s -= (factor[i * size + k] ?? 0) * (solved[k] ?? 0);
    const z = s / (factor[i * size + i] ?? 1);
    solved.push(z);
    variance += z * z;
  }
  return { value, slope, variance };
}
