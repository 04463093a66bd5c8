/**
 * Nonlinear least squares by the Levenberg-Marquardt method: a damped Gauss-Newton step from an
 * orthogonal factorisation, damping by the ratio of the reduction gained to the one predicted.
 */
import { choleskyInverse, householder, solveDamped } from "./dampedStep.js";

/** A sum of squares to be made least over x. */
export interface LeastSquaresProblem {
  /** Residuals at x, always as many; values that are not finite mark x as out of bounds. */
  readonly residuals: (x: Float64Array) => ArrayLike<number>;
  /** Derivatives, row after row: out[i n + j] = d r_i / d x_j. By differences if not given. */
  readonly jacobian?: (x: Float64Array) => ArrayLike<number>;
  readonly start: ArrayLike<number>;
  /**
   * Size of a change of each x that matters, > 0; the difference steps are taken from it where x is
   * smaller. Default: the size of x, or 1 where x starts at 0.
   */
  readonly scale?: ArrayLike<number>;
  /** Differences for the derivatives: "central" (default) or "forward", half the work. */
  readonly differences?: "central" | "forward";
  /** Default 200. */
  readonly maxIterations?: number;
  /** Relative step, and cosine between residuals and columns, at which it stops; default 1e-10 [-]. */
  readonly tolerance?: number;
}

/** Why the search ended. The first three are convergence. */
export type LeastSquaresReason =
  | "gradient: the residuals are at right angles to every direction of change"
  | "step: the last step was below the tolerance"
  | "reduction: no further reduction was to be gained"
  | "iterations: the limit was reached"
  | "stalled: no step reduced the sum of squares"
  | "start: the residuals at the start are not finite";

/** The state at the end of a search, converged or not. */
export interface LeastSquaresResult {
  readonly x: Float64Array;
  readonly residuals: Float64Array;
  readonly sumOfSquares: number;
  /** Row after row, at x. */
  readonly jacobian: Float64Array;
  /**
   * (J^T J)^-1, n x n row after row: times the variance of one residual it is the covariance of x.
   * Not there if the residuals leave a direction of x undetermined.
   */
  readonly covarianceFactor?: Float64Array;
  readonly converged: boolean;
  readonly reason: LeastSquaresReason;
  /** Largest cosine between the residuals and a column of the jacobian at x [-]. */
  readonly gradientCosine: number;
  readonly iterations: number;
  /** Calls of `residuals`, those for differences included. */
  readonly evaluations: number;
}

// A column is taken as dependent on the others when this little of it is left.
const RANK_TOLERANCE = 1e-13;
// Below this share of the sum of squares a predicted reduction is rounding noise.
const NOISE = 1e-13;
const FIRST_DAMPING = 1e-3;
const MOST_DAMPING = 1e20;

/**
 * Least sum of squares from a starting point. Never throws on failure to converge: the result says
 * why it ended, with the last residuals.
 *
 * @param problem  see LeastSquaresProblem
 * @returns        see LeastSquaresResult; at least as good as the start
 * Source          scaling by column norms [more-1978]; damping [nielsen-1999], [madsen-2004, 3.2]
 */
