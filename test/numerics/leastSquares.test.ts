import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { leastSquares, randomStream } from "../../src/numerics/index.js";
import strd from "../reference/nist-strd.json" with { type: "json" };

type Model = (b: ArrayLike<number>, x: number) => number;
const rational = (upper: readonly number[], lower: readonly number[], x: number): number =>
  upper.reduceRight((sum, c) => sum * x + c, 0) / lower.reduceRight((sum, c) => sum * x + c, 0);
const rise: Model = ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * (1 - Math.exp(-b2 * x));
const models: Readonly<Record<string, Model>> = {
  Misra1a: rise,
  BoxBOD: rise,
  MGH09: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0 }, x) => b1 * rational([0, b2, 1], [b4, b3, 1], x),
  Thurber: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0, 5: b6 = 0, 6: b7 = 0 }, x) =>
    rational([b1, b2, b3, b4], [1, b5, b6, b7], x),
  Misra1b: ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * (1 - (1 + (b2 * x) / 2) ** -2),
  Misra1d: ({ 0: b1 = 0, 1: b2 = 0 }, x) => (b1 * b2 * x) / (1 + b2 * x),
  Rat42: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => b1 / (1 + Math.exp(b2 - b3 * x)),
  Roszman1: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0 }, x) =>
    b1 - b2 * x - Math.atan(b3 / (x - b4)) / Math.PI,
};

const digits = (found: number, certified: number): number =>
  -Math.log10(Math.abs(found / certified - 1) + 1e-16);

const cases = strd.datasets.flatMap((data) => [
  { name: data.name, from: "start 1", start: data.start1, data },
  { name: data.name, from: "start 2", start: data.start2, data },
]);

describe("NIST Statistical Reference Datasets, nonlinear regression", () => {
  it.each(cases)(
    "$name from $from: parameters, their deviations, sum of squares",
    ({ name, start, data }) => {
      const model = models[name];
      if (model === undefined) throw new Error(`no model for ${name}`);
      const fit = leastSquares({
        residuals: (b) => data.x.map((x, i) => model(b, x) - (data.y[i] ?? 0)),
        start,
      });
      const n = start.length;
      const variance = fit.sumOfSquares / (data.x.length - n);
      expect(fit.converged).toBe(true);
      // Eleven digits are certified; eight is what differences can give where parameters are near dependent.
      expect(digits(fit.sumOfSquares, data.residualSumOfSquares)).toBeGreaterThan(10);
      expect(digits(Math.sqrt(variance), data.residualStandardDeviation)).toBeGreaterThan(10);
      data.certified.forEach((value, j) => {
        expect(digits(fit.x[j] ?? 0, value)).toBeGreaterThan(8);
        const deviation = Math.sqrt(variance * (fit.covarianceFactor?.[j * n + j] ?? Number.NaN));
        expect(digits(deviation, data.standardDeviation[j] ?? 0)).toBeGreaterThan(8);
      });
    },
  );

  it.each(cases.filter((c) => c.name === "Misra1a"))(
    "$name from $from with its own derivatives",
    ({ start, data }) => {
      const fit = leastSquares({
        residuals: (b) => data.x.map((x, i) => rise(b, x) - (data.y[i] ?? 0)),
        jacobian: ({ 0: b1 = 0, 1: b2 = 0 }) =>
          data.x.flatMap((x) => [1 - Math.exp(-b2 * x), b1 * x * Math.exp(-b2 * x)]),
        start,
      });
      for (const [j, value] of data.certified.entries()) {
        expect(digits(fit.x[j] ?? 0, value)).toBeGreaterThan(9.5);
      }
      expect(fit.evaluations).toBeLessThan(60);
    },
  );
});

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
