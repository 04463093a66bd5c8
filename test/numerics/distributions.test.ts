import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  betaQuantile,
  chiSquaredCdf,
  chiSquaredQuantile,
  logGamma,
  normalQuantile,
  regularizedBeta,
  studentCdf,
  studentQuantile,
} from "../../src/numerics/index.js";
import reference from "../reference/distributions.json" with { type: "json" };
import published from "../reference/numerics-published.json" with { type: "json" };

// A few hundred terms of a continued fraction, each rounded.
const TOLERANCE = 2e-13;

describe("printed tables", () => {
  it.each(published.student.rows)(
    "t for A = $A, $freedom degrees: Abramowitz & Stegun Table 26.10",
    (row) => {
      expect(Math.abs(studentQuantile((1 + row.A) / 2, row.freedom) - row.t)).toBeLessThan(5.1e-4);
    },
  );
  it.each(published.chiSquared.rows)(
    "chi squared for Q = $Q, $freedom degrees: A. & S. Table 26.8",
    (row) => {
      const x = chiSquaredQuantile(1 - row.Q, row.freedom);
      expect(Math.abs(x / row.x - 1)).toBeLessThan(5e-6);
    },
  );
});

describe("40-digit arithmetic", () => {
  it.each(reference.beta)("beta at $x, a = $a, b = $b", ({ x, a, b, p }) => {
    expect(Math.abs(regularizedBeta(x, a, b) / p - 1)).toBeLessThan(TOLERANCE);
  });
  it.each(reference.chiSquared)("chi squared at $x, $freedom degrees", ({ x, freedom, p }) => {
    expect(Math.abs(chiSquaredCdf(x, freedom) / p - 1)).toBeLessThan(TOLERANCE);
  });
  it.each(reference.student)("t at $t, $freedom degrees", ({ t, freedom, p }) => {
    expect(Math.abs(studentCdf(t, freedom) / p - 1)).toBeLessThan(TOLERANCE);
  });
  it.each(reference.logGamma)("ln GAMMA at $z", ({ z, value }) => {
    expect(Math.abs(logGamma(z) - value)).toBeLessThan(2e-15 * Math.max(10, Math.abs(value)));
  });
});

describe("identities", () => {
  const probability = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true });
  const parameter = fc.double({ min: 0.1, max: 500, noNaN: true });

  it("I_x(a, b) = 1 - I_(1-x)(b, a)", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1023 }), parameter, parameter, (k, a, b) => {
        // A multiple of 1/1024, so that 1 - x is exact.
        const x = k / 1024;
        expect(regularizedBeta(x, a, b)).toBeCloseTo(1 - regularizedBeta(1 - x, b, a), 12);
      }),
    );
  });

  it("quantiles undo their distributions", () => {
    fc.assert(
      fc.property(probability, parameter, parameter, (p, a, b) => {
        // With b below 1 the density has a pole at x = 1, where neighbouring doubles lie far apart in p.
        expect(regularizedBeta(betaQuantile(p, a, b + 1), a, b + 1)).toBeCloseTo(p, 11);
        expect(chiSquaredCdf(chiSquaredQuantile(p, a), a)).toBeCloseTo(p, 11);
        const t = studentQuantile(p, a + 1);
        expect(studentCdf(t, a + 1)).toBeCloseTo(p, 11);
      }),
      { numRuns: 60 },
    );
  });

  it("closed forms: Cauchy, exponential, normal limit", () => {
    expect(studentQuantile(0.9, 1)).toBeCloseTo(Math.tan(0.4 * Math.PI), 12);
    expect(chiSquaredQuantile(0.5, 2)).toBeCloseTo(2 * Math.LN2, 13);
    expect(studentQuantile(0.975, Infinity)).toBe(normalQuantile(0.975));
    expect(studentQuantile(0.975, 1e8)).toBeCloseTo(normalQuantile(0.975), 7);
  });

  it("refuses what is outside the domain", () => {
    expect(() => regularizedBeta(1.5, 1, 1)).toThrow("x = 1.5");
    expect(() => chiSquaredCdf(-1, 3)).toThrow("-1");
    expect(() => studentQuantile(95, 3)).toThrow("95");
    expect(() => chiSquaredQuantile(0.5, 0)).toThrow("0 degrees");
  });
});
