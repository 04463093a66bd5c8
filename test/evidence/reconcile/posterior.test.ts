/** The sampled posterior: coordinates that straighten what tests hold firm, and chains that converge in them. */
import { describe, expect, it } from "vitest";
import {
  ChainRunner,
  reconcileJointly,
  samplePosterior,
  updateJointly,
} from "../../../src/evidence/index.js";
import { JointModel } from "../../../src/evidence/reconcile/jointModel.js";
import { actingValues, fitNear } from "../../../src/evidence/reconcile/nearFit.js";
import { NearHistories } from "../../../src/evidence/reconcile/nearModel.js";
import { posteriorProblem } from "../../../src/evidence/reconcile/posterior.js";
import { StraightCoordinates } from "../../../src/evidence/reconcile/straight.js";
import { spreadOf } from "../../../src/evidence/reconcile/updated.js";
import { measured, planOf } from "./bench.js";

const definition = "command-to-end";

describe("straightened coordinates", () => {
  const plan = planOf("dry-ambient");
  const stroke = { ...measured(plan, { "valve.seat.friction": 0.12 }, { seed: 3 }), runId: "run-3" };
  const { update } = updateJointly([{ plan, stroke, definition: "command-to-end" }]);
  const { active, straightening } = posteriorProblem(update);
  const coordinates = new StraightCoordinates(straightening);

  it("leave the centre where it is, within what their tables miss: a few hundredths of a score", () => {
    const z = Float64Array.from(update.z);
    coordinates.toScores(z);
    for (const j of active) expect(Math.abs((z[j] ?? 0) - (update.z[j] ?? 0))).toBeLessThan(0.03);
  });

  it("their volume is the determinant of their derivatives, by central differences", () => {
    const from = Float64Array.from(update.z, (z, j) => z + 0.3 * Math.sin(1 + 2.7 * j));
    const at = (j: number, h: number): Float64Array => {
      const z = Float64Array.from(from);
      z[j] = (z[j] ?? 0) + h;
      coordinates.toScores(z);
      return z;
    };
    const h = 1e-6;
    const rows = active.map((j) => {
      const above = at(j, h);
      const below = at(j, -h);
      return active.map((k) => ((above[k] ?? 0) - (below[k] ?? 0)) / (2 * h));
    });
    const logVolume = coordinates.toScores(Float64Array.from(from));
    expect(logVolume).toBeCloseTo(logDeterminant(rows), 5);
  });

  it("their slopes are those of a law in the scores carried over, by central differences", () => {
    const law = (z: Float64Array): number =>
      z.reduce((sum, value, j) => sum + Math.cos(value + j) + value ** 2, 0);
    const at = (w: Float64Array): number => {
      const z = Float64Array.from(w);
      const logVolume = coordinates.toScores(z);
      return law(z) - logVolume;
    };
    const from = Float64Array.from(update.z, (z, j) => z + 0.3 * Math.sin(1 + 2.7 * j));
    const z = Float64Array.from(from);
    coordinates.toScores(z);
    const slope = z.map((value, j) => 2 * value - Math.sin(value + j));
    coordinates.toSlopes(slope);
    const h = 1e-5;
    for (const j of active) {
      const [above, below] = [h, -h].map((step) => {
        const moved = Float64Array.from(from);
        moved[j] = (moved[j] ?? 0) + step;
        return at(moved);
      });
      expect(slope[j]).toBeCloseTo(((above ?? 0) - (below ?? 0)) / (2 * h), 4);
    }
  });
});

