import { beforeAll, describe, expect, it } from "vitest";
import { type ChainAnswer, type ChainRequest, ChainRunner, updateJointly } from "../../src/evidence/index.js";
import { posteriorProblem } from "../../src/evidence/reconcile/posterior.js";
import { measured, planOf } from "../evidence/reconcile/bench.js";
import { built } from "./built.js";

let host: typeof import("../../src/host/index.js");
beforeAll(async () => {
  host = await import(built("src/host/index.js"));
}, 120_000);

const plan = planOf("dry-ambient");
const runs = [{ plan, stroke: measured(plan, {}, { seed: 3 }), definition: "command-to-end" }];
const problem = posteriorProblem(updateJointly(runs).update);
const lot = (part: number): readonly ChainRequest[] =>
  [0, 1, 2].map((chain) => ({
    kind: "scout",
    seed: 1,
    chain,
    part,
    steps: 4,
    near: undefined,
    reference: problem.reference,
    state: undefined,
    isWarmUp: true,
  }));
const inOrder = (answers: readonly ChainAnswer[]) => [...answers].sort((a, b) => a.chain - b.chain);

describe("workers of chains", () => {
  it("answer one lot after the other with the bits of no worker, for 1 and 2 of them, and tell how far they are", async () => {
    const alone = new ChainRunner(runs, problem);
    const expected = [0, 1, 2].map((part) => lot(part).map((request) => alone.run(request)));
    for (const count of [1, 2]) {
      const told: number[] = [];
      const workers = host.startChainWorkers(runs, {
        count,
        mostSteps: 36,
        onProgress: ({ done }) => told.push(done),
      });
      try {
        for (const part of [0, 1, 2])
          expect(inOrder(await workers.run(problem, lot(part))), `${count} workers, lot ${part}`).toEqual(
            expected[part],
          );
      } finally {
        await workers.stop();
      }
      expect(told).toEqual([4, 8, 12, 16, 20, 24, 28, 32, 36]);
    }
  }, 120_000);

  it("end when the work is cancelled, also between two lots", async () => {
    const cancel = new AbortController();
    const workers = host.startChainWorkers(runs, { count: 1, mostSteps: 12, signal: cancel.signal });
    const reason = new Error("cancelled by the user");
    const running = workers.run(problem, lot(0));
    cancel.abort(reason);
    await expect(running).rejects.toBe(reason);
    await expect(workers.run(problem, lot(1))).rejects.toBe(reason);
    await workers.stop();
  }, 120_000);

  it("that crash let the lot reject with what happened", async () => {
    const workers = host.startChainWorkers(runs, { count: 1, mostSteps: 12 });
    const [first] = lot(0);
    if (first === undefined) throw new Error("no request");
    await expect(workers.run(problem, [{ ...first, steps: 2 ** 50 }])).rejects.toThrow(/array/i);
    await workers.stop();
  }, 120_000);
});
