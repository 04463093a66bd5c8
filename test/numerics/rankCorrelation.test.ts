import { describe, expect, it } from "vitest";
import { gaussianCopula, sobolBlock, spearman, symmetricEigen } from "../../src/numerics/index.js";

const sample = (matrix: number[][], n: number): Float64Array[] => {
  const d = matrix.length;
  const copula = gaussianCopula(matrix);
  const points = sobolBlock(0, n, d, 3);
  for (let i = 0; i < n; i++) copula.correlate(points, i * d);
  return matrix.map((_, j) => Float64Array.from({ length: n }, (_, i) => points[i * d + j] ?? 0));
};

describe("Gaussian copula", () => {
  it("gives the rank correlations asked for, and uniform margins", () => {
    const matrix = [
      [1, 0.8, -0.3],
      [0.8, 1, 0.1],
      [-0.3, 0.1, 1],
    ];
    const n = 8192;
    const columns = sample(matrix, n);
    columns.forEach((x, i) => {
      columns.forEach((y, j) => {
        // Four standard errors 1/sqrt(n) of a rank correlation of independent draws.
        expect(Math.abs((spearman(x, y) ?? 9) - (matrix[i]?.[j] ?? 9))).toBeLessThan(4 / Math.sqrt(n));
      });
      const sorted = x.slice().sort();
      const gap = sorted.reduce((most, u, k) => Math.max(most, Math.abs(u - (k + 0.5) / n)), 0);
      // Kolmogorov's bound at one in a thousand.
      expect(gap).toBeLessThan(1.95 / Math.sqrt(n));
    });
  });

  it("leaves the first input and independent ones as they are", () => {
    const copula = gaussianCopula([
      [1, 0.5],
      [0.5, 1],
    ]);
    const u = Float64Array.from([9, 0.2, 0.7, 9]);
    copula.correlate(u, 1);
    expect(u[1]).toBeCloseTo(0.2, 14);
    expect(u[2]).not.toBeCloseTo(0.7, 3);
    expect([u[0], u[3]]).toEqual([9, 9]);
    const free = Float64Array.from([0.2, 1e-9, 1 - 2 ** -33]);
    gaussianCopula([
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ]).correlate(free);
    expect(free[0]).toBeCloseTo(0.2, 14);
    expect((free[1] ?? 0) / 1e-9).toBeCloseTo(1, 12);
    expect(1 - (free[2] ?? 0)).toBeGreaterThan(0);
  });

  it("moves the second median to the conditional one: PHI(r PHI^-1(u)), r = 2 sin(pi rho / 6)", () => {
    const copula = gaussianCopula([
      [1, 0.5],
      [0.5, 1],
    ]);
    // u1 = PHI(1) and r = 2 sin 15 deg = 0.51763809: PHI(0.51763809) = 0.69764 (A. & S. Table 26.1).
    const u = Float64Array.from([0.8413447460685429, 0.5]);
    copula.correlate(u);
    expect(u[1]).toBeCloseTo(0.69764, 5);
  });

  it("refuses correlations that contradict each other, saying so", () => {
    const contradiction = [
      [1, 0.9, -0.9],
      [0.9, 1, 0.9],
      [-0.9, 0.9, 1],
    ];
    expect(() => gaussianCopula(contradiction)).toThrow("contradict each other: least eigenvalue");
  });

  it("refuses a matrix that is not one of correlations", () => {
    expect(() =>
      gaussianCopula([
        [1, 0.2],
        [0.3, 1],
      ]),
    ).toThrow("entry (1, 2) of the matrix is 0.2");
    expect(() =>
      gaussianCopula([
        [1, 1],
        [1, 1],
      ]),
    ).toThrow("inputs 1 and 2 is 1");
    expect(() =>
      gaussianCopula([
        [2, 0],
        [0, 1],
      ]),
    ).toThrow("input 1 with itself is 2");
    expect(() => gaussianCopula([[1, 0]])).toThrow("row 1 of the matrix has 2 entries");
  });
});

describe("symmetric eigenvalues", () => {
  it("of the second difference matrix are 2 - 2 cos(k pi / (n+1)) (closed form)", () => {
    const n = 8;
    const matrix = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j): number => (i === j ? 2 : Math.abs(i - j) === 1 ? -1 : 0)),
    );
    const { values, vectors } = symmetricEigen(matrix);
    values.forEach((value, k) => {
      expect(value).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (n + 1)), 13);
      const vector = vectors[k] ?? new Float64Array();
      matrix.forEach((row, i) => {
        const image = row.reduce((sum, entry, j) => sum + entry * (vector[j] ?? 0), 0);
        expect(image).toBeCloseTo(value * (vector[i] ?? 0), 13);
      });
      expect(vector.reduce((sum, x) => sum + x * x, 0)).toBeCloseTo(1, 13);
    });
  });
});
