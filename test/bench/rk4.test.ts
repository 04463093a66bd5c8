import { expect, it } from "vitest";
import { judge } from "../../bench/bench.js";
import {
  convergedOpeningTime,
  openingTime,
  openingValve,
  REFERENCE_STEP,
  runningTorque,
} from "../../bench/rk4.js";

const reference = { kind: "none" } as const;

it("the reference opening lies above the time that no friction would give", () => {
  const { voltage, torqueConstant, ratio, travel } = openingValve;
  // Without friction the stem never exceeds U / (k_t N).
  expect(convergedOpeningTime()).toBeGreaterThan((travel * torqueConstant * ratio) / voltage);
});

it("the reference opening at its 0.2 ms step lies within 1e-3 of the converged one, which moves by less than 1e-5 when its step is halved", () => {
  const converged = convergedOpeningTime();
  // Breakaway is found to one step, so the error is of the order of step / opening time = 5e-4.
  expect(Math.abs(openingTime(REFERENCE_STEP) / converged - 1)).toBeLessThan(1e-3);
  expect(Math.abs(openingTime(0.5e-6) / converged - 1)).toBeLessThan(1e-5);
});

it("the running torque falls from 15 N m closed to 6 N m open", () => {
  expect(runningTorque(0)).toBeCloseTo(15, 12);
  expect(runningTorque(Math.PI / 2)).toBeCloseTo(6, 12);
});

it("a ratio budget is judged against the value of its reference in the same run", () => {
  const bench = {
    name: "b",
    budget: { kind: "ratio at most", value: 0.125, reference: "a" },
    run: () => found,
  } as const;
  const found = { value: 1, unit: "s", accuracy: "exact" };
  expect(judge(bench, found, new Map([["a", 8]])).verdict).toBe("within budget");
  expect(judge(bench, found, new Map([["a", 7.9]])).verdict).toBe("over budget");
  expect(() => judge(bench, found, new Map())).toThrow("did not run before");
  expect(judge({ ...bench, budget: reference }, found, new Map()).verdict).toBe("reference");
});

it("a time set for a faster machine is as much longer on a slower one, and no shorter on a faster one", () => {
  const setWhere = { reference: "a", value: 2 } as const;
  const budget = { kind: "at most", value: 10, setWhere } as const;
  const held = (value: number, reference: number) => {
    const found = { value, unit: "s", accuracy: "exact" };
    return judge({ name: "b", budget, run: () => found }, found, new Map([["a", reference]]));
  };
  expect(held(14, 3)).toMatchObject({ limitHere: 15, verdict: "within budget" });
  expect(held(16, 3).verdict).toBe("over budget");
  expect(held(11, 1).verdict).toBe("over budget");
  expect(held(9, 1)).not.toHaveProperty("limitHere");
});
