import { describe, expect, it } from "vitest";
import { type Criterion, standingOf } from "../../src/seek/criteria.js";

const most = (limit: number, absent: Criterion["absent"] = "not known"): Criterion => ({
  id: "mass",
  name: "mass",
  dimension: "mass",
  most: limit,
  field: "seek.limits.mass",
  absent,
});
const least: Criterion = {
  id: "torque-margin",
  name: "margin",
  dimension: "ratio",
  least: 0,
  field: "",
  absent: "not known",
};
/** Nominal 5, samples 1 to 10. */
const ten = Float64Array.of(5, 3, 1, 2, 10, 4, 9, 6, 8, 7, 5);

describe("a limit", () => {
  it("is met by the nominal figure and the wanted share of the samples", () => {
    expect(standingOf(most(9), ten, 0.9)).toMatchObject({ verdict: "meets", probability: 0.9 });
    expect(standingOf(most(8.5), ten, 0.9)).toMatchObject({ verdict: "fails", probability: 0.8 });
    expect(standingOf(most(4), ten, 0.3)).toMatchObject({ verdict: "fails" });
  });

  it("that would be met is the order statistic of the wanted probability, or the nominal figure", () => {
    expect(standingOf(most(1), ten, 0.9).needed).toBe(9);
    expect(standingOf(most(1), ten, 0.3).needed).toBe(5);
    const shifted = ten.map((value) => value - 6);
    expect(standingOf(least, shifted, 0.9).needed).toBe(-4);
  });

  it("of a figure that nobody gave is not known, in one sample or all", () => {
    const nothing = new Float64Array(4).fill(Number.NaN);
    expect(standingOf(most(9), nothing, 0.5).verdict).toBe("not known");
    expect(standingOf(most(9), Float64Array.of(1, 1, Number.NaN, 1), 0.5).verdict).toBe("not known");
  });

  it("of a time that a stalled sample does not have counts that sample as failed", () => {
    const times = Float64Array.of(0.2, 0.2, Number.NaN, 0.3, 0.2);
    expect(standingOf(most(0.4, "fails"), times, 0.7)).toMatchObject({ verdict: "meets", probability: 0.75 });
    expect(standingOf(most(0.4, "fails"), times, 0.8)).toMatchObject({ verdict: "fails" });
    expect(standingOf(most(0.4, "fails"), times, 0.8).needed).toBeNaN();
    expect(standingOf(most(0.4, "fails"), times.fill(Number.NaN), 0.5).verdict).toBe("fails");
  });
});
