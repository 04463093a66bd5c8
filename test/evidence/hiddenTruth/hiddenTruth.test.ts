/**
 * Does the ledger find the truth? Logs of a valve that differs from its file in one thing each; nothing
 * under src/ sees which. The ledger must name the guilty cause first, or say that this test cannot tell
 * it from the one it names, with a test that would.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { type Reconciliation, reconcile } from "../../../src/evidence/index.js";
import { separatingTest } from "../../../src/question/separatingTest.js";
import { hiddenCases, unexplainedCases } from "./cases.js";
import { believedPlan, believedPrediction, type HiddenTruth, hiddenTest } from "./generator.js";

const seed = 20310502;

async function reconciled(truth: HiddenTruth): Promise<Reconciliation> {
  const plan = believedPlan(truth.caseId);
  return reconcile(plan, hiddenTest(truth, seed), await believedPrediction(plan), "command-to-end");
}

/** How the ledger fares: it names the cause, it cannot tell it from the one it names, or it misses it. */
function verdictOn({ ledger, confused }: Reconciliation, guilty: readonly string[]) {
  const first = ledger?.lines.find(({ path }) => path !== undefined)?.path ?? "";
  if (guilty.includes(first)) return "named";
  const twin = confused.find(
    ({ first: a, second: b }) => (a === first && guilty.includes(b)) || (b === first && guilty.includes(a)),
  );
  return twin !== undefined && separatingTest(first, guilty[0] ?? "") !== "" ? "cannot tell" : "missed";
}

describe("hidden truths of an invented valve", () => {
  const results = new Map<string, Reconciliation>();
  beforeAll(async () => {
    for (const { name, truth } of [...hiddenCases, ...unexplainedCases])
      results.set(name, await reconciled(truth));
  }, 300_000);
  const of = (name: string): Reconciliation => {
    const found = results.get(name);
    if (found === undefined) throw new Error(`${name} was not reconciled`);
    return found;
  };

  it.each(hiddenCases)("$name: named first, or said not to be told from what is", ({ name, guilty }) => {
    expect(["named", "cannot tell"]).toContain(verdictOn(of(name), guilty));
  });

  /** What one test of each cannot know: load and loss multiply, and so do the factors of a load. */
  const twins = ["preload lost by cold", "gearbox efficiency", "gearbox no-load torque in the cold"];

  it("nine causes are named outright; three multiply with another, and the test says so", () => {
    const verdicts = hiddenCases.map(({ name, guilty }) => ({
      name,
      verdict: verdictOn(of(name), guilty),
    }));
    expect(verdicts.filter(({ verdict }) => verdict === "missed")).toEqual([]);
    expect(verdicts.filter(({ verdict }) => verdict === "cannot tell").map(({ name }) => name)).toEqual(
      twins,
    );
  });

  it.each(hiddenCases.filter(({ name }) => !twins.includes(name) && name !== "slow angle sensor"))(
    "$name: the measured time is explained to within 5 ms",
    ({ name }) => {
      expect(Math.abs(of(name).ledger?.unexplained_s ?? 1)).toBeLessThan(0.0055);
    },
  );

  it.each(unexplainedCases)(
    "$name: ends as not explained, with the histories that are missed",
    ({ name }) => {
      const { explained, refusals } = of(name);
      expect(explained).toBe(false);
      expect(refusals.join("; ")).toMatch(/still misses the measured (angle|current|supply voltage)/);
    },
  );

  it("a valve as its file says moves nothing beyond its declared 95 %", async () => {
    const { inputs, explained } = await reconciled({ caseId: "pressurised" });
    expect(explained).toBe(true);
    expect(Math.max(...inputs.map(({ shift }) => Math.abs(shift)))).toBeLessThan(2);
  });
});
