import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { completeEllipticE, completeEllipticK } from "../../src/numerics/index.js";
import published from "../reference/numerics-published.json" with { type: "json" };

describe("complete elliptic integrals", () => {
  // Half a unit of the last printed decimal, and two roundings.
  const tolerance = 1.5e-15;
  it.each(published.elliptic.rows)("at m = $m: Abramowitz & Stegun 1972, Table 17.1", ({ m, K, E }) => {
    expect(Math.abs(completeEllipticK(m) - K)).toBeLessThan(tolerance);
    expect(Math.abs(completeEllipticE(m) - E)).toBeLessThan(tolerance);
  });

  it("obeys Legendre's relation E K' + E' K - K K' = pi/2", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), (m) => {
        const [k, e] = [completeEllipticK(m), completeEllipticE(m)];
        const [k1, e1] = [completeEllipticK(1 - m), completeEllipticE(1 - m)];
        // Near the ends K is about 8 and the products cancel: a few roundings of 8 x 8.
        expect(Math.abs(e * k1 + e1 * k - k * k1 - Math.PI / 2)).toBeLessThan(1e-13);
      }),
    );
  });

  it("is continued to negative parameters by E(-m) = sqrt(1+m) E(m/(1+m))", () => {
    for (const m of [0.1, 1, 10, 1e4]) {
      const other = Math.sqrt(1 + m) * completeEllipticE(m / (1 + m));
      expect(Math.abs(completeEllipticE(-m) / other - 1)).toBeLessThan(1e-14);
    }
  });

  it("ends at E(1) = 1 and refuses what is not real or not finite", () => {
    expect(completeEllipticE(1)).toBe(1);
    expect(() => completeEllipticE(1.01)).toThrow("1.01");
    expect(() => completeEllipticK(1)).toThrow("m = 1");
    expect(() => completeEllipticK(Number.NaN)).toThrow("NaN");
  });
});
