/**
 * Propagation of uncertainty through a measurement equation y = f(x1, ..., xn): the first order of the
 * GUM with effective degrees of freedom, its terms of the next order on request, and the Monte Carlo
 * method of its first supplement, which both can be held against.
 */
import { refuse } from "../fault/index.js";
import { studentQuantile } from "./distributions.js";
import { normalQuantile, triangularQuantile, uniformQuantile } from "./normal.js";
import { randomStream } from "./random.js";
import { gaussianCopula } from "./rankCorrelation.js";

/** What is known of one quantity that enters a measurement. */
export interface Contributor {
  readonly name: string;
  readonly value: number;
  /** Standard uncertainty, >= 0, in the unit of the value. */
  readonly standardUncertainty: number;
  /** Degrees of freedom of that uncertainty; without it the uncertainty counts as known. */
  readonly degreesOfFreedom?: number;
  /**
   * Law for the Monte Carlo method. `normal` (default) becomes Student's t with few degrees of freedom;
   * `uniform` and `triangular` are symmetric about the value.
   */
  readonly law?: "normal" | "uniform" | "triangular";
  /** Quantile function of its law for the Monte Carlo method, 0 < p < 1; goes before `law`. */
  readonly quantile?: (p: number) => number;
}

/** Correlation of two contributors by their numbers in the list. */
export interface ContributorCorrelation {
  readonly first: number;
  readonly second: number;
  /** Correlation coefficient, -1 to 1 [-]. */
  readonly r: number;
}

/** How much one contributor brings in. */
export interface Contribution {
  readonly name: string;
  /** c = df/dx, in the unit of the result over that of the contributor. */
  readonly sensitivity: number;
  /** |c| u, in the unit of the result. */
  readonly uncertainty: number;
  /** Its square over the sum of the squares of all [-]. */
  readonly share: number;
}

/** A result with its uncertainty. */
export interface Propagated {
  readonly value: number;
  readonly standardUncertainty: number;
  /** Effective degrees of freedom; infinity where every uncertainty counts as known. */
  readonly degreesOfFreedom: number;
  readonly contributions: readonly Contribution[];
}

export type Measurement = (x: Float64Array) => number;

/** Step of the central differences, as a share of each standard uncertainty: far below it, far above rounding. */
const stepShare = 0.01;

/**
 * First order of the law of propagation.
 *
 *   u^2 = sum_i (c_i u_i)^2 + 2 sum_{i<j} c_i c_j u_i u_j r_ij,   nu_eff = u^4 / sum_i (c_i u_i)^4 / nu_i
 *
 * @param f             the measurement equation
 * @param contributors  its arguments in order
 * @param correlations  pairs that are not independent
 * @returns             value f(x), u and nu_eff; contributions in the order of the list
 * Valid for            an f that is nearly linear over the uncertainties; nu_eff for independent contributors
 * Source               [gum-2008, 5.1.2, 5.2.2 and G.4.1]
 */
export function propagate(
  f: Measurement,
  contributors: readonly Contributor[],
  correlations: readonly ContributorCorrelation[] = [],
): Propagated {
  const x = Float64Array.from(contributors, ({ value }) => value);
  const value = f(x);
  const sensitivities = contributors.map(({ standardUncertainty: u }, i) =>
    u === 0 ? 0 : centralSlope(f, x, i, stepShare * u),
  );
  const parts = contributors.map(({ standardUncertainty: u }, i) => (sensitivities[i] ?? 0) * u);
  let variance = parts.reduce((sum, part) => sum + part * part, 0);
  const squares = variance;
  for (const { first, second, r } of correlations)
    variance += 2 * (parts[first] ?? 0) * (parts[second] ?? 0) * r;
  const u = Math.sqrt(Math.max(variance, 0));
  const weighed = contributors.reduce(
    (sum, { degreesOfFreedom: nu }, i) => sum + (nu === undefined ? 0 : (parts[i] ?? 0) ** 4 / nu),
    0,
  );
  return {
    value,
    standardUncertainty: u,
    degreesOfFreedom: weighed > 0 ? u ** 4 / weighed : Number.POSITIVE_INFINITY,
    contributions: contributors.map(({ name }, i) => ({
      name,
      sensitivity: sensitivities[i] ?? 0,
      uncertainty: Math.abs(parts[i] ?? 0),
      share: squares > 0 ? (parts[i] ?? 0) ** 2 / squares : 0,
    })),
  };
}

