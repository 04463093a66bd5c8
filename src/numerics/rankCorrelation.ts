/** Dependence between sampled inputs, given as rank correlations, by a Gaussian copula. */
import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { refuse } from "../fault/index.js";
import { symmetricEigen } from "./eigen.js";
import { normalCdf, normalQuantile } from "./normal.js";

/** Turns independent uniforms into dependent ones. */
export interface Copula {
  readonly dimensions: number;
  /**
   * Replaces the first `dimensions` numbers from `offset` on, independent uniforms in (0, 1), by
   * uniforms with the rank correlations of the copula. The first of them stays as it is.
   */
  correlate(uniforms: Float64Array, offset?: number): void;
}

/**
 * Gaussian copula with given Spearman correlations.
 *
 *   r = 2 sin(pi rho / 6);  u' = PHI(L PHI^-1(u)),  L L^T = r
 *
 * @param rankCorrelation  n rows of n; symmetric, ones on the diagonal, |rho| < 1 elsewhere
 * @returns                the copula
 * Refuses  a matrix that is not square and symmetric, a diagonal other than 1, |rho| >= 1 off it, and
 *          correlations that contradict each other (r not positive definite), with the eigenvalue.
 * Source   r from rho for the normal law: [kruskal-1958, p. 828]; [pearson-1907] derived it
 */
export function gaussianCopula(rankCorrelation: readonly ArrayLike<number>[]): Copula {
  const n = rankCorrelation.length;
  const eigen = symmetricEigen(rankCorrelation);
  const product = rankCorrelation.map((row, i) => Array.from(row, (rho, j) => productCorrelation(rho, i, j)));
  const least = n === 0 ? 1 : (symmetricEigen(product).values[0] ?? 0);
  // Below this the factor would be rounding noise.
  if (least < 1e-10) {
    refuse(
      "correlation-not-positive",
      `rank correlations that contradict each other: least eigenvalue ${least.toPrecision(3)} (${(eigen.values[0] ?? 0).toPrecision(3)} before conversion)`,
      "a positive definite matrix: no set of inputs can have correlations that imply one another's opposite",
      "Bring the largest correlations nearer to 0, or leave out one input that follows from the others.",
    );
  }
  const factor =
    n === 0 ? [] : new CholeskyDecomposition(new Matrix(product)).lowerTriangularMatrix.to2DArray();
  const rows = factor.map((row) => Float64Array.from(row));
  return {
    dimensions: n,
    correlate(uniforms, offset = 0) {
      for (let i = 0; i < n; i++) uniforms[offset + i] = normalQuantile(uniforms[offset + i] ?? 0.5);
      // From the last row up, so that each still reads the independent normals before it.
      for (let i = n - 1; i >= 0; i--) {
        const row = rows[i];
        let sum = 0;
        for (let j = 0; j <= i; j++) sum += (row?.[j] ?? 0) * (uniforms[offset + j] ?? 0);
        uniforms[offset + i] = normalCdf(sum);
      }
    },
  };
}

function productCorrelation(rho: number, i: number, j: number): number {
  if (i === j) {
    if (rho === 1) return 1;
    refuse(
      "correlation-diagonal",
      `the correlation of input ${i + 1} with itself is ${rho}`,
      "1: an input follows itself",
      "Write 1 on the diagonal.",
    );
  }
  if (Math.abs(rho) < 1) return 2 * Math.sin((Math.PI * rho) / 6);
  return refuse(
    "correlation-range",
    `the rank correlation of inputs ${i + 1} and ${j + 1} is ${rho}`,
    "a number between -1 and 1; at either end the two inputs are one",
    "Give a smaller correlation, or make one input from the other.",
  );
}
