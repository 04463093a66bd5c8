/** A log cut off while the ball turns is held against a prediction. */
import { describe, expect, it } from "vitest";
import { findingAgainst, type HeldPrediction, measureStroke } from "../../../src/evidence/index.js";
import type { Angle } from "../../../src/quantity/index.js";

const travel = (Math.PI / 2) as Angle;
const command_s = 0.2;
const starts_s = 0.25;
const takes_s = 0.5;

/** An even-handed stroke in closed form that stops at a share of its travel; the log ends at `end_s`. */
function logged(end_s: number, reach = 1) {
  const time_s = Float64Array.from({ length: Math.round(end_s * 1000) }, (_, i) => i / 1000);
  const share = (t: number) => Math.min(Math.max((t - starts_s) / takes_s, 0), reach);
  return {
    time_s,
    angle_rad: time_s.map((t, i) => travel * share(t) + 1e-4 * Math.sin(12.9898 * i * i)),
    command: time_s.map((t) => (t < command_s ? 0 : 24)),
    current_A: undefined,
    supplyVoltage_V: undefined,
    flow: undefined,
  };
}

/** It is sure to open, within 555 ms. */
const held: HeldPrediction = {
  sealed: undefined,
  times_s: { "command-to-end": 0.55 },
  inputUncertainty_s: { "command-to-end": 0.01 },
  band_s: { "command-to-end": { low: 0.53, high: 0.57 } },
  notArriving: { estimate: 0, low: 0, high: 0.004 },
};

function findingOf(end_s: number, reach?: number) {
  const { stroke, timesNotKnown } = measureStroke("one", logged(end_s, reach), travel);
  if (stroke === undefined) throw new Error("there is a stroke");
  return { stroke, timesNotKnown, ...findingAgainst(stroke, held, "command-to-end") };
}

describe("whether the ball arrived is known only where the log shows it: common practice, no source", () => {
  it("cut at two thirds of the travel: cannot tell, and why", () => {
    const { stroke, timesNotKnown, finding } = findingOf(starts_s + (2 / 3) * takes_s);
    expect(stroke.arrived).toBeUndefined();
    expect(finding).toBe("cannot tell");
    expect(timesNotKnown.find(({ definition }) => definition === "command-to-end")?.because).toContain(
      "the record ends while the ball still turns",
    );
  });

  it("at rest at two thirds of the travel: it did not arrive, and that disagrees", () => {
    const { stroke, finding } = findingOf(1.2, 2 / 3);
    expect(stroke.arrived).toBe(false);
    expect(finding).toBe("disagrees");
  });

  it("the whole stroke agrees", () => {
    const { stroke, finding } = findingOf(1.2);
    expect([stroke.arrived, finding]).toEqual([true, "agrees"]);
  });
});