function centralSlope(f: Measurement, x: Float64Array, i: number, step: number): number {
  const moved = Float64Array.from(x);
  const middle = x[i] ?? 0;
  moved[i] = middle + step;
  const above = (moved[i] ?? 0) - middle;
  const high = f(moved);
  moved[i] = middle - step;
  const below = middle - (moved[i] ?? 0);
  return (high - f(moved)) / (above + below);
}

/**
 * Standard uncertainty with the terms of the next order, for independent contributors of symmetric laws:
 *
 *   u^2 = sum_i (c_i u_i)^2 + sum_ij (f_ij^2 / 2 + f_i f_ijj) u_i^2 u_j^2
 *
 * @returns  u in the unit of the result; f is taken at steps of one standard uncertainty
 * Source    [gum-2008, 5.1.2, note]
 */
export function secondOrderUncertainty(f: Measurement, contributors: readonly Contributor[]): number {
  const x = Float64Array.from(contributors, ({ value }) => value);
  const u = contributors.map(({ standardUncertainty }) => standardUncertainty);
  const at = (i: number, a: number, j: number, b: number): number => {
    const moved = Float64Array.from(x);
    moved[i] = (moved[i] ?? 0) + a * (u[i] ?? 0);
    moved[j] = (moved[j] ?? 0) + b * (u[j] ?? 0);
    return f(moved);
  };
  const first = propagate(f, contributors);
  let variance = first.standardUncertainty ** 2;
  for (let i = 0; i < u.length; i++) {
    const slope = (first.contributions[i]?.sensitivity ?? 0) * (u[i] ?? 0);
    for (let j = 0; j < u.length; j++) {
      if (u[i] === 0 || u[j] === 0) continue;
      // Each derivative times the uncertainties it goes with.
      const mixed = (at(i, 1, j, 1) - at(i, 1, j, -1) - at(i, -1, j, 1) + at(i, -1, j, -1)) / 4;
      const third =
        (at(i, 1, j, 1) - 2 * at(i, 1, j, 0) + at(i, 1, j, -1)) / 2 -
        (at(i, -1, j, 1) - 2 * at(i, -1, j, 0) + at(i, -1, j, -1)) / 2;
      const ownThird = (at(i, 2, j, 0) - 2 * at(i, 1, j, 0) + 2 * at(i, -1, j, 0) - at(i, -2, j, 0)) / 2;
      const ownSecond = at(i, 1, j, 0) - 2 * first.value + at(i, -1, j, 0);
      variance += i === j ? 0.5 * ownSecond ** 2 + slope * ownThird : 0.5 * mixed ** 2 + slope * third;
    }
  }
  return Math.sqrt(Math.max(variance, 0));
}

/**
 * Factor k of the expanded uncertainty U = k u.
 *
 * @param coverage  wanted probability, 0 < coverage < 1 [-];  @param degreesOfFreedom  > 0, may be infinite
 * @returns         quantile of Student's t at the whole degrees of freedom below, of the normal law at infinity [-]
 * Source           [gum-2008, G.4.1 and table G.2]
 */
export function coverageFactorFor(coverage: number, degreesOfFreedom: number): number {
  const p = (1 + coverage) / 2;
  if (!Number.isFinite(degreesOfFreedom) || degreesOfFreedom > endless) return normalQuantile(p);
  return studentQuantile(p, Math.max(Math.floor(degreesOfFreedom), 1));
}

/** Degrees of freedom beyond which Student's law is the normal one to six digits. */
const endless = 1e6;

/** How the Monte Carlo method is asked. */
export interface MonteCarloOptions {
  /** Number of draws, at least 1000. */
  readonly trials: number;
  readonly seed: number;
  /** Probability of the intervals, 0 < coverage < 1 [-]. */
  readonly coverage: number;
  /** Pairs that are not independent, by a Gaussian copula. */
  readonly correlations?: readonly ContributorCorrelation[];
}

/** What the draws show. */
export interface MonteCarloResult {
  readonly mean: number;
  readonly standardUncertainty: number;
  /** Leaves as much on either side. */
  readonly symmetric: readonly [number, number];
  readonly shortest: readonly [number, number];
}

const leastTrials = 1000;

