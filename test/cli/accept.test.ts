/** Correlations that a fit writes: their ranks, that they can all be true, and that they keep the band as narrow as the test made it. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { withCorrelations } from "../../src/cli/accept.js";
import { applyDefaults, editValveText, readDossier } from "../../src/dossier/index.js";
import {
  beforeFits,
  fittedCorrelations,
  type Proposal,
  reconcileJointly,
  togetherIn,
  updateJointly,
} from "../../src/evidence/index.js";
import { isCondition } from "../../src/evidence/reconcile/parameters.js";
import { linearised } from "../../src/evidence/reconcile/posteriorSummary.js";
import { gaussianCopula, placeAt, quantileOfSorted, randomStream } from "../../src/numerics/index.js";
import { flowMark, planFor, predict, runBlock, strokeOf, ValveSample } from "../../src/predict/index.js";
import { measured, petrel, planOf } from "../evidence/reconcile/bench.js";

const proposal = (path: string): Proposal => ({
  path,
  now: "1",
  proposed: "2",
  because: "fitted to run a, was 1",
  refusals: [],
});

/** Parameters with these correlations. */
const left = (paths: readonly string[], matrix: readonly (readonly number[])[]) => ({
  parameters: paths.map((path) => ({ path, runId: undefined })),
  covariance: Float64Array.from(matrix.flat()),
});

describe("rank correlation of two normal values is (6/pi) asin(r/2): Pearson 1907, value from memory", () => {
  const rankOf = (r: number, correlations: Parameters<typeof fittedCorrelations>[3]["correlations"] = []) =>
    fittedCorrelations(
      ["a", "b"].map(proposal),
      left(
        ["a", "b"],
        [
          [4, 2 * r],
          [2 * r, 1],
        ],
      ),
      ["a"],
      { paths: ["a", "b"], correlations },
    )[0];

  it("1/2 is 0.483, the sign is kept, and two values never become one", () => {
    expect([0.5, -0.5, 1].map((r) => rankOf(r)?.rank)).toEqual([0.48, -0.48, 0.99]);
  });

  it("weak ones are left out, but for those that are declared, which say what they were", () => {
    expect(rankOf(0.04)).toBeUndefined();
    const declared = [{ first: "b", second: "a", rank: 0.6, because: "same grease" }];
    expect(rankOf(0.04, declared)).toMatchObject({ rank: 0.04, because: "fitted to run a, was 0.6" });
  });

  it("values of the file alone are joined, conditions of a test never, and nothing where nothing is proposed", () => {
    const paths = ["a", "duty.valve_temperature"];
    const all = left(
      [...paths, "default"],
      [0, 1, 2].map((i) => [0, 1, 2].map((j) => (i === j ? 1 : 0.5))),
    );
    expect(fittedCorrelations([proposal("a")], all, ["a"], { paths, correlations: [] })).toEqual([]);
    const two = left(
      ["a", "b"],
      [
        [1, 0.9],
        [0.9, 1],
      ],
    );
    expect(fittedCorrelations([], two, ["a"], { paths: ["a", "b"], correlations: [] })).toEqual([]);
  });
});

describe("ranks of a fit beside declared ones", () => {
  it("can all be true: they are brought nearer to 0 where a declared one stands against them", () => {
    const found = fittedCorrelations(
      ["a", "b"].map(proposal),
      left(
        ["a", "b", "c"],
        [
          [1, 0.9, 0],
          [0.9, 1, 0],
          [0, 0, 1],
        ],
      ),
      ["a"],
      {
        paths: ["a", "b"],
        correlations: [
          { first: "a", second: "c", rank: 0.6, because: undefined },
          { first: "b", second: "c", rank: -0.6, because: undefined },
        ],
      },
    );
    const rank = found[0]?.rank ?? Number.NaN;
    // Of the normal scores r, det = 1 - r_ab^2 - r_ac^2 - r_bc^2 + 2 r_ab r_ac r_bc > 0 wants r_ab < 1 - 2 r_ac^2.
    const score = (value: number) => 2 * Math.sin((Math.PI * value) / 6);
    expect(score(rank)).toBeLessThan(1 - 2 * score(0.6) ** 2);
    expect(() =>
      gaussianCopula([
        [1, rank, 0.6],
        [rank, 1, -0.6],
        [0.6, -0.6, 1],
      ]),
    ).not.toThrow();
  });
});