describe("the near model", () => {
  const plan = planOf("dry-ambient");
  const runs = [{ plan, stroke: measured(plan, { "valve.seat.friction": 0.12 }, { seed: 3 }), definition }];
  const { update } = updateJointly(runs);
  const problem = posteriorProblem(update);
  const runner = new ChainRunner(runs, problem);
  const { reference } = problem;
  const order = {
    kind: "scout",
    seed: 2,
    reference,
    state: undefined,
    isWarmUp: true,
    near: undefined,
  } as const;
  const { scouts } = runner.run({ ...order, chain: 0, part: 0, steps: 500 });
  const near = fitNear(update.space, actingValues(update.space), problem.active, scouts);
  const histories = new NearHistories(update.space, near);
  const slope = new Float64Array(update.space.size);

  it("comes near the simulation where it was not fitted: the posterior within a tenth", () => {
    const model = new JointModel(runs);
    const fresh = runner.run({ ...order, chain: 1, part: 0, steps: 40 }).scouts;
    const off = fresh.map(({ z }) => histories.minusLogPosterior(z, slope) - model.minusLogPosterior(z));
    off.sort((a, b) => Math.abs(a) - Math.abs(b));
    expect(Math.abs(off[20] ?? Number.NaN)).toBeLessThan(0.1);
  });

  it("its slopes are its own central differences", () => {
    const z = Float64Array.from(scouts[7]?.z ?? []);
    histories.minusLogPosterior(z, slope);
    const found = slope.slice();
    const h = 1e-5;
    for (const j of problem.active) {
      const [above, below] = [h, -h].map((step) => {
        const moved = Float64Array.from(z);
        moved[j] = (moved[j] ?? 0) + step;
        return histories.minusLogPosterior(moved, slope);
      });
      expect(found[j]).toBeCloseTo(((above ?? 0) - (below ?? 0)) / (2 * h), 4);
    }
  });
});

describe("the sampled posterior of one run", () => {
  const plan = planOf("dry-ambient");
  const runs = [{ plan, stroke: measured(plan, { "valve.seat.friction": 0.12 }, { seed: 3 }), definition }];
  const { update } = updateJointly(runs);

  it("converges: R-hat below 1.01 and 400 effective draws [vehtari-2021], and holds what is true", async () => {
    let runner: ChainRunner | undefined;
    const found = await samplePosterior(update, 1, async (problem, requests) => {
      runner ??= new ChainRunner(runs, problem);
      const own = runner;
      return requests.map((request) => own.run(request));
    });
    expect(found.rHat).toBeLessThan(1.01);
    expect(Math.min(found.bulkSize, found.tailSize)).toBeGreaterThanOrEqual(400);
    expect(found.converged).toBe(true);
    const friction = found.inputs.find(({ path }) => path === "valve.seat.friction");
    expect(friction?.after.low).toBeLessThan(0.12);
    expect(friction?.after.high).toBeGreaterThan(0.12);
    // Draws that have not converged leave the spreads of the linearised posterior.
    const joint = { update, spread: spreadOf(update) };
    const linear = reconcileJointly(runs, joint, []).inputs;
    expect(reconcileJointly(runs, joint, [], found).inputs).toEqual(found.inputs);
    expect(reconcileJointly(runs, joint, [], { ...found, converged: false }).inputs).toEqual(linear);
  }, 300_000);
});

/** log |det A| by elimination with pivots. */
function logDeterminant(rows: readonly (readonly number[])[]): number {
  const a = rows.map((row) => [...row]);
  let sum = 0;
  for (let k = 0; k < a.length; k++) {
    let pivot = k;
    for (let i = k + 1; i < a.length; i++)
      if (Math.abs(a[i]?.[k] ?? 0) > Math.abs(a[pivot]?.[k] ?? 0)) pivot = i;
    const top = a[pivot] ?? [];
    a[pivot] = a[k] ?? [];
    a[k] = top;
    sum += Math.log(Math.abs(top[k] ?? 0));
    for (const row of a.slice(k + 1)) {
      const share = (row[k] ?? 0) / (top[k] ?? 1);
      for (let j = k; j < row.length; j++) row[j] = (row[j] ?? 0) - share * (top[j] ?? 0);
    }
  }
  return sum;
}
