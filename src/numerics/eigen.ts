/** Eigenvalues of symmetric matrices. */
import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { refuse } from "../fault/index.js";

/** Values in rising order; `vectors[k]` is the unit vector of `values[k]`. */
export interface SymmetricEigen {
  readonly values: Float64Array;
  readonly vectors: readonly Float64Array[];
}

/**
 * Eigenvalues and orthonormal eigenvectors of a symmetric matrix.
 *
 * @param matrix  n rows of n finite numbers, symmetric to 1e-9 of its largest entry
 * Refuses        a matrix that is not square, not finite or not symmetric.
 */
export function symmetricEigen(matrix: readonly ArrayLike<number>[]): SymmetricEigen {
  checkSymmetric(matrix);
  const rows = matrix.map((row) => Array.from(row));
  const result = new EigenvalueDecomposition(new Matrix(rows), { assumeSymmetric: true });
  const order = result.realEigenvalues.map((value, k) => ({ value, k })).sort((p, q) => p.value - q.value);
  return {
    values: Float64Array.from(order, (entry) => entry.value),
    vectors: order.map((entry) => Float64Array.from(result.eigenvectorMatrix.getColumn(entry.k))),
  };
}

function checkSymmetric(matrix: readonly ArrayLike<number>[]): void {
  const n = matrix.length;
  let largest = 0;
  for (const row of matrix) {
    for (let j = 0; j < row.length; j++) largest = Math.max(largest, Math.abs(row[j] ?? 0));
  }
  matrix.forEach((row, i) => {
    if (row.length !== n) {
      refuse(
        "matrix-shape",
        `row ${i + 1} of the matrix has ${row.length} entries`,
        `${n} entries, as many as there are rows`,
        "Complete the matrix.",
      );
    }
    for (let j = 0; j < n; j++) {
      const entry = row[j] ?? Number.NaN;
      const mirror = matrix[j]?.[i] ?? Number.NaN;
      if (Math.abs(entry - mirror) <= 1e-9 * largest) continue;
      refuse(
        "matrix-symmetry",
        `entry (${i + 1}, ${j + 1}) of the matrix is ${entry} and entry (${j + 1}, ${i + 1}) is ${mirror}`,
        "the same finite number in both places",
        "Make the matrix symmetric.",
      );
    }
  });
}
