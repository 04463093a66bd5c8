import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  normalCdf,
  normalDensity,
  normalQuantile,
  triangularQuantile,
  truncatedNormalQuantile,
  uniformQuantile,
} from "../../src/numerics/index.js";
import reference from "../reference/normal-distribution.json" with { type: "json" };
import published from "../reference/numerics-published.json" with { type: "json" };

const share = fc.double({ min: 0, max: 1, noNaN: true });

describe("normal distribution", () => {
  it.each(published.normal.rows)("P($x): Abramowitz & Stegun 1972, Table 26.1", ({ x, P }) => {
    // Half a unit of the fifteenth decimal.
    expect(Math.abs(normalCdf(x) - P)).toBeLessThan(6e-16);
  });

  it.each(published.normalTail.rows)("-log Q($x): Abramowitz & Stegun 1972, Table 26.2", (row) => {
    expect(Math.abs(-Math.log10(normalCdf(-row.x)) - row.minusLog10Q)).toBeLessThan(5.1e-6);
  });

  it.each(published.normalQuantile.rows)("quantile at $p: Wichura 1988, test values", ({ p, x }) => {
    // Sixteen printed digits, less the rounding of p itself.
    expect(Math.abs(normalQuantile(p) / x - 1)).toBeLessThan(1e-15);
  });

  it.each(reference.cdf)("cdf at $x: 50-digit arithmetic", ({ x, p }) => {
    // The conditioning of exp(-x^2/2) costs x^2 roundings of the rest beyond the split square.
    expect(Math.abs(normalCdf(x) / p - 1)).toBeLessThan(x > -10 ? 1e-15 : 2e-15);
  });

  it.each(reference.quantile)("quantile at $p: 50-digit arithmetic", ({ p, x }) => {
    // Near p = 1/2 the quantile is the difference from it, which p holds to 1e-16.
    expect(Math.abs(normalQuantile(p) - x)).toBeLessThan(1e-15 * Math.abs(x) + 2e-16);
  });

  it("is undone by its inverse, symmetric and rising", () => {
    fc.assert(
      fc.property(fc.double({ min: -37, max: 8, noNaN: true }), (x) => {
        // Above 0 the probability nears 1 and loses the tail's digits.
        const lost = x > 0 ? 1e-16 / normalDensity(x) : 0;
        expect(Math.abs(normalQuantile(normalCdf(x)) - x)).toBeLessThan(2e-15 * (1 + Math.abs(x)) + 2 * lost);
        expect(normalCdf(x) + normalCdf(-x)).toBeCloseTo(1, 15);
      }),
    );
    fc.assert(
      fc.property(share, share, (p, q) => {
        fc.pre(p < q);
        expect(normalQuantile(p)).toBeLessThanOrEqual(normalQuantile(q));
      }),
    );
  });

  it("has its ends at infinity and refuses what is no probability", () => {
    expect([normalQuantile(0), normalQuantile(1)]).toEqual([-Infinity, Infinity]);
    expect([normalCdf(-Infinity), normalCdf(Infinity)]).toEqual([0, 1]);
    for (const p of [-0.1, 1.1, Number.NaN, 95]) expect(() => normalQuantile(p)).toThrow(String(p));
  });
});

describe("truncated normal", () => {
  it.each(reference.truncated)(
    "mean $mean, deviation $deviation, [$low, $high] at $u: 60-digit arithmetic",
    (row) => {
      const low = row.low ?? -Infinity;
      const high = row.high ?? Infinity;
      const x = truncatedNormalQuantile(row.mean, row.deviation, low, high, row.u);
      // In deviations: rounding of the limits, magnified by the distance from the mean.
      const distance = Math.abs(row.x - row.mean) / row.deviation;
      expect(Math.abs(x - row.x) / row.deviation).toBeLessThan(1e-15 * (10 + 2 * distance));
    },
  );

  it("stays within its limits and never falls, however far out they lie", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1000, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        share,
        share,
        (low, width, p, q) => {
          const [u, v] = [Math.min(p, q), Math.max(p, q)];
          const x = truncatedNormalQuantile(0, 1, low, low + width, u);
          const y = truncatedNormalQuantile(0, 1, low, low + width, v);
          expect(low <= x && x <= y && y <= low + width).toBe(true);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it("is the whole normal without limits, and a point without deviation", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 1 - 1e-9, noNaN: true }), (u) => {
        const x = truncatedNormalQuantile(0, 1, -Infinity, Infinity, u);
        expect(Math.abs(x - normalQuantile(u))).toBeLessThan(1e-13);
      }),
    );
    expect(truncatedNormalQuantile(3, 0, 0, 2, 0.5)).toBe(2);
    expect(truncatedNormalQuantile(3, 1, 2, 2, 0.5)).toBe(2);
  });

  it("refuses limits out of order and a negative deviation", () => {
    expect(() => truncatedNormalQuantile(0, 1, 2, 1, 0.5)).toThrow("between 2 and 1");
    expect(() => truncatedNormalQuantile(0, -1, 1, 2, 0.5)).toThrow("deviation -1");
    expect(() => truncatedNormalQuantile(0, 1, 1, 2, 1.5)).toThrow("1.5");
  });
});

describe("triangular and uniform", () => {
  it("invert their distribution functions", () => {
    fc.assert(
      fc.property(share, share, (mode, u) => {
        const x = triangularQuantile(0, mode, 1, u);
        const p = x <= mode && mode > 0 ? (x * x) / mode : 1 - (1 - x) ** 2 / (1 - mode);
        if (mode < 1 || x < 1) expect(p).toBeCloseTo(u, 12);
        expect(uniformQuantile(-2, 3, u)).toBeCloseTo(-2 + 5 * u, 14);
      }),
    );
  });

  it("keep their ends and refuse disorder", () => {
    expect([triangularQuantile(1, 1, 2, 0), triangularQuantile(1, 2, 2, 1)]).toEqual([1, 2]);
    expect(triangularQuantile(4, 4, 4, 0.3)).toBe(4);
    expect(() => triangularQuantile(0, 3, 2, 0.5)).toThrow("peak at 3");
    expect(() => uniformQuantile(1, 0, 0.5)).toThrow("from 1 to 0");
  });
});
