import { describe, expect, it } from "vitest";
import { compare, proposalsOf, reconcile } from "../../../src/evidence/index.js";
import { heldOf, measured, planOf } from "./bench.js";

describe("comparison of prediction and test", () => {
  it("ASME V&V 20: S 0.74 s, D 0.80 s, u_num 0.01, u_input 0.05, u_D 0.02 give E -0.06 and u_val 0.05477", () => {
    // u_num is fixed by the model; the example's is folded into the input uncertainty.
    const comparison = compare("command-to-end", 0.74, Math.hypot(0.05, 0.01), {
      value_s: 0.8,
      standardUncertainty_s: 0.02,
    });
    expect(comparison.error_s).toBeCloseTo(-0.06, 12);
    expect(comparison.validationUncertainty_s).toBeCloseTo(0.05477, 5);
    expect(Math.abs(comparison.error_s)).toBeLessThan(2 * comparison.validationUncertainty_s);
  });

  it("says 'disagrees' outside k u_val, 'agrees' inside, 'cannot tell' where u_val covers almost any time", () => {
    const time = (value: number) => ({ value_s: value, standardUncertainty_s: 0.002 });
    expect(compare("x", 0.4, 0.02, time(0.5)).finding).toBe("disagrees");
    expect(compare("x", 0.4, 0.02, time(0.42)).finding).toBe("agrees");
    expect(compare("x", 0.4, 0.2, time(0.5)).finding).toBe("cannot tell");
  });
});

