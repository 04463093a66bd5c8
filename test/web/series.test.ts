/** The time series of the page: no spike is lost on the way to a pixel, whatever stretch of time is shown. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  instantAt,
  panned,
  pixelOf,
  pointsToDraw,
  type Range,
  zoomed,
} from "../../src/web/compute/plotPlace.js";
import { slopesOf } from "../../src/web/compute/quantities.js";
import { bestFor, type Stretch, valueAt } from "../../src/web/compute/stretch.js";

const shape = fc.record({
  rows: fc.integer({ min: 2, max: 6000 }),
  spikes: fc.array(fc.tuple(fc.nat(), fc.double({ min: -1e6, max: 1e6, noNaN: true })), { maxLength: 12 }),
  gaps: fc.array(fc.nat(), { maxLength: 4 }),
  from: fc.double({ min: -0.2, max: 0.9, noNaN: true }),
  width: fc.double({ min: 0.001, max: 1.3, noNaN: true }),
  pixels: fc.integer({ min: 20, max: 1200 }),
});

describe("points of a line", () => {
  it("of each pixel column the least and the greatest are drawn; a spike of one sample too", () => {
    fc.assert(
      fc.property(shape, ({ rows, spikes, gaps, from, width, pixels }) => {
        const x = Array.from({ length: rows }, (_, i) => i / rows);
        const y = x.map((t) => Math.sin(40 * t));
        for (const [at, value] of spikes) y[at % rows] = value;
        for (const at of gaps) y[at % rows] = Number.NaN;
        const range: Range = [from, from + width];
        const kept = new Set(pointsToDraw(x, y, range, pixels));
        const columns = new Map<number, { low: number; high: number }>();
        x.forEach((t, i) => {
          const value = y[i] ?? Number.NaN;
          if (t < range[0] || t > range[1] || Number.isNaN(value)) return;
          const column = Math.floor(((t - range[0]) * pixels) / (range[1] - range[0]));
          const so = columns.get(column) ?? { low: i, high: i };
          columns.set(column, {
            low: value < (y[so.low] ?? 0) ? i : so.low,
            high: value > (y[so.high] ?? 0) ? i : so.high,
          });
        });
        const drawn = new Set([...kept].map((i) => y[i]));
        const lost = [...columns.values()].filter(
          ({ low, high }) => !drawn.has(y[low]) || !drawn.has(y[high]),
        );
        expect(lost).toEqual([]);
        expect(kept.size).toBeLessThanOrEqual(4 * (pixels + 2) + 2 + 2 * gaps.length);
      }),
    );
  });

  it("a line goes on to both edges of the plot: one point more is drawn on either side", () => {
    const x = [0, 1, 2, 3, 4, 5];
    expect(pointsToDraw(x, x, [1.5, 3.5], 100)).toEqual([1, 2, 3, 4, 5]);
  });
});

describe("the shown time", () => {
  const range = fc
    .tuple(fc.double({ min: -1e4, max: 1e4, noNaN: true }), fc.double({ min: 1, max: 1e4, noNaN: true }))
    .map(([from, width]): Range => [from, from + width]);

  it("zooming keeps its centre in place and goes back to where it began", () => {
    fc.assert(
      fc.property(range, fc.double({ min: 0, max: 1, noNaN: true }), ([from, to], share) => {
        const about = from + share * (to - from);
        const near = zoomed([from, to], about, 0.5);
        expect(pixelOf(about, near, 1000)).toBeCloseTo(pixelOf(about, [from, to], 1000), 3);
        const back = zoomed(near, about, 2);
        if ((to - from) / 2 >= 0.5) {
          expect(back[0]).toBeCloseTo(from, 6);
          expect(back[1]).toBeCloseTo(to, 6);
        }
      }),
    );
  });

  it("a place on the plot and its instant belong together, and a pan there and back ends where it began", () => {
    fc.assert(
      fc.property(range, fc.double({ min: 0, max: 900, noNaN: true }), (now, pixel) => {
        expect(pixelOf(instantAt(pixel, now, 900), now, 900)).toBeCloseTo(pixel, 6);
        const back = panned(panned(now, 0.25), -0.25);
        expect(back[0]).toBeCloseTo(now[0], 6);
      }),
    );
  });
});

describe("what is at hand of a run", () => {
  const stretch = (from_s: number, to_s: number, step_s: number): Stretch => ({
    ...{ from_s, to_s, step_s, isThinned: step_s > 0, time_s: [], value: [] },
  });
  const whole = stretch(0, 100, 0.05);
  const fine = stretch(40, 60, 0.001);

  it("the finest stretch that covers the view is shown; where none does, the whole record", () => {
    expect(bestFor([whole, fine], { from_s: 45, to_s: 55 })).toBe(fine);
    expect(bestFor([whole, fine], { from_s: 55, to_s: 65 })).toBe(whole);
    expect(bestFor([whole, stretch(90, 100, 0)], { from_s: 95, to_s: 120 })?.step_s).toBe(0);
    expect(bestFor([], { from_s: 0, to_s: 1 })).toBeUndefined();
  });

  it("a reading lies between its two samples; outside, or beside a gap, there is none", () => {
    const line = { x: [0, 10, 20, 30], y: [0, 5, Number.NaN, 7] };
    expect(valueAt(line, 4)).toBe(2);
    expect(valueAt(line, 10)).toBe(5);
    expect([valueAt(line, 15), valueAt(line, -1), valueAt(line, 31)]).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
  });

  it("the speed of a ball that turns evenly is its slope, also across a gap; of two samples there is none", () => {
    const time_s = Array.from({ length: 200 }, (_, i) => i / 1000);
    const angle = time_s.map((t, i) => (i === 50 ? null : 3.5 * t + 0.2));
    slopesOf(time_s, angle).forEach((speed, i) => {
      if (i === 50) expect(speed).toBeNaN();
      else expect(speed).toBeCloseTo(3.5, 9);
    });
    expect(slopesOf([0, 0.001], [0, 1]).every(Number.isNaN)).toBe(true);
  });
});