export function leastSquares(problem: LeastSquaresProblem): LeastSquaresResult {
  const tolerance = problem.tolerance ?? 1e-10;
  const maxIterations = problem.maxIterations ?? 200;
  const n = problem.start.length;
  let evaluations = 0;
  const residualsAt = (x: Float64Array): Float64Array => {
    evaluations++;
    return Float64Array.from(problem.residuals(x));
  };
  let x: Float64Array = Float64Array.from(problem.start);
  const typical = x.map((value, j) => problem.scale?.[j] ?? (value === 0 ? 1 : Math.abs(value)));
  let r = residualsAt(x);
  const m = r.length;
  let square = normSquared(r);
  let jacobian: Float64Array = new Float64Array(m * n);
  let iterations = 0;
  const finish = (reason: LeastSquaresReason, gradientCosine: number): LeastSquaresResult => {
    const covarianceFactor = choleskyInverse(householder(jacobian, r, n).upper, n, RANK_TOLERANCE);
    return {
      x,
      residuals: r,
      sumOfSquares: square,
      jacobian,
      ...(covarianceFactor === undefined ? {} : { covarianceFactor }),
      converged: /^(gradient|step|reduction)/.test(reason),
      reason,
      gradientCosine,
      iterations,
      evaluations,
    };
  };
  if (!Number.isFinite(square)) return finish("start: the residuals at the start are not finite", 1);

  const derivatives = (): Float64Array =>
    problem.jacobian
      ? Float64Array.from(problem.jacobian(x))
      : differences(problem, residualsAt, x, r, typical);
  jacobian = derivatives();
  const columns = new Float64Array(n);
  let damping = FIRST_DAMPING;
  let growth = 2;
  while (true) {
    for (let j = 0; j < n; j++) columns[j] = Math.max(columns[j] ?? 0, columnNorm(jacobian, n, j));
    const factors = householder(jacobian, r, n);
    const cosine = largestCosine(jacobian, r, n);
    if (cosine <= tolerance || square === 0) {
      return finish("gradient: the residuals are at right angles to every direction of change", cosine);
    }
    let accepted = false;
    while (!accepted) {
      if (iterations >= maxIterations) return finish("iterations: the limit was reached", cosine);
      iterations++;
      const step = solveDamped(factors, columns, damping, n);
      const next = x.map((value, j) => value + (step.delta[j] ?? 0));
      const small = scaledNorm(step.delta, columns) <= tolerance * scaledNorm(x, columns);
      const trial = residualsAt(next);
      const trialSquare = normSquared(trial);
      const gained = square - trialSquare;
      const inNoise = step.predicted <= NOISE * square && Math.abs(gained) <= 10 * NOISE * square;
      // In the noise the sum of squares cannot judge a step; a nearly undamped one is trusted once.
      const ratio = inNoise && damping <= 1 ? 1 : gained / step.predicted;
      if (ratio > 1e-4) {
        x = next;
        r = trial;
        square = trialSquare;
        jacobian = derivatives();
        accepted = true;
        if (inNoise) {
          return finish("reduction: no further reduction was to be gained", largestCosine(jacobian, r, n));
        }
        if (small && damping <= 1) {
          return finish("step: the last step was below the tolerance", largestCosine(jacobian, r, n));
        }
        damping *= Math.max(1 / 3, 1 - (2 * ratio - 1) ** 3);
        growth = 2;
      } else {
        damping *= growth;
        growth *= 2;
        if (damping > MOST_DAMPING) return finish("stalled: no step reduced the sum of squares", cosine);
      }
    }
  }
}

/** Derivatives by differences; where one side is out of bounds, from the other alone. */
function differences(
  problem: LeastSquaresProblem,
  residualsAt: (x: Float64Array) => Float64Array,
  x: Float64Array,
  r: Float64Array,
  typical: Float64Array,
): Float64Array {
  const n = x.length;
  const central = problem.differences !== "forward";
  // Balances truncation against rounding for each order of the difference.
  const share = central ? Math.cbrt(Number.EPSILON) : Math.sqrt(Number.EPSILON);
  const jacobian = new Float64Array(r.length * n);
  const moved = Float64Array.from(x);
  for (let j = 0; j < n; j++) {
    const here = x[j] ?? 0;
    const h = share * Math.max(Math.abs(here), problem.scale ? (typical[j] ?? 1) : 1e-3 * (typical[j] ?? 1));
    moved[j] = here + h;
    let high = residualsAt(moved);
    let width = (moved[j] ?? 0) - here;
    let low = r;
    const highFinite = Number.isFinite(normSquared(high));
    if (central || !highFinite) {
      moved[j] = here - h;
      const below = residualsAt(moved);
      if (Number.isFinite(normSquared(below))) {
        low = below;
        width = (highFinite ? width : 0) + here - (moved[j] ?? 0);
        if (!highFinite) high = r;
      }
    }
    moved[j] = here;
    for (let i = 0; i < r.length; i++) {
      const slope = ((high[i] ?? 0) - (low[i] ?? 0)) / width;
      jacobian[i * n + j] = Number.isFinite(slope) ? slope : 0;
    }
  }
  return jacobian;
}

function largestCosine(jacobian: Float64Array, r: Float64Array, n: number): number {
  const length = Math.sqrt(normSquared(r));
  let largest = 0;
  for (let j = 0; j < n; j++) {
    let product = 0;
    for (let i = 0; i < r.length; i++) product += (jacobian[i * n + j] ?? 0) * (r[i] ?? 0);
    const norm = columnNorm(jacobian, n, j) * length;
    if (norm > 0) largest = Math.max(largest, Math.abs(product) / norm);
  }
  return largest;
}

function columnNorm(jacobian: Float64Array, n: number, j: number): number {
  let sum = 0;
  for (let k = j; k < jacobian.length; k += n) sum += (jacobian[k] ?? 0) ** 2;
  return Math.sqrt(sum);
}

function scaledNorm(x: Float64Array, columns: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < x.length; j++) sum += ((x[j] ?? 0) * (columns[j] ?? 0)) ** 2;
  return Math.sqrt(sum);
}

function normSquared(r: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) sum += (r[i] ?? 0) ** 2;
  return sum;
}
