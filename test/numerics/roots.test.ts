import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findRoot } from "../../src/numerics/index.js";

describe("root finding", () => {
  it("solves Wallis' cubic x^3 - 2x - 5 = 0, root 2.0945514815423265 (Whittaker & Robinson, ch. 6)", () => {
    expect(findRoot((x) => x ** 3 - 2 * x - 5, 2, 3)).toBeCloseTo(2.0945514815423265, 14);
  });

  it("solves cos x = x, root 0.7390851332151607 (Dottie number)", () => {
    expect(findRoot((x) => Math.cos(x) - x, 0, 1)).toBeCloseTo(0.7390851332151607, 15);
  });

  it("brackets a change of sign within the tolerance asked for, for any root and any steepness", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.integer({ min: 0, max: 6 }),
        fc.double({ min: 1e-9, max: 1e-3, noNaN: true }),
        (root, power, tolerance) => {
          const f = (x: number) => (x - root) ** (2 * power + 1);
          const x = findRoot(f, -60, 70, { tolerance });
          // A steep power underflows to zero beside its root: any such x is a root of the doubles.
          expect(Math.abs(x - root) <= tolerance + 1e-13 || f(x) === 0).toBe(true);
        },
      ),
    );
  });

  it("is no worse than bisection where interpolation is useless", () => {
    let calls = 0;
    const x = findRoot(
      (t) => {
        calls++;
        return t < 0.123 ? -1 : 1;
      },
      -1,
      1,
    );
    expect(x).toBeCloseTo(0.123, 14);
    // Bisection alone takes 53; a guarded interpolation may double that.
    expect(calls).toBeLessThan(120);
  });

  it("converges faster than bisection on smooth functions: cos x = x by Brent's method in about nine evaluations", () => {
    for (const [f, low, high] of [
      [(x: number) => Math.cos(x) - x, 0, 1],
      [(x: number) => Math.exp(x) - 5, 0, 3],
      [(x: number) => x ** 3 - 2 * x - 5, 2, 3],
    ] as const) {
      let calls = 0;
      findRoot(
        (x) => {
          calls++;
          return f(x);
        },
        low,
        high,
        { tolerance: 1e-13 },
      );
      expect(calls).toBeLessThanOrEqual(13);
    }
  });

  it("finds a root at zero and at an end, and a bracket given backwards", () => {
    expect(Math.abs(findRoot((x) => x ** 3, -1, 2, { tolerance: 1e-12 }))).toBeLessThan(1e-12);
    expect(findRoot((x) => x - 1, 1, 2)).toBe(1);
    expect(findRoot((x) => x - 1.5, 2, 1)).toBe(1.5);
  });

  it("refuses a bracket without change of sign, a missing value, and too few iterations", () => {
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow("2 at -1 and 2 at 1: no change of sign");
    expect(() => findRoot((x) => Math.sqrt(x), -1, 1)).toThrow("no value at -1");
    expect(() => findRoot((x) => x ** 3 - 2, 0, 9, { maxIterations: 3 })).toThrow("after 3 iterations");
  });
});