describe("reconciliation of one stroke", () => {
  const guilty: readonly (readonly [string, string, number])[] = [
    ["pressurised-ambient", "valve.seat.friction", 0.14],
    ["pressurised-ambient", "drive.supply.resistance", 0.45],
    ["dry-ambient", "drive.supply.open_circuit_voltage", 24.2],
    ["nitrogen-pressurised", "valve.seat.friction_cold_ratio", 1.6],
    ["dry-ambient", "drive.motor.torque_constant", 0.0475],
  ];

  it.each(guilty)("%s: names %s first when it alone is other than declared", async (caseId, path, value) => {
    const plan = planOf(caseId);
    const result = reconcile(plan, measured(plan, { [path]: value }), await heldOf(plan), "command-to-end");
    const named = result.ledger?.lines.map((line) => line.path).slice(0, 1) ?? [];
    const twins = result.confused
      .filter((pair) => pair.first === path || pair.second === path)
      .map((pair) => (pair.first === path ? pair.second : pair.first));
    expect([path, ...twins]).toContain(named[0]);
    expect(Math.abs(result.ledger?.unexplained_s ?? 1)).toBeLessThan(0.005);
  });

  it("names a late drive where its dead time was hardly known", async () => {
    const plan = planOf("dry-ambient", { "dead_time: 15 ms +/- 3 ms": "dead_time: 15 ms +/- 12 ms" });
    const stroke = measured(plan, { "drive.driver.dead_time": 0.04 });
    const { ledger } = reconcile(plan, stroke, await heldOf(plan), "command-to-end");
    expect(ledger?.lines[0]?.path).toBe("drive.driver.dead_time");
    expect(ledger?.lines[0]?.contribution_s).toBeCloseTo(0.025, 2);
  });

  it("the ledger's lines and 'unexplained' add up to measured minus predicted", async () => {
    const plan = planOf("pressurised-ambient");
    const stroke = measured(plan, { "valve.seat.friction": 0.13, "drive.supply.resistance": 0.35 });
    const { ledger } = reconcile(plan, stroke, await heldOf(plan), "command-to-end");
    expect(ledger).toBeDefined();
    if (ledger === undefined) return;
    const explained = ledger.lines.reduce((sum, line) => sum + line.contribution_s, 0);
    expect(ledger.predicted_s + explained + ledger.unexplained_s).toBeCloseTo(ledger.measured_s, 9);
  });

  it("two guilty inputs are both found within their spread after the test", async () => {
    const plan = planOf("pressurised-ambient");
    const truth = { "valve.seat.friction": 0.13, "drive.supply.resistance": 0.35 };
    const result = reconcile(plan, measured(plan, truth), await heldOf(plan), "command-to-end");
    expect(result.explained).toBe(true);
    for (const [path, value] of Object.entries(truth)) {
      const input = result.inputs.find((row) => row.path === path);
      expect(input).toBeDefined();
      expect(value).toBeGreaterThan(input?.after.low ?? Number.POSITIVE_INFINITY);
      expect(value).toBeLessThan(input?.after.high ?? Number.NEGATIVE_INFINITY);
      expect(input?.narrowing).toBeLessThan(0.7);
    }
    const proposals = proposalsOf(plan, result);
    expect(proposals.map(({ path }) => path)).toContain("drive.supply.resistance");
    expect(proposals.every(({ because }) => because.includes("run bench"))).toBe(true);
    expect(proposals.every(({ refusals }) => refusals.length === 0)).toBe(true);
  });

  it("a test like the prediction agrees, and moves nothing by more than its spread", async () => {
    const plan = planOf("dry-ambient");
    const result = reconcile(plan, measured(plan, {}), await heldOf(plan), "command-to-end");
    expect(result.finding).toBe("agrees");
    // The true battery resistance, its nominal one, lies at the 6 % quantile of its law: a score of -1.5.
    const shifts = result.inputs
      .filter(({ path }) => path !== "drive.supply.resistance")
      .map(({ shift }) => Math.abs(shift));
    expect(Math.max(...shifts)).toBeLessThan(1);
    expect(result.inputs.find(({ path }) => path === "drive.supply.resistance")?.shift).toBeCloseTo(-1.5, 0);
  });

  it("a test faster than any friction allows is beyond the ceiling, and no friction is blamed for it", async () => {
    const plan = planOf("dry-ambient");
    const result = reconcile(
      plan,
      measured(plan, {}, { stretch: 0.55 }),
      await heldOf(plan),
      "command-to-end",
    );
    expect(result.finding).toBe("disagrees");
    expect(result.explained).toBe(false);
    expect(result.refusals.join(" ")).toMatch(/declared|friction|unexplained/);
  });

  it("a slow clock that no input can explain ends as not explained", async () => {
    const plan = planOf("dry-ambient");
    const result = reconcile(
      plan,
      measured(plan, {}, { stretch: 2.6 }),
      await heldOf(plan),
      "command-to-end",
    );
    expect(result.explained).toBe(false);
    expect(result.refusals.length).toBeGreaterThan(0);
    expect(result.ledger?.stands ?? false).toBe(false);
  });

  it("values fitted to this very run can only agree with it: that is no finding, unless a seal was made before", async () => {
    const fitted = '{ value: 0.075 +/- 0.028, because: "fitted to run bench, was 0.1" }';
    const plan = planOf("dry-ambient", {
      '{ value: 0.075 +/- 0.028, because: "lower half of the handbook range: new seats, polished ball" }':
        fitted,
    });
    const held = await heldOf(plan);
    expect(reconcile(plan, measured(plan, {}), held, "command-to-end").finding).toBe("cannot tell");
    const sealed = { ...held, sealed: "a".repeat(64) };
    expect(reconcile(plan, measured(plan, {}), sealed, "command-to-end").finding).toBe("agrees");
  });

  it("the same stroke gives the same bits", async () => {
    const plan = planOf("dry-ambient");
    const held = await heldOf(plan);
    const once = reconcile(plan, measured(plan, { "valve.seat.friction": 0.11 }), held, "command-to-end");
    const again = reconcile(
      planOf("dry-ambient"),
      measured(plan, { "valve.seat.friction": 0.11 }),
      held,
      "command-to-end",
    );
    expect(again.inputs).toEqual(once.inputs);
  });
});
