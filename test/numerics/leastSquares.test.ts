import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { leastSquares, randomStream } from "../../src/numerics/index.js";

describe("least squares", () => {
  const rosenbrock = ({ 0: x = 0, 1: y = 0 }: ArrayLike<number>) => [10 * (y - x * x), 1 - x];

  it("solves Rosenbrock's valley from (-1.2, 1): minimum at (1, 1)", () => {
    const fit = leastSquares({ residuals: rosenbrock, start: [-1.2, 1] });
    expect(fit.converged).toBe(true);
    expect(fit.x[0]).toBeCloseTo(1, 10);
    expect(fit.x[1]).toBeCloseTo(1, 10);
  });

  it("solves Powell's singular function, where the jacobian loses rank at the minimum 0 (Powell 1962)", () => {
    const fit = leastSquares({
      residuals: ({ 0: a = 0, 1: b = 0, 2: c = 0, 3: d = 0 }) => [
        a + 10 * b,
        Math.sqrt(5) * (c - d),
        (b - 2 * c) ** 2,
        Math.sqrt(10) * (a - d) ** 2,
      ],
      start: [3, -1, 0, 1],
    });
    expect(fit.sumOfSquares).toBeLessThan(1e-16);
  });

  it("solves a linear problem to the normal equations, whatever the scales", () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: -6, max: 6 }), (seed, power) => {
        const s = randomStream(seed);
        const scale = [1, 10 ** power, 1];
        const rows = Array.from({ length: 8 }, () => scale.map((c) => c * s.normal()));
        const y = rows.map(() => s.normal());
        const residuals = (b: ArrayLike<number>): number[] =>
          rows.map((row, i) => row.reduce((sum, a, j) => sum + a * (b[j] ?? 0), -(y[i] ?? 0)));
        const fit = leastSquares({ residuals, start: [0, 0, 0] });
        expect(fit.converged).toBe(true);
        const length = Math.sqrt(fit.sumOfSquares);
        scale.forEach((c, j) => {
          const product = rows.reduce(
            (sum, row, i) => sum + ((row[j] ?? 0) / c) * (fit.residuals[i] ?? 0),
            0,
          );
          expect(Math.abs(product)).toBeLessThan(1e-6 * (1 + length));
        });
      }),
    );
  });

  it("gives no covariance where two parameters act as one, and still the least sum", () => {
    const fit = leastSquares({
      residuals: ({ 0: a = 0, 1: b = 0 }) => [a + b - 3, 2 * (a + b) - 6.2, a + b - 2.9],
      start: [0, 0],
    });
    expect(fit.covarianceFactor).toBeUndefined();
    // Weighted mean of 3, 3.1, 2.9 with weights 1, 4, 1.
    expect((fit.x[0] ?? 0) + (fit.x[1] ?? 0)).toBeCloseTo(18.3 / 6, 9);
    expect(fit.converged).toBe(true);
  });

  it("leaves a parameter without effect where it was, in whichever place it stands", () => {
    for (const idle of [0, 1]) {
      const fit = leastSquares({ residuals: (b) => [(b[1 - idle] ?? 0) - 2, 1], start: [5, 5] });
      // The slack it ends at, 1e-10, is a share of the residual 1 that stays.
      expect(fit.x[1 - idle]).toBeCloseTo(2, 9);
      expect(fit.x[idle]).toBeCloseTo(5, 12);
      expect(fit.converged).toBe(true);
      expect(fit.covarianceFactor).toBeUndefined();
    }
  });

  it("is not taken in by dependent parameters that stand before the one that matters", () => {
    const fit = leastSquares({
      residuals: ({ 0: a = 0, 1: b = 0, 2: c = 0 }) => [
        a + b - 1,
        2 * (a + b) - 2 + c,
        a + b + 5 * c - 11,
        c - 1,
      ],
      start: [0, 0, 0],
    });
    expect(fit.converged).toBe(true);
    // Normal equations for s = a + b and c: 6 s + 7 c = 16, 7 s + 27 c = 58.
    const determinant = 6 * 27 - 49;
    expect((fit.x[0] ?? 0) + (fit.x[1] ?? 0)).toBeCloseTo((16 * 27 - 7 * 58) / determinant, 8);
    expect(fit.x[2]).toBeCloseTo((6 * 58 - 7 * 16) / determinant, 8);
  });

  it("walks round a forbidden region that has no residuals", () => {
    // ln x exists for x > 0 only; the first full step from 4 would leap below 0.
    const fit = leastSquares({ residuals: (b) => [Math.log(b[0] ?? 0) + 3], start: [4], firstDamping: 1e-9 });
    expect(fit.x[0]).toBeCloseTo(Math.exp(-3), 9);
  });

  it("says why it ended when it did not converge, and never throws", () => {
    const few = leastSquares({ residuals: rosenbrock, start: [-1.2, 1], maxIterations: 3 });
    expect([few.converged, few.reason]).toEqual([false, "iterations: the limit was reached"]);
    expect(few.sumOfSquares).toBeLessThan(24.2);
    const lost = leastSquares({ residuals: () => [Number.NaN], start: [1] });
    expect([lost.converged, lost.reason]).toEqual([
      false,
      "start: the residuals at the start are not finite",
    ]);
    // The jacobian points the wrong way: no step can help.
    const wrong = leastSquares({ residuals: (b) => [(b[0] ?? 0) - 1], jacobian: () => [-1], start: [0] });
    expect(wrong.converged).toBe(false);
    expect(wrong.reason).toMatch(/^stalled/);
  });

  it("finds the minimum of a simulation with an error of 1e-6 if told of it", () => {
    const noisy = (value: number): number => value * (1 + 1e-6 * Math.sin(1e9 * value));
    const x = Array.from({ length: 30 }, (_, i) => i / 10);
    const model = ({ 0: a = 0, 1: k = 0 }: ArrayLike<number>, t: number) => noisy(a * Math.exp(-k * t));
    const y = x.map((t) => 3 * Math.exp(-0.7 * t) + 0.01 * Math.cos(9 * t));
    const fit = leastSquares({
      residuals: (b) => x.map((t, i) => model(b, t) - (y[i] ?? 0)),
      start: [1, 1],
      noise: 1e-6,
    });
    expect(fit.converged).toBe(true);
    const exact = leastSquares({
      residuals: ({ 0: a = 0, 1: k = 0 }) => x.map((t, i) => a * Math.exp(-k * t) - (y[i] ?? 0)),
      start: [1, 1],
    });
    // A thousandth of each parameter's standard deviation, 0.004 and 0.0015.
    expect(Math.abs((fit.x[0] ?? 0) - (exact.x[0] ?? 9))).toBeLessThan(2e-5);
    expect(Math.abs((fit.x[1] ?? 0) - (exact.x[1] ?? 9))).toBeLessThan(2e-5);
  });
});
