/**
 * First and total effects of independent inputs on the variance of a result (Sobol indices), from
 * evaluations on two sets of points A and B and the mixed sets AB_i: A with coordinate i from B.
 */
import { refuse } from "../fault/index.js";
import { mean } from "./moments.js";
import { quantileOfSorted } from "./orderStatistics.js";
import { randomStream } from "./random.js";

/** An index with its bootstrap interval [-]. */
export interface EffectEstimate {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** Effects of one input. */
export interface Effect {
  /** Share of the variance that would go if this input alone were known. */
  readonly first: EffectEstimate;
  /** Share that would stay if all the others were known. */
  readonly total: EffectEstimate;
}

/** Effects of all inputs; without `effects` where the result does not vary. */
export interface Effects {
  readonly mean: number;
  readonly variance: number;
  readonly effects?: readonly Effect[];
}

/** Evaluations on the three kinds of points, row for row. */
export interface EffectEvaluations {
  readonly a: ArrayLike<number>;
  readonly b: ArrayLike<number>;
  /** mixed[i] belongs to AB_i; it may end before A and B do, and its index is then one of the rows it has. */
  readonly mixed: readonly ArrayLike<number>[];
}

/** How the intervals are made. */
export interface BootstrapOptions {
  readonly seed: number;
  /** Two-sided, default 0.9 [-]. */
  readonly confidence?: number;
  /** Default 500; 0 leaves out the intervals: both ends are then the estimate. */
  readonly resamples?: number;
}

/**
 * Point at which to evaluate, from one row of twice as many coordinates as there are inputs.
 *
 * @param row    coordinates of A followed by those of B, 2 d numbers
 * @param block  0 for A, 1 for B, 2 + i for AB_i
 * @param out    receives d numbers
 * @returns      out
 * Source        [saltelli-2010, section 3]
 */
export function effectsPoint(row: ArrayLike<number>, block: number, out: Float64Array): Float64Array {
  const d = out.length;
  for (let j = 0; j < d; j++) {
    const fromB = block === 1 || block === 2 + j;
    out[j] = row[fromB ? d + j : j] ?? Number.NaN;
  }
  return out;
}

/**
 * First and total effects with percentile bootstrap intervals over the rows.
 *
 *   S_i V = mean( f_B (f_ABi - f_A) ),   T_i V = mean( (f_A - f_ABi)^2 ) / 2
 *
 * @param evaluations  N values each, N >= 2, all finite; V is that of all values of A and B
 * @param options      see BootstrapOptions
 * @returns            an index for each input, not clipped to [0, 1]: an estimate may pass the ends
 *                     by its error. The intervals take rows as independent; for scrambled Sobol
 *                     points they are, as a rule, wider than need be.
 * Refuses             A and B of unequal lengths, a mixed set longer than they, fewer than two rows,
 *                     values not finite.
 * Source              first [saltelli-2010, table 2 (b)]; total [jansen-1999], [saltelli-2010, table 2 (f)]
 */
export function sobolEffects(evaluations: EffectEvaluations, options: BootstrapOptions): Effects {
  const { a, b, mixed } = evaluations;
  const n = a.length;
  checkEvaluations(evaluations);
  const centre = (mean(a) + mean(b)) / 2;
  const rows = rowTerms(evaluations, centre);
  const ones = new Float64Array(n).fill(1);
  const whole = indices(rows, ones);
  if (!(whole.variance > 0)) return { mean: centre, variance: 0 };

  const resamples = options.resamples ?? 500;
  const side = (1 - (options.confidence ?? 0.9)) / 2;
  const stream = randomStream(options.seed);
  const firsts = mixed.map(() => new Float64Array(resamples));
  const totals = mixed.map(() => new Float64Array(resamples));
  const weights = new Float64Array(n);
  for (let k = 0; k < resamples; k++) {
    weights.fill(0);
    for (let draw = 0; draw < n; draw++) {
      const r = stream.below(n);
      weights[r] = (weights[r] ?? 0) + 1;
    }
    const again = indices(rows, weights);
    for (let i = 0; i < mixed.length; i++) {
      put(firsts[i], k, again.first[i] ?? Number.NaN);
      put(totals[i], k, again.total[i] ?? Number.NaN);
    }
  }
  const withInterval = (estimate: number, sample: Float64Array | undefined): EffectEstimate => {
    const sorted = (sample ?? new Float64Array()).filter(Number.isFinite).sort();
    if (sorted.length === 0) return { estimate, low: estimate, high: estimate };
    return { estimate, low: quantileOfSorted(sorted, side), high: quantileOfSorted(sorted, 1 - side) };
  };
  return {
    mean: centre,
    variance: whole.variance,
    effects: mixed.map((_, i) => ({
      first: withInterval(whole.first[i] ?? 0, firsts[i]),
      total: withInterval(whole.total[i] ?? 0, totals[i]),
    })),
  };
}

/** What each row adds to the sums, so that a resample is a weighting of rows. */
interface RowTerms {
  readonly sum: Float64Array;
  readonly squares: Float64Array;
  readonly first: readonly Float64Array[];
  readonly total: readonly Float64Array[];
}

function rowTerms({ a, b, mixed }: EffectEvaluations, centre: number): RowTerms {
  const n = a.length;
  const sum = new Float64Array(n);
  const squares = new Float64Array(n);
  const first = mixed.map(({ length }) => new Float64Array(length));
  const total = mixed.map(({ length }) => new Float64Array(length));
  for (let r = 0; r < n; r++) {
    // Centred, so that the products do not carry the square of the mean.
    const fa = (a[r] ?? 0) - centre;
    const fb = (b[r] ?? 0) - centre;
    sum[r] = fa + fb;
    squares[r] = fa * fa + fb * fb;
    for (let i = 0; i < mixed.length; i++) {
      const values = mixed[i] ?? [];
      if (r >= values.length) continue;
      const change = (values[r] ?? 0) - centre - fa;
      put(first[i], r, fb * change);
      put(total[i], r, (change * change) / 2);
    }
  }
  return { sum, squares, first, total };
}

function indices(rows: RowTerms, weights: Float64Array) {
  const counts = countsUpTo(weights);
  const count = counts[weights.length] ?? 0;
  const average = dot(rows.sum, weights) / (2 * count);
  const variance = dot(rows.squares, weights) / (2 * count) - average * average;
  const meanOf = (terms: Float64Array) => dot(terms, weights) / (counts[terms.length] ?? 0);
  return {
    variance,
    first: rows.first.map((terms) => meanOf(terms) / variance),
    total: rows.total.map((terms) => meanOf(terms) / variance),
  };
}

/** Sum of the first n weights at place n. */
function countsUpTo(weights: Float64Array): Float64Array {
  const counts = new Float64Array(weights.length + 1);
  for (let r = 0; r < weights.length; r++) counts[r + 1] = (counts[r] ?? 0) + (weights[r] ?? 0);
  return counts;
}

function put(into: Float64Array | undefined, at: number, value: number): void {
  if (into !== undefined) into[at] = value;
}

function dot(x: Float64Array, y: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] ?? 0) * (y[i] ?? 0);
  return sum;
}

function checkEvaluations({ a, b, mixed }: EffectEvaluations): void {
  const n = a.length;
  const isShort = (values: ArrayLike<number>) => values.length < 2 || values.length > n;
  for (const values of [a, b, ...mixed]) {
    if (isShort(values) || (values === b && values.length !== n)) {
      refuse(
        "effects-rows",
        `${values.length} evaluations in a set beside ${n} in the first`,
        "at least two rows, as many in A as in B, and no more in any other set",
        "Evaluate every row on every set of points.",
      );
    }
    for (let r = 0; r < values.length; r++) {
      if (Number.isFinite(values[r])) continue;
      refuse(
        "effects-value",
        `the result of row ${r + 1} is ${values[r]}`,
        "finite results: the variance of a sample with a missing one is not known",
        "Drop that row from every set, and report how many were dropped.",
      );
    }
  }
}
