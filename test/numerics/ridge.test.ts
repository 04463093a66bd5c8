import { describe, expect, it } from "vitest";
import { evenCubic, ridgeRegression } from "../../src/numerics/index.js";

describe("ridge regression", () => {
  const terms = [
    [1, 0],
    [1, 1],
    [1, 2],
  ].map((row) => Float64Array.from(row));
  const outputs = [[1], [3], [4]].map((row) => Float64Array.from(row));

  it("by hand: rows (1 0) (1 1) (1 2) with 1, 3, 4 and penalties 1 have (X'X + I)^-1 X'y = (1, 4/3)", () => {
    const found = ridgeRegression({ terms, outputs, weights: [1, 1, 1] }, [1, 1]);
    expect(found[0]).toBeCloseTo(1, 12);
    expect(found[1]).toBeCloseTo(4 / 3, 12);
  });

  it("a row of weight 2 counts as two rows, one of weight 0 as none", () => {
    const twice = { terms: [...terms, ...terms.slice(0, 1)], outputs: [...outputs, ...outputs.slice(0, 1)] };
    const penalties = [0.1, 0.3];
    expect([...ridgeRegression({ terms, outputs, weights: [2, 1, 1] }, penalties)]).toEqual(
      [...ridgeRegression({ ...twice, weights: [1, 1, 1, 1] }, penalties)].map((value) =>
        expect.closeTo(value, 12),
      ),
    );
    expect([...ridgeRegression({ terms, outputs, weights: [1, 1, 0] }, penalties)]).toEqual(
      [
        ...ridgeRegression(
          { terms: terms.slice(0, 2), outputs: outputs.slice(0, 2), weights: [1, 1] },
          penalties,
        ),
      ].map((value) => expect.closeTo(value, 12)),
    );
  });
});

describe("an even table read as cubics", () => {
  it("has every cubic exactly, with its slope and curvature, and goes on straight beyond its ends", () => {
    const f = (x: number) => 2 - x + 3 * x ** 2 - 0.5 * x ** 3;
    const slope = (x: number) => -1 + 6 * x - 1.5 * x ** 2;
    const nodes = 5;
    const at = Array.from({ length: nodes }, (_, i) => -1 + 0.5 * i);
    const table = { rows: Float64Array.from(at.flatMap((x) => [f(x), slope(x)])), nodes };
    const out = new Float64Array(3);
    for (const x of [-1, -0.8, 0.1, 0.73, 1]) {
      evenCubic(table, 0, -1, 0.5, x, out);
      expect(out[0]).toBeCloseTo(f(x), 12);
      expect(out[1]).toBeCloseTo(slope(x), 12);
      expect(out[2]).toBeCloseTo(6 - 3 * x, 11);
    }
    evenCubic(table, 0, -1, 0.5, 3, out);
    expect([...out]).toEqual([expect.closeTo(f(1) + 2 * slope(1), 12), expect.closeTo(slope(1), 12), 0]);
  });
});
