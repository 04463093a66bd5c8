import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { keptIndices } from "../../src/picture/decimate.js";
import { drawSvg } from "../../src/picture/index.js";
import { readXml } from "./xml.js";

const gap = fc.constant(Number.NaN);
const series = fc.array(
  fc.oneof(
    { weight: 9, arbitrary: fc.double({ min: -1e3, max: 1e3, noNaN: true }) },
    { weight: 1, arbitrary: gap },
  ),
  {
    maxLength: 400,
  },
);

/** Lowest and highest value in each pixel column. */
function extremes(
  values: readonly number[],
  indices: readonly number[],
  perColumn: number,
): Map<number, readonly [number, number]> {
  const found = new Map<number, readonly [number, number]>();
  for (const index of indices) {
    const value = values[index] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const column = Math.floor(index / perColumn);
    const [low, high] = found.get(column) ?? [value, value];
    found.set(column, [Math.min(low, value), Math.max(high, value)]);
  }
  return found;
}

describe("thinning of long series", () => {
  it("keeps the extremes of every pixel column, the ends and the gaps, in order", () => {
    fc.assert(
      fc.property(series, fc.integer({ min: 1, max: 50 }), (values, perColumn) => {
        const columnOf = (index: number): number =>
          Number.isNaN(values[index]) ? Number.NaN : Math.floor(index / perColumn);
        const kept = keptIndices(values.length, columnOf, [values]);
        const all = values.map((_, index) => index);
        expect(extremes(values, kept, perColumn)).toEqual(extremes(values, all, perColumn));
        expect([...kept].sort((a, b) => a - b)).toEqual(kept);
        if (values.length > 0) {
          expect(kept[0]).toBe(0);
          const isGap = (index: number): boolean => Number.isNaN(values[index]);
          // A run of gaps at the end is one gap.
          if (!isGap(values.length - 1)) expect(kept.at(-1)).toBe(values.length - 1);
          for (let index = 1; index < values.length; index++)
            if (isGap(index) && !isGap(index - 1)) expect(kept).toContain(index);
        }
      }),
    );
  });

  it("keeps at most four samples of a column for one series", () => {
    const values = Array.from({ length: 100_000 }, (_, index) => Math.sin(index * 12.9898) * 43_758.5453);
    const kept = keptIndices(values.length, (index) => Math.floor(index / 200), [values]);
    expect(kept.length).toBeLessThanOrEqual(4 * 500);
  });

  it("one odd sample in a million stands in the drawn path, at its height", () => {
    const count = 1_000_000;
    const x = Float64Array.from({ length: count }, (_, index) => index);
    const y = new Float64Array(count).fill(1);
    y[654_321] = 9;
    const svg = drawSvg(
      {
        kind: "plot",
        id: "a",
        title: "",
        words: "",
        x: { label: "Sample", unit: "" },
        y: { label: "Signal", unit: "V", range: [0, 10] },
        marks: [{ kind: "line", role: "prediction", x, y }],
      },
      { width: 720, height: 400 },
    );
    const elements = readXml(svg);
    const frame = elements.find((element) => element.name === "clipPath");
    const rect =
      elements[elements.indexOf(frame ?? elements[0] ?? { name: "", attributes: new Map(), text: "" }) + 1];
    const top = Number(rect?.attributes.get("y"));
    const height = Number(rect?.attributes.get("height"));
    const path =
      elements.find((element) => element.attributes.get("stroke-width") === "2.75")?.attributes.get("d") ??
      "";
    const heights = [...path.matchAll(/[ML]([\d.-]+),([\d.-]+)/g)].map((point) => Number(point[2]));
    // 9 V on an axis from 0 V to 10 V lies a tenth of the frame below its upper edge; two decimals.
    expect(Math.min(...heights)).toBeCloseTo(top + 0.1 * height, 1);
    expect(Math.max(...heights)).toBeCloseTo(top + 0.9 * height, 1);
    expect(heights.length).toBeLessThan(4 * 720);
  });
});
