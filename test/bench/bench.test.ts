import { describe, expect, it } from "vitest";
import { type Bench, judge } from "../../bench/bench.js";

const bench: Bench = {
  name: "a wait",
  budget: { kind: "at most", value: 0.05, setWhere: { reference: "a loop", value: 250e-6 } },
  run: () => ({ value: 0.06, unit: "s", accuracy: "" }),
};
const found = (value: number) => ({ value, unit: "s", accuracy: "" });

describe("the judging of a bench", () => {
  it("a slower machine has as much longer", () => {
    const slower = new Map([["a loop", 500e-6]]);
    expect(judge(bench, found(0.09), slower)).toMatchObject({ verdict: "within budget", limitHere: 0.1 });
    expect(judge(bench, found(0.11), slower).verdict).toBe("over budget");
    expect(judge(bench, found(0.06), new Map([["a loop", 125e-6]])).verdict).toBe("over budget");
  });

  it("what could not be measured is neither within its budget nor over it", () => {
    expect(judge(bench, found(Number.NaN), new Map()).verdict).toBe("not measured");
  });
});
