import { describe, expect, it } from "vitest";
import { planBlocks, seekAnswer, seekPlan, workBlock } from "../../src/seek/index.js";
import { evaluatorOf } from "../../src/seek/plan.js";
import { petrelOrder } from "./order.js";

const limits = {
  torque_margin: -0.5,
  drive_mass: "2.2 kg",
  current: "14 A",
  gear_margin: -0.2,
  stem_margin: -0.3,
};
const search = (own: Readonly<Record<string, unknown>>) => ({
  try: [{ kind: "motor" }, { kind: "stage", class: "planetary" }],
  stages: { least: 2, most: 2 },
  commands: [{ kind: "full", current: "12 A" }],
  limits: { ...limits, ...own },
});
const plan = seekPlan(petrelOrder(search({})));
const blocks = planBlocks(plan).map((block) => workBlock(plan, block));
const answer = seekAnswer(plan, blocks);

describe("the answer of a search", () => {
  it("accounts for every choice: on the front, beaten, or lost for a reason", () => {
    expect(answer.front.length + answer.losers.length).toBe(answer.candidates);
    const lost = answer.losers.filter(({ misses }) => misses.length > 0).length;
    expect(answer.losses.reduce((sum, { count }) => sum + count, 0)).toBe(lost);
    expect(answer.passing).toBe(answer.candidates - lost);
    for (const { misses, beatenBy } of answer.losers) expect(misses.length > 0).toBe(beatenBy === undefined);
  });

  it("shows steps of relaxing that keep their word: with that limit the choice meets every limit", () => {
    const written = {
      "torque-margin": "torque_margin",
      "gear-margin": "gear_margin",
      "drive-mass": "drive_mass",
      current: "current",
    };
    const units = { "torque-margin": "", "gear-margin": "", "drive-mass": " kg", current: " A" };
    let tried = 0;
    for (const { id, steps } of answer.relaxations) {
      const field = Object.entries(written).find(([name]) => name === id)?.[1];
      const unit = Object.entries(units).find(([name]) => name === id)?.[1] ?? "";
      const step = steps[0];
      if (field === undefined || step === undefined) continue;
      // A hair beyond, for the last digit of the text.
      const beyond = step.limit + (id.endsWith("margin") ? -1e-9 : 1e-9);
      const relaxed = evaluatorOf(seekPlan(petrelOrder(search({ [field]: `${beyond}${unit}` }))));
      expect(relaxed.evaluate(step.choice.index).misses).toEqual([]);
      tried++;
    }
    expect(tried).toBeGreaterThan(1);
  });
});

describe("what nobody gave", () => {
  const motor = (more: string) => `
name: our motor
kind: motor
values:
  inductance: 0.3 mH
  torque_constant: 0.045 N m/A
  inertia: 60 g cm2
  friction_torque: 6 mN m
  winding_limit: 155 degC
  winding_heat_capacity: 22 J/K
  case_heat_capacity: 180 J/K
  winding_to_case: 1.6 K/W
  case_to_ambient: 5.5 K/W
${more}`;
  const missesOf = (more: string, own: Readonly<Record<string, unknown>>) => {
    const made = seekPlan(
      petrelOrder(
        {
          try: [{ kind: "motor", part: "our motor" }],
          limits: { torque_margin: -0.99, gear_margin: -0.9, stem_margin: -0.9, ...own },
        },
        { parts: [motor(more)], samples: 8 },
      ),
    );
    return evaluatorOf(made).evaluate(1).misses;
  };

  it("is not within a limit of mass, price, size or frame: not known, one by one", () => {
    expect(missesOf("  resistance: 2.2 ohm\n", {})).toEqual([]);
    const fields = {
      mass: "50 kg",
      drive_mass: "50 kg",
      cost: "1e6",
      length: "5 m",
      diameter: "5 m",
      frame: "5 m",
    };
    for (const [field, limit] of Object.entries(fields))
      expect(missesOf("  resistance: 2.2 ohm\n", { [field]: limit })).toMatchObject([
        { id: field.replace("_", "-"), kind: "not known", nominal: null },
      ]);
  });

  it("of a motor that cannot be simulated names the field", () => {
    expect(missesOf("", {})).toMatchObject([{ kind: "not known", needs: ["drive.motor.resistance"] }]);
  });

  it("of a part with a fault is not known either: no default stands in", () => {
    const [miss] = missesOf("  resistance: 1 om\n", {});
    expect(miss).toMatchObject({ kind: "not known", needs: ["drive.motor.resistance"] });
  });
});
