/** What a measurement that is yet to be made is expected to tell, in the linear model with normal errors. */
import { CholeskyDecomposition, Matrix } from "ml-matrix";

/** Variances of a wanted quantity and of the inputs before and after a measurement. */
export interface ExpectedNarrowing {
  readonly before: number;
  readonly after: number;
  /** Variance of each input after, with 1 before [-]. */
  readonly inputs: Float64Array;
}

/**
 * Variance of q = g z before and after observing y = J z + e, with z ~ N(0, I) and e ~ N(0, I):
 *
 *   before = g g^T,   after = g (I + J^T J)^-1 g^T
 *
 * It does not depend on what is observed: that is why a test can be rated before it is made.
 *
 * @param gradient  g, change of the quantity per standard deviation of each input
 * @param rows      J, change of each observation per standard deviation of each input, in its own errors
 * @returns         variances in the squared unit of the quantity; of the inputs as shares
 * Source           [chaloner-verdinelli-1995, sec. 2]
 */
export function expectedNarrowing(
  gradient: ArrayLike<number>,
  rows: readonly ArrayLike<number>[],
): ExpectedNarrowing {
  const n = gradient.length;
  const g = Matrix.zeros(n, 1);
  for (let j = 0; j < n; j++) g.set(j, 0, gradient[j] ?? 0);
  const precision = Matrix.eye(n, n);
  for (const row of rows)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) precision.set(i, j, precision.get(i, j) + (row[i] ?? 0) * (row[j] ?? 0));
  const covariance = new CholeskyDecomposition(precision).solve(Matrix.eye(n, n));
  const square = (matrix: Matrix): number => g.transpose().mmul(matrix).mmul(g).get(0, 0);
  return {
    before: n === 0 ? 0 : square(Matrix.eye(n, n)),
    after: n === 0 ? 0 : square(covariance),
    inputs: Float64Array.from({ length: n }, (_, j) => covariance.get(j, j)),
  };
}
