import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { monotoneCubic, pchipSlopes, piecewiseLinear } from "../../src/numerics/index.js";
import reference from "../reference/pchip.json" with { type: "json" };

/** Tables with rising nodes at least 0.01 apart. */
const table = fc
  .array(
    fc.tuple(fc.double({ min: 0.01, max: 5, noNaN: true }), fc.double({ min: -10, max: 10, noNaN: true })),
    {
      minLength: 2,
      maxLength: 12,
    },
  )
  .map((rows) => {
    let sum = 0;
    return { x: rows.map(([step]) => (sum += step)), y: rows.map(([, value]) => value) };
  });

describe("monotone cubic", () => {
  it.each(reference.cases)("$name: values of an independent program", ({ x, y, at, value, slope }) => {
    const f = monotoneCubic(x, y);
    at.forEach((q, i) => {
      // Both programs round differently; values are of order ten.
      expect(f.value(q)).toBeCloseTo(value[i] ?? Number.NaN, 12);
      expect(f.slope(q)).toBeCloseTo(slope[i] ?? Number.NaN, 11);
    });
  });

  it("stays between neighbouring values: no overshoot (Fritsch & Carlson 1980, theorem 1)", () => {
    fc.assert(
      fc.property(table, fc.double({ min: 0, max: 1, noNaN: true }), ({ x, y }, t) => {
        const f = monotoneCubic(x, y);
        for (let i = 0; i + 1 < x.length; i++) {
          const [x0 = 0, x1 = 0] = [x[i], x[i + 1]];
          const [y0 = 0, y1 = 0] = [y[i], y[i + 1]];
          const value = f.value(x0 + t * (x1 - x0));
          expect(value).toBeGreaterThanOrEqual(Math.min(y0, y1) - 1e-12);
          expect(value).toBeLessThanOrEqual(Math.max(y0, y1) + 1e-12);
          expect(f.slope(x0 + t * (x1 - x0)) * (y1 - y0)).toBeGreaterThanOrEqual(-1e-9);
        }
      }),
    );
  });

  it("passes through its nodes and reproduces a straight line", () => {
    fc.assert(
      fc.property(table, fc.double({ min: -3, max: 3, noNaN: true }), ({ x, y }, gradient) => {
        const f = monotoneCubic(x, y);
        for (const [i, node] of x.entries()) expect(f.value(node)).toBeCloseTo(y[i] ?? 0, 12);
        const line = monotoneCubic(
          x,
          x.map((node) => gradient * node + 1),
        );
        const middle = ((x[0] ?? 0) + (x.at(-1) ?? 0)) / 2;
        expect(line.value(middle)).toBeCloseTo(gradient * middle + 1, 10);
        expect(line.slope(middle)).toBeCloseTo(gradient, 8);
      }),
    );
  });

  it("gains a factor of eight at each halving of the spacing where the function is monotone", () => {
    const error = (n: number): number => {
      const x = Array.from({ length: n + 1 }, (_, i) => i / n);
      const f = monotoneCubic(x, x.map(Math.exp));
      let worst = 0;
      for (let q = 0; q <= 1; q += 1 / 997) worst = Math.max(worst, Math.abs(f.value(q) - Math.exp(q)));
      return worst;
    };
    // One-sided ends are of second order in slope, hence third order overall.
    const order = Math.log2(error(32) / error(64));
    expect(order).toBeGreaterThan(2.8);
    expect(order).toBeLessThan(4.2);
  });

  it("holds or carries on beyond its ends, and says how far it was left", () => {
    const clamped = monotoneCubic([0, 1, 2], [0, 1, 4]);
    expect(clamped.value(3)).toBe(4);
    expect(clamped.slope(3)).toBe(0);
    expect(clamped.range).toEqual([0, 2]);
    expect([clamped.excess(-0.5), clamped.excess(1), clamped.excess(3)]).toEqual([-0.5, 0, 1]);
    const extended = monotoneCubic([0, 1, 2], [0, 1, 4], "extend");
    expect(extended.value(3)).toBeCloseTo(4 + extended.slope(2), 14);
    expect(extended.value(-1)).toBeCloseTo(-extended.slope(0), 14);
  });

  it("writes the slopes in place, two nodes included", () => {
    const out = new Float64Array(2);
    expect(pchipSlopes([0, 2], [1, 5], out)).toBe(out);
    expect([...out]).toEqual([2, 2]);
  });

  it("refuses tables that are no function", () => {
    expect(() => monotoneCubic([0], [1])).toThrow("1 arguments and 1 values");
    expect(() => monotoneCubic([0, 1], [1])).toThrow("2 arguments and 1 values");
    expect(() => monotoneCubic([0, 1, 1], [1, 2, 3])).toThrow("row 3 of the table has argument 1 after 1");
    expect(() => monotoneCubic([0, 1], [1, Number.NaN])).toThrow("row 2 of the table is (1, NaN)");
  });
});

describe("piecewise linear", () => {
  it("joins the nodes by straight lines", () => {
    const f = piecewiseLinear([0, 1, 3], [1, 2, 0]);
    expect([f.value(0.25), f.value(2), f.value(-1), f.value(9)]).toEqual([1.25, 1, 1, 0]);
    expect([f.slope(0.5), f.slope(2), f.slope(9)]).toEqual([1, -1, 0]);
    expect(f.excess(3.5)).toBe(0.5);
  });

  it("carries the end lines on if asked", () => {
    const f = piecewiseLinear([0, 1, 3], [1, 2, 0], "extend");
    expect([f.value(-1), f.value(4), f.slope(4)]).toEqual([0, -1, -1]);
  });

  it("passes through its nodes", () => {
    fc.assert(
      fc.property(table, ({ x, y }) => {
        const f = piecewiseLinear(x, y);
        for (const [i, node] of x.entries()) expect(f.value(node)).toBeCloseTo(y[i] ?? 0, 12);
      }),
    );
  });
});
