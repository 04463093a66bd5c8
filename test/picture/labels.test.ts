import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boxesOverlap, leastCovered, stack, stemLanes } from "../../src/picture/svg/labels.js";

const label = fc.record({
  x: fc.double({ min: 0, max: 700, noNaN: true }),
  width: fc.integer({ min: 10, max: 180 }),
});

describe("labels over stems", () => {
  it("no two share a place, and all stay between the edges", () => {
    fc.assert(
      fc.property(fc.array(label, { maxLength: 14 }), (labels) => {
        const places = stemLanes(labels, 0, 720, 5);
        for (const [one, place] of places.entries()) {
          const width = labels[one]?.width ?? 0;
          expect(place.left).toBeGreaterThanOrEqual(0);
          expect(place.left + width).toBeLessThanOrEqual(720 + 1e-9);
          for (const [other, next] of places.entries())
            if (other !== one && next.lane === place.lane)
              expect(
                place.left < next.left + (labels[other]?.width ?? 0) && next.left < place.left + width,
              ).toBe(false);
        }
      }),
    );
  });

  it("with room to the right of every stem, no stem runs through a label", () => {
    fc.assert(
      fc.property(fc.array(label, { maxLength: 14 }), (labels) => {
        const right = 10_000;
        const places = stemLanes(labels, 0, right, 5);
        for (const [one, place] of places.entries())
          for (const [other, { x }] of labels.entries()) {
            const isThrough = x > place.left && x < place.left + (labels[one]?.width ?? 0);
            // A stem reaches up to its own label; it runs through those of lower lanes.
            if (other !== one && isThrough) expect(places[other]?.lane ?? 0).toBeLessThan(place.lane);
          }
      }),
    );
  });

  it("a lone label stays in the lowest lane, right of its stem, or left of it at the right edge", () => {
    expect(stemLanes([{ x: 100, width: 50 }], 0, 720, 5)).toEqual([{ lane: 0, left: 105 }]);
    expect(stemLanes([{ x: 700, width: 50 }], 0, 720, 5)).toEqual([{ lane: 0, left: 645 }]);
  });
});

describe("labels stacked beside curves", () => {
  const block = fc.record({
    at: fc.double({ min: -50, max: 350, noNaN: true }),
    size: fc.integer({ min: 5, max: 60 }),
  });

  it("none overlaps, all lie within the bounds, and their order follows their wishes", () => {
    fc.assert(
      fc.property(fc.array(block, { maxLength: 10 }), (blocks) => {
        const middles = stack(blocks, 0, 300);
        const total = blocks.reduce((sum, { size }) => sum + size, 0);
        expect(middles === undefined).toBe(total > 300);
        if (middles === undefined) return;
        for (const [one, middle] of middles.entries()) {
          const half = (blocks[one]?.size ?? 0) / 2;
          expect(middle - half).toBeGreaterThanOrEqual(-1e-6);
          expect(middle + half).toBeLessThanOrEqual(300 + 1e-6);
          for (const [other, next] of middles.entries()) {
            if (other === one) continue;
            const distance = half + (blocks[other]?.size ?? 0) / 2;
            expect(Math.abs(next - middle)).toBeGreaterThanOrEqual(distance - 1e-6);
            if ((blocks[other]?.at ?? 0) > (blocks[one]?.at ?? 0)) expect(next).toBeGreaterThan(middle);
          }
        }
      }),
    );
  });

  it("blocks with room stay where they want to be", () => {
    expect(
      stack(
        [
          { at: 50, size: 20 },
          { at: 100, size: 20 },
        ],
        0,
        300,
      ),
    ).toEqual([50, 100]);
  });

  it("two that want the same place share the displacement", () => {
    expect(
      stack(
        [
          { at: 100, size: 20 },
          { at: 100, size: 20 },
        ],
        0,
        300,
      ),
    ).toEqual([90, 110]);
  });
});

describe("labels inside a figure", () => {
  const box = (left: number, top: number) => ({ left, top, right: left + 10, bottom: top + 10 });

  it("a free place is preferred to one over a curve, and that to one over another label", () => {
    const curve = [[5, 5] as const];
    expect(leastCovered([box(0, 0), box(20, 0)], curve, [])).toEqual(box(20, 0));
    expect(leastCovered([box(0, 0), box(20, 0)], curve, [box(21, 1)])).toEqual(box(0, 0));
  });

  it("boxes that touch do not overlap", () => {
    expect(boxesOverlap(box(0, 0), box(10, 0))).toBe(false);
    expect(boxesOverlap(box(0, 0), box(9, 0))).toBe(true);
  });
});