/**
 * Propagation of distributions by the Monte Carlo method.
 *
 * @returns  mean, standard deviation and both coverage intervals of the draws; the same seed, the same bits
 * Refuses   fewer than 1000 draws, a coverage outside (0, 1)
 * Source    [jcgm-101-2008, 7.2 to 7.7]; laws 6.4.2 (uniform), 6.4.5 (triangular), 6.4.7 (normal), 6.4.9 (t)
 */
export function propagateByMonteCarlo(
  f: Measurement,
  contributors: readonly Contributor[],
  { trials, seed, coverage, correlations = [] }: MonteCarloOptions,
): MonteCarloResult {
  if (!(trials >= leastTrials && coverage > 0 && coverage < 1))
    refuse(
      "monte-carlo-arguments",
      `${trials} draws for an interval of ${coverage}`,
      `An interval from draws needs at least ${leastTrials} of them, and a probability between 0 and 1.`,
      "Ask for more draws, or give the coverage as a share of one, as 0.95.",
    );
  const streams = contributors.map((_, i) => randomStream(seed, i));
  const quantiles = contributors.map(quantileOf);
  const copula =
    correlations.length === 0 ? undefined : gaussianCopula(rankMatrix(contributors.length, correlations));
  const uniforms = new Float64Array(contributors.length);
  const x = new Float64Array(contributors.length);
  const y = new Float64Array(trials);
  for (let k = 0; k < trials; k++) {
    for (let i = 0; i < streams.length; i++) uniforms[i] = streams[i]?.uniform() ?? 0.5;
    copula?.correlate(uniforms);
    for (let i = 0; i < quantiles.length; i++) x[i] = quantiles[i]?.(uniforms[i] ?? 0.5) ?? 0;
    y[k] = f(x);
  }
  y.sort();
  const mean = y.reduce((sum, value) => sum + value, 0) / trials;
  const square = y.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const inside = Math.round(coverage * trials);
  const left = Math.floor((trials - inside) / 2);
  let narrowest = 0;
  for (let r = 0; r + inside < trials; r++) {
    const width = (from: number) => (y[from + inside] ?? 0) - (y[from] ?? 0);
    if (width(r) < width(narrowest)) narrowest = r;
  }
  return {
    mean,
    standardUncertainty: Math.sqrt(square / (trials - 1)),
    symmetric: [y[left] ?? 0, y[Math.min(left + inside, trials - 1)] ?? 0],
    shortest: [y[narrowest] ?? 0, y[Math.min(narrowest + inside, trials - 1)] ?? 0],
  };
}

function quantileOf({
  value,
  standardUncertainty: u,
  degreesOfFreedom: nu,
  law = "normal",
  quantile,
}: Contributor): (p: number) => number {
  if (u === 0) return () => value;
  if (quantile !== undefined) return quantile;
  const half = Math.sqrt(law === "uniform" ? 3 : 6) * u;
  if (law === "uniform") return (p) => uniformQuantile(value - half, value + half, p);
  if (law === "triangular") return (p) => triangularQuantile(value - half, value, value + half, p);
  if (nu === undefined || !Number.isFinite(nu)) return (p) => value + u * normalQuantile(p);
  return (p) => value + u * studentQuantile(p, nu);
}

/** Rank correlations that give a copula of the wanted correlation coefficients between normal laws. */
function rankMatrix(n: number, correlations: readonly ContributorCorrelation[]): readonly Float64Array[] {
  const rows = Array.from({ length: n }, (_, i) =>
    Float64Array.from({ length: n }, (__, j) => (i === j ? 1 : 0)),
  );
  for (const { first, second, r } of correlations) {
    const rank = (6 / Math.PI) * Math.asin(r / 2);
    for (const [i, j] of [
      [first, second],
      [second, first],
    ] as const) {
      const row = rows[i];
      if (row !== undefined) row[j] = rank;
    }
  }
  return rows;
}

/**
 * Largest difference between the ends of two coverage intervals that says nothing: half a unit of the
 * last digit in which the standard uncertainty is stated.
 *
 *   u = c 10^l with c of `digits` digits,   delta = 10^l / 2
 *
 * @param digits  significant digits of u that count, 1 or 2
 * @returns       delta in the unit of u
 * Source         [jcgm-101-2008, 7.9.2 and 8.1]
 */
export function numericalTolerance(standardUncertainty: number, digits: 1 | 2): number {
  if (!(standardUncertainty > 0)) return 0;
  const exponent = Math.floor(Math.log10(standardUncertainty)) - (digits - 1);
  return 0.5 * 10 ** exponent;
}
