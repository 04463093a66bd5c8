import { describe, expect, it } from "vitest";
import { historyOf, historyThrough } from "../../../src/physics/schedule/index.js";

describe("a wanted history", () => {
  it("steps, ramps and holds", () => {
    const { at, duration } = historyOf(1, [
      { to: 0.5, within: 9, shape: "step", hold: 1 },
      { to: 1, within: 2, shape: "ramp", hold: 0 },
    ]);
    expect(duration).toBe(3);
    expect([-1, 0, 0.9, 1, 2, 3, 9].map(at)).toEqual([1, 0.5, 0.5, 0.5, 0.75, 1, 1]);
  });

  it("is gentle by a trapezoid of the rate: 1.25 of the mean one, half the way in half the time", () => {
    const { at } = historyOf(0, [{ to: 1, within: 1, shape: "gentle", hold: 0 }]);
    // With ends of 0.2 the rate between them is 1/(1 - 0.2); what is done at 0.2 is half of 0.2 at that rate.
    expect(at(0.2)).toBeCloseTo(0.125, 12);
    expect(at(0.5)).toBeCloseTo(0.5, 12);
    expect((at(0.6) - at(0.4)) / 0.2).toBeCloseTo(1.25, 12);
    expect(at(0.8)).toBeCloseTo(0.875, 12);
    expect(at(1)).toBe(1);
  });

  it("goes through the points of a table", () => {
    const { at, duration } = historyThrough([2, 3, 5], [0, 1, 0.5]);
    expect(duration).toBe(3);
    expect([0, 0.5, 1, 2, 3, 4, 0.25].map(at)).toEqual([0, 0.5, 1, 0.75, 0.5, 0.5, 0.25]);
  });

  it("refuses a move back in time", () => {
    expect(() => historyOf(0, [{ to: 1, within: -1, shape: "ramp", hold: 0 }])).toThrow("time of a move");
  });
});
