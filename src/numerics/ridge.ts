/** Linear regression that prefers small coefficients. */
import { CholeskyDecomposition, Matrix } from "ml-matrix";

/** Rows of a regression. */
export interface RegressionRows {
  /** Terms of each row. */
  readonly terms: readonly Float64Array[];
  /** Outputs of each row, any number of them. */
  readonly outputs: readonly Float64Array[];
  /** Weight of each row, >= 0. */
  readonly weights: ArrayLike<number>;
}

/**
 * Coefficients B that make
 *
 *   sum over rows of w_i |y_i - B^T x_i|^2  +  sum over terms of p_j |B_j|^2
 *
 * least: B = (X^T W X + P)^-1 X^T W Y.
 *
 * @param penalties  p_j > 0 of each term, in rows of weight 1 whose term is 1
 * @returns          terms x outputs, row after row
 * Source            [hoerl-kennard-1970, eq. 2.1]
 */
export function ridgeRegression(
  { terms, outputs, weights }: RegressionRows,
  penalties: ArrayLike<number>,
): Float64Array {
  const p = penalties.length;
  const k = outputs[0]?.length ?? 0;
  const square = new Float64Array(p * p);
  const right = new Float64Array(p * k);
  terms.forEach((x, i) => {
    const w = weights[i] ?? 0;
    if (w === 0) return;
    const y = outputs[i] ?? x;
    for (let a = 0; a < p; a++) {
      const wx = w * (x[a] as number);
      for (let b = 0; b <= a; b++) square[a * p + b] = (square[a * p + b] as number) + wx * (x[b] as number);
      for (let c = 0; c < k; c++) right[a * k + c] = (right[a * k + c] as number) + wx * (y[c] as number);
    }
  });
  const A = Matrix.zeros(p, p);
  for (let a = 0; a < p; a++) {
    for (let b = 0; b <= a; b++) {
      A.set(a, b, square[a * p + b] as number);
      A.set(b, a, square[a * p + b] as number);
    }
    A.set(a, a, A.get(a, a) + (penalties[a] ?? 0));
  }
  const solved = new CholeskyDecomposition(A).solve(Matrix.from1DArray(p, k, Array.from(right)));
  return Float64Array.from(solved.to1DArray());
}
