import { describe, expect, it } from "vitest";
import { axisRange, plotRanges, ticks } from "../../src/picture/charts/range.js";
import { drawSvg, drawText, type PlotFigure } from "../../src/picture/index.js";

const value = (unit: string) => ({ label: "Value", unit });

const plot: PlotFigure = {
  kind: "plot",
  id: "a",
  title: "",
  words: "",
  x: value("s"),
  y: value("A"),
  marks: [
    { kind: "line", role: "prediction", x: [0, 10], y: [0, 12] },
    { kind: "limit", axis: "y", value: 12, forbidden: "above", label: "at most 12 A" },
  ],
};

describe("the range of an axis", () => {
  const shown: readonly (readonly [string, readonly number[], readonly [number, number]])[] = [
    ["ends on round numbers", [1, 98], [0, 100]],
    ["begins at a zero that is near", [20, 100], [0, 100]],
    ["does not reach for a zero that is far", [80, 100], [80, 100]],
    ["keeps a single value inside", [50], [44, 56]],
    ["is 0 to 1 for no value at all", [], [0, 1]],
    ["passes over what is not finite", [Number.NaN, 1, 98, Number.POSITIVE_INFINITY], [0, 100]],
    ["does not run on a whole step for a small excess", [-1, 98], [-1 - 0.05 * 99, 100]],
  ];
  for (const [name, values, range] of shown)
    it(`${name}: ${JSON.stringify(values)}`, () => {
      const found = axisRange(value("A"), [values], "round");
      expect(found[0]).toBeCloseTo(range[0], 9);
      expect(found[1]).toBeCloseTo(range[1], 9);
    });

  it("is the given one if one is given", () => {
    expect(axisRange({ ...value("A"), range: [3, 4] }, [[0, 100]], "round")).toEqual([3, 4]);
  });

  it("leaves room for the teeth of a limit on its edge", () => {
    expect(plotRanges(plot).y[1]).toBeGreaterThan(12);
  });
});

describe("ticks", () => {
  const texts = (range: readonly [number, number], count: number, unit: string): string =>
    ticks(range, count, unit)
      .map(({ text }) => text)
      .join(" ");
  it("a quarter turn in degrees ends on a tick, in other units on tens", () => {
    expect(texts([0, 90], 6, "°")).toBe("0 15 30 45 60 75 90");
    expect(texts([0, 90], 6, "deg")).toBe("0 15 30 45 60 75 90");
    expect(texts([0, 90], 6, "bar")).toBe("0 20 40 60 80");
  });
  it("carry the decimals of their step and no more", () => {
    expect(texts([0, 0.5], 5, "A")).toBe("0.0 0.1 0.2 0.3 0.4 0.5");
    expect(texts([-4, 4], 4, "A")).toBe("−4 −2 0 2 4");
  });
});

describe("a limit outside a given range", () => {
  const narrowed: PlotFigure = { ...plot, y: { ...plot.y, range: [0, 10] } };
  it("is named with that in the key, in SVG and in text, not silently left out", () => {
    expect(drawSvg(narrowed, { width: 720 })).toContain("at most 12 A (off the picture)");
    expect(drawText(narrowed, { columns: 80, rows: 24, unicode: true })).toContain(
      "at most 12 A (off the picture)",
    );
  });
});
