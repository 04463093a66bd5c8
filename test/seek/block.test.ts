import { describe, expect, it } from "vitest";
import { planBlocks, SeekWorker, seekAnswer, seekPlan, workBlock } from "../../src/seek/index.js";
import { petrelOrder } from "./order.js";

const order = petrelOrder({
  try: [{ kind: "motor" }, { kind: "stage", class: "planetary" }, { kind: "battery" }],
  stages: { least: 1, most: 1 },
  limits: { torque_margin: -0.6, drive_mass: "2.5 kg" },
});
const plan = seekPlan(order);
const blocks = planBlocks(plan, 40);
const results = blocks.map((block) => workBlock(plan, block));

describe("blocks", () => {
  it("hold every candidate once, in order", () => {
    const indices = results.flatMap(({ results: own }) => own.map(({ index }) => index));
    expect(indices).toEqual(Array.from({ length: plan.space.count }, (_, index) => index));
    expect(blocks.length).toBeGreaterThan(3);
  });

  it("give the same bits in any sequence, from a plan of their own, and worked out twice", () => {
    const worker = new SeekWorker();
    for (const block of [...blocks].reverse()) {
      const again = worker.work(order, block);
      expect(JSON.stringify(again)).toBe(
        JSON.stringify(results.find((one) => one.block.start === block.start)),
      );
    }
  });

  it("and results are plain data: JSON gives back the same answer", () => {
    const sent: typeof order = JSON.parse(JSON.stringify(order));
    expect(JSON.stringify(new SeekWorker().work(sent, blocks[1] ?? { start: 0, count: 1 }))).toBe(
      JSON.stringify(results[1]),
    );
    const back: typeof results = JSON.parse(JSON.stringify(results));
    expect(back).toEqual(results);
    expect(seekAnswer(plan, [...back].reverse())).toEqual(seekAnswer(plan, results));
  });

  it("of another version of the model are refused", () => {
    const other = { ...order, model: "0.0.1" };
    expect(() => new SeekWorker().work(other, { start: 0, count: 1 })).toThrow(/0\.0\.1/);
  });
});