describe("values and correlations of a fit, written into the file", () => {
  const path = "demo/petrel-oxygen-main/valve.yaml";
  const original = readFileSync(path, "utf8");
  const caseId = "dry-ambient";
  const definition = "command-to-end";
  const plan = planOf(caseId);
  const stroke = { ...measured(plan, { "valve.seat.friction": 0.12 }, { seed: 3 }), runId: "run-3" };
  const runs = [{ plan, stroke, definition }];
  const joint = updateJointly(runs);
  const { proposals, update: record } = reconcileJointly(runs, joint, []);
  const dossier = petrel();
  const rows = fittedCorrelations(proposals, record, ["run-3"], togetherIn(dossier));
  const values = editValveText(
    original,
    proposals.map((one) => ({
      path: one.path,
      value: `{ value: ${one.proposed}, origin: fitted, because: ${JSON.stringify(one.because)} }`,
    })),
  );
  const text = withCorrelations(values, rows, togetherIn(dossier).correlations);
  const read = (of: string) => readDossier({ valve: { path, text: of } });
  const bandOf = async (of: string): Promise<number> => {
    const filled = applyDefaults(read(of).dossier, caseId).dossier;
    const options = { seed: 1, samples: 2000, effectSamples: 0 };
    const { band } = await predict(filled, caseId, options, async (same, blocks) =>
      blocks.map((block) => runBlock(same, block)),
    );
    const figure = band?.figures[`opening:${definition}`];
    if (figure === undefined) throw new Error("no band of the opening time");
    return figure.high.value - figure.low.value;
  };

  it("are in force: the file reads without a fault and has each of them", () => {
    const { faults, dossier: after } = read(text);
    expect(faults).toEqual([]);
    for (const { first, second, rank } of rows)
      expect(togetherIn(after).correlations).toContainEqual(expect.objectContaining({ first, second, rank }));
  });

  it("are put back with the values before the run is fitted again: those that were not declared tie nothing", () => {
    const after = read(text).dossier;
    const back = beforeFits(after, ["run-3"]);
    const again = read(editValveText(text, back)).dossier;
    const tying = togetherIn(again).correlations.filter(({ rank }) => rank !== 0);
    expect(tying.map(({ first, second, rank }) => ({ first, second, rank }))).toEqual(
      togetherIn(dossier).correlations.map(({ first, second, rank }) => ({ first, second, rank })),
    );
    expect(planFor(applyDefaults(again, caseId).dossier, caseId).space.copula?.dimensions).toBe(
      plan.space.copula?.dimensions,
    );
  });

  it("reproduce the spread of the opening time over the posterior, which independent values do not", async () => {
    // Draws of the posterior for what the valve is, of the declared laws for the conditions of a further test.
    const { space, z } = joint.update;
    const { active, reference } = linearised(joint.update);
    const stream = randomStream(4, 1);
    const sample = new ValveSample(plan);
    const x = new Float64Array(active.length);
    const times = Array.from({ length: 2000 }, () => {
      placeAt(
        reference,
        Float64Array.from(active, () => stream.normal()),
        x,
      );
      const drawn = space.parameters.map(({ path: of }, j) =>
        isCondition(of) || !active.includes(j) ? stream.normal() : (x[active.indexOf(j)] ?? z[j] ?? 0),
      );
      space.fill(0, drawn, sample.values, (j) => space.parameters[j]?.granted === undefined);
      sample.updateFlow();
      sample.updateTorque();
      return (
        strokeOf(plan, sample, sample.train(), "opening", flowMark(sample, "opening")).times[4] ?? Number.NaN
      );
    });
    const sorted = Float64Array.from(times.filter(Number.isFinite)).sort();
    const posterior = quantileOfSorted(sorted, 0.975) - quantileOfSorted(sorted, 0.025);
    const together = await bandOf(text);
    const independent = await bandOf(values);
    expect(together / posterior).toBeGreaterThan(0.85);
    expect(together / posterior).toBeLessThan(1.2);
    expect(independent / posterior).toBeGreaterThan(1.3);
  }, 60_000);
});
