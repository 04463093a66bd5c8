/** A candidate is what `coldturn check` finds of the same valve file: put together of tables or read anew. */
import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier, variantText, withParts } from "../../src/dossier/index.js";
import { columnIndex, fillRow, planFor, rowWidth, runBlock, ValveSample } from "../../src/predict/index.js";
import { choiceAt, partsOf, seekPlan } from "../../src/seek/index.js";
import { evaluatorOf } from "../../src/seek/plan.js";
import { petrelOrder } from "./order.js";

const order = petrelOrder({
  try: [
    { kind: "valve", part: "generic full-bore DN40" },
    { kind: "valve", part: "generic trunnion DN32" },
    { kind: "motor", part: "generic brushed 150 W" },
    { kind: "stage", part: "generic planetary 10:1 60 mm" },
    { kind: "stage", part: "generic worm 10:1 four starts" },
    { kind: "battery", class: "lead-acid" },
  ],
  stages: { least: 1, most: 2 },
  commands: [
    {
      kind: "trapezoid",
      duration: "0.5 s",
      current_limit: "12 A",
      sample_time: "1 ms",
      position_gain: "30 1/s",
      speed_bandwidth: "200 1/s",
    },
  ],
});
const plan = seekPlan(order);
const slow = evaluatorOf(plan, { exhaustive: true });
const some = [0, 1, 7, 20, 33, 50, 71, 100, plan.space.count - 1].filter((index) => index < plan.space.count);

/** The nominal row of a dossier that was read anew from the text of the variant. */
function rowOf(index: number): Float64Array {
  const parts = partsOf(plan.space, choiceAt(plan.space, index));
  const text = variantText(order.valve.text, plan.declared, parts, "a variant");
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text } });
  expect(faults.map(({ found }) => found)).toEqual([]);
  const { dossier: filled } = applyDefaults(dossier, "duty");
  const sample = new ValveSample(planFor(filled, "duty"));
  const row = new Float64Array(rowWidth);
  fillRow(sample, row, { openingOnly: false });
  return row;
}

describe("the nominal figures of a candidate", () => {
  it.each(some)("are those of its written valve file, choice %i", (index) => {
    const { figures } = slow.evaluate(index);
    const row = rowOf(index);
    const of = (id: string) => row[columnIndex(id)] ?? Number.NaN;
    const told = (id: "opening-time" | "closing-time" | "torque-margin" | "current" | "voltage") =>
      figures?.[id]?.nominal ?? Number.NaN;
    // A value that was scaled for the size of its part is written in decimal digits: the last bit may differ.
    const pairs = [
      [told("opening-time"), of("opening:command-to-90-flow")],
      [told("closing-time"), of("closing:command-to-end")],
      [told("torque-margin"), of("torque-margin")],
      [told("current"), of("peak-current")],
      [told("voltage"), of("lowest-voltage")],
    ] as const;
    // A stroke that does not arrive has no time either way.
    for (const [found, wanted] of pairs)
      if (Number.isNaN(wanted)) expect(found).toBeNaN();
      else expect(found / wanted).toBeCloseTo(1, 9);
  });
});

describe("the band of a candidate", () => {
  it("is that of the prediction, within what so many samples tell", () => {
    const many = seekPlan(
      petrelOrder({ try: [{ kind: "motor", part: "generic brushed 150 W" }] }, { samples: 120 }),
    );
    const found = evaluatorOf(many, { exhaustive: true }).evaluate(1);
    const parts = partsOf(many.space, choiceAt(many.space, 1));
    const { dossier } = applyDefaults(withParts(many.declared, parts), "duty");
    const request = {
      kind: "band",
      seed: 7,
      start: 0,
      count: 120,
      column: "opening:command-to-90-flow",
    } as const;
    const { rows } = runBlock(planFor(dossier, "duty"), request);
    const times = Float64Array.from(
      { length: 120 },
      (_, i) => rows[i * rowWidth + columnIndex(request.column)] ?? Number.NaN,
    ).sort();
    const figure = found.figures?.["opening-time"];
    // Order statistics of 120 samples: at 97.5 % the rank, 117, has a standard deviation of 1.7, hence 112 to 120.
    expect(figure?.high).toBeGreaterThan(times[111] ?? Number.NaN);
    expect(figure?.high).toBeLessThan(1.02 * (times[119] ?? Number.NaN));
    expect(figure?.low).toBeLessThan(times[9] ?? Number.NaN);
  });
});
