/** What question 11 says of several runs together: plain sentences, lists, pictures that can be drawn. */
import { describe, expect, it } from "vitest";
import type { JointReconciliation, PosteriorSummary } from "../../src/evidence/index.js";
import { drawSvg } from "../../src/picture/index.js";
import { answersOf, jointAnswer } from "../../src/question/index.js";
import { separatingTest } from "../../src/question/separatingTest.js";
import { answerNumbered, predictionOf } from "./answering.js";

const friction = {
  path: "valve.seat.friction",
  declared: 0.1,
  before: { low: 0.061, high: 0.139 },
  after: { value: 0.15, low: 0.144, high: 0.156 },
  shift: 2.5,
  narrowing: 0.15,
};
const late = {
  path: "granted.command_delay",
  runId: "cold",
  granted: "time",
  declared: 0,
  before: { low: 0, high: 0.009 },
  after: { value: 0.045, low: 0.044, high: 0.046 },
  shift: 3,
  narrowing: 0.1,
} as const;

function joint(more: Partial<JointReconciliation> = {}): JointReconciliation {
  const ledger = (friction_s: number, late_s: number) => ({
    definition: "command-to-end",
    predicted_s: 0.3,
    updated_s: 0.3 + friction_s + late_s,
    measured_s: 0.3 + friction_s + late_s + 0.001,
    lines: [
      { path: "valve.seat.friction", contribution_s: friction_s },
      { path: "granted.command_delay", contribution_s: late_s },
    ],
    unexplained_s: 0.001,
  });
  const overlays = [
    {
      channel: "angle",
      time_s: [0, 0.1, 0.2],
      measured: [0, 0.8, 1.57],
      declared: [0, 1, 1.57],
      updated: [0, 0.79, 1.56],
      band: { low: [-0.02, 0.77, 1.54], high: [0.02, 0.81, 1.58] },
    },
  ] as const;
  return {
    model: "test",
    runs: [
      { runId: "dry", caseId: "duty", sense: "opening", ledger: ledger(0.05, 0), refusals: [], overlays },
      {
        runId: "cold",
        caseId: "duty",
        sense: "opening",
        ledger: ledger(0.02, 0.045),
        refusals: [],
        overlays,
      },
    ],
    inputs: [friction, late],
    confused: [{ first: "valve.seat.friction", second: "drive.stages[0].no_load_torque", correlation: 0.85 }],
    open: [
      {
        spread: 0.9,
        members: [
          { path: "valve.seat.friction", component: 0.8 },
          { path: "drive.stages[0].no_load_torque", component: -0.6 },
        ],
      },
    ],
    refusals: [],
    explained: true,
    update: {
      parameters: [],
      z: new Float64Array(0),
      covariance: new Float64Array(0),
      channels: [],
      misfit: 0.1,
      converged: true,
      unsettled: undefined,
      simulations: 100,
    },
    proposals: [],
    sampled: undefined,
    putBack: [],
    ...more,
  };
}

const sampled = (converged: boolean): PosteriorSummary => ({
  seed: 1,
  chains: 4,
  draws: 1000,
  acceptance: 0.3,
  rHat: converged ? 1.004 : 1.08,
  bulkSize: converged ? 900 : 60,
  tailSize: converged ? 700 : 50,
  worst: "valve.seat.friction",
  converged,
  parameters: [
    { path: "valve.seat.preload", runId: "cold", rHat: 1.001, bulkSize: 2000, tailSize: 1500 },
    { path: "valve.seat.friction", rHat: converged ? 1.004 : 1.08, bulkSize: 900, tailSize: 700 },
  ],
  inputs: [friction, late],
  covariance: new Float64Array(0),
  bands: [],
});

describe("several runs together", () => {
  it("one sentence: which runs, whether one set of values explains them, the causes, what is open", async () => {
    const { sentence } = jointAnswer(await predictionOf({ samples: 0 }), joint());
    expect(sentence).toBe(
      "Runs dry, cold together: one set of values explains them all. What made the measured times differ from those of the file is above all seat friction (+50 ms in run dry), command later than logged (+45 ms in run cold). These tests fix seat friction and stage 1 no load torque only together. What would tell them apart: the drive alone, uncoupled from the valve.",
    );
  });

  it("what is not explained is said, in words for a reader", async () => {
    const refusals = ["valve.seat.friction would have to lie 4.0 declared uncertainties away"];
    const { sentence } = jointAnswer(
      await predictionOf({ samples: 0 }),
      joint({ explained: false, refusals }),
    );
    expect(sentence).toContain(
      "no set of values explains them all: seat friction would have to lie 4.0 declared uncertainties away.",
    );
  });

  it("chains that have not converged are not passed off as a posterior", async () => {
    const prediction = await predictionOf({ samples: 0 });
    expect(jointAnswer(prediction, joint({ sampled: sampled(true) })).sentence).toContain(
      "from 4000 draws of 4 chains that have converged (R-hat 1.004, effective sizes at least 900 and 700)",
    );
    expect(jointAnswer(prediction, joint({ sampled: sampled(false) })).sentence).toContain(
      "did not converge within their steps (R-hat 1.080, effective sizes at least 60 and 50), so the spreads are those of the linearised posterior",
    );
  });

  it("what the draws are worth is listed for each input, the worst first", async () => {
    const { tables } = jointAnswer(await predictionOf({ samples: 0 }), joint({ sampled: sampled(true) }));
    const draws = tables.find(({ title }) => title.startsWith("What the draws are worth"));
    expect(draws?.columns).toEqual(["input", "R-hat", "effective size, centre", "effective size, tails"]);
    expect(draws?.rows).toEqual([
      ["seat friction", "1.0040", "900", "700"],
      ["seat preload, run cold", "1.0010", "2000", "1500"],
    ]);
  });

  it("the list of causes closes to the measured times, run by run", async () => {
    const { tables } = jointAnswer(await predictionOf({ samples: 0 }), joint());
    const causes = tables.find(({ title }) => title.includes("which assumption"));
    expect(causes?.columns).toEqual(["entry", "1", "2"]);
    expect(causes?.rows.map(([entry]) => entry)).toEqual([
      "as the file has it",
      "seat friction",
      "command later than logged",
      "the other inputs together",
      "as updated",
      "unexplained",
      "measured",
    ]);
  });

  it("pictures: band and residual of each history, inputs, ties; each can be drawn", async () => {
    const { figures } = jointAnswer(await predictionOf({ samples: 0 }), joint());
    expect(figures.map(({ id }) => id)).toEqual([
      "test-joint-dry-angle-band",
      "test-joint-dry-angle-residual",
      "test-joint-cold-angle-band",
      "test-joint-cold-angle-residual",
      "test-joint-inputs",
      "test-joint-ties",
    ]);
    for (const figure of figures) expect(drawSvg(figure, { width: 640 })).toContain("<svg");
  });

  it("question 11 ends with it", async () => {
    const prediction = await predictionOf({ samples: 0 });
    const answer = answerNumbered(answersOf(prediction, { reconciliations: [], joint: joint() }), 11);
    expect(answer.sentence).toContain("Runs dry, cold together: one set of values explains them all.");
  });
});

describe("a test that would tell two inputs apart", () => {
  it.each([
    ["granted.command_delay", "drive.driver.dead_time", "the driver's input"],
    ["valve.seat.friction", "drive.stages[1].efficiency", "the drive alone"],
    ["valve.seat.friction", "valve.seat.preload", "dry and under pressure"],
    ["valve.seat.friction", "valve.seat.friction_cold_ratio", "at ambient temperature"],
    ["drive.motor.resistance", "drive.supply.resistance", "the motor held still"],
  ])("%s and %s: %s", (first, second, words) => {
    expect(separatingTest(first, second)).toContain(words);
    expect(separatingTest(second, first)).toContain(words);
  });

  it("the voltage at the driver is not asked for where it was logged: a longer rest, a locked stem", () => {
    const pair = ["drive.supply.open_circuit_voltage", "drive.supply.resistance"] as const;
    expect(separatingTest(...pair, ["angle", "current"])).toBe(
      "the voltage at the driver logged at rest and under load",
    );
    const other = separatingTest(...pair, ["angle", "current", "supply voltage"]);
    expect(other).not.toContain("logged");
    expect(other).toMatch(/longer rest of the supply.*stem locked or another load/);
  });
});
