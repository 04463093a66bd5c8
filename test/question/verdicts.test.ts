/** Every check provoked as holds, thin, fails and not known by small changes of hand.yaml. */
import { describe, expect, it } from "vitest";
import type { Check } from "../../src/question/index.js";
import { answersTo, checkNamed, type Edits } from "./answering.js";

interface Provocation {
  readonly id: string;
  readonly holds?: Edits;
  /** The nominal value meets the limit, too many samples do not. */
  readonly thin: Edits | undefined;
  readonly fails: Edits | undefined;
  readonly unknown: Edits;
  /** What the unknown check must ask for. */
  readonly needs: string;
}

const provocations: readonly Provocation[] = [
  {
    id: "installed-flow",
    thin: { "duty.supply_pressure": "11 bar(a) +/- 1 bar" },
    fails: { "duty.mass_flow": "5.5 kg/s" },
    unknown: { "duty.mass_flow": undefined },
    needs: "duty.mass_flow",
  },
  {
    id: "flow-capacity",
    thin: { "duty.capacity_margin": "40 %", "duty.mass_flow": "5 kg/s +/- 0.5 kg/s" },
    fails: { "duty.largest_valve_drop": "0.2 bar" },
    unknown: { "duty.largest_valve_drop": undefined },
    needs: "duty.largest_valve_drop",
  },
  {
    id: "choke",
    thin: { "valve.recovery[0].factor": "0.85 +/- 0.05", "valve.recovery[1].factor": "0.85 +/- 0.05" },
    fails: { "duty.throttle.lowest": "10 %" },
    unknown: { "line.upstream.drop": undefined },
    needs: "line.upstream.drop",
  },
  {
    id: "cavitation",
    thin: { "valve.cavitation_onset": "0.75 +/- 0.2" },
    fails: { "valve.cavitation_onset": "0.3" },
    unknown: { "duty.fluid_temperature": undefined },
    needs: "duty.fluid_temperature",
  },
  {
    id: "velocity-body",
    thin: { "duty.supply_pressure": "11 bar(a) +/- 2 bar", "duty.largest_bore_velocity": "6.6 m/s" },
    fails: { "duty.largest_bore_velocity": "5 m/s" },
    unknown: { "duty.back_pressure": undefined },
    needs: "duty.back_pressure",
  },
  {
    id: "break-torque",
    thin: { "valve.seat.friction": "0.10 +/- 0.06", "drive.driver.current_limit": "3.6 A" },
    fails: { "drive.driver.current_limit": "3 A" },
    unknown: { "valve.seat.preload": undefined },
    needs: "valve.seat.preload",
  },
  {
    id: "run-torque",
    thin: { "valve.seat.friction": "0.10 +/- 0.06", "duty.open_within.time": "0.45 s" },
    fails: { "duty.open_within.time": "0.40 s" },
    unknown: { "duty.open_within.time": undefined },
    needs: "duty.open_within.time",
  },
  {
    id: "end-torque",
    thin: { "valve.seat.friction": "0.10 +/- 0.06", "drive.driver.current_limit": "2.2 A" },
    fails: { "drive.driver.current_limit": "1.5 A" },
    unknown: { "drive.motor.torque_constant": undefined },
    needs: "drive.motor.torque_constant",
  },
  {
    // Declared is declared: it holds or is not known.
    id: "ice-torque",
    thin: undefined,
    fails: undefined,
    unknown: { "valve.ice_torque": undefined },
    needs: "valve.ice_torque",
  },
  {
    id: "torque-margin",
    thin: { "valve.seat.friction": "0.10 +/- 0.06" },
    fails: { "duty.margin_phase": "preliminary" },
    unknown: { "duty.margin_rule": undefined },
    needs: "duty.margin_rule",
  },
  {
    id: "motorisation",
    holds: {
      "duty.margin_rule": "ecss-e-st-33-01c",
      "drive.driver.current_limit": "20 A",
      "duty.close_within.time": "1.5 s",
    },
    thin: {
      "duty.margin_rule": "ecss-e-st-33-01c",
      "drive.driver.current_limit": "20 A",
      "duty.close_within.time": "1.5 s",
      "valve.seat.friction": "0.10 +/- 0.06",
    },
    fails: { "duty.margin_rule": "ecss-e-st-33-01c" },
    unknown: { "duty.margin_rule": undefined },
    needs: "duty.margin_rule",
  },
  {
    id: "opening-time",
    thin: { "drive.supply.open_circuit_voltage": "24 V +/- 3 V", "duty.open_within.time": "0.549 s" },
    fails: { "duty.open_within.time": "0.44 s" },
    unknown: { "duty.open_within.time": undefined },
    needs: "duty.open_within.time",
  },
  {
    id: "closing-time",
    thin: { "drive.supply.open_circuit_voltage": "24 V +/- 3 V", "duty.close_within.time": "0.549 s" },
    fails: { "duty.close_within.no_faster_than": "0.5 s" },
    unknown: { "duty.close_within.time": undefined },
    needs: "duty.close_within.time",
  },
  {
    id: "motor-thermal",
    thin: { "drive.motor.winding_limit": "40 degC", "duty.motor_temperature": "20 degC +/- 5 K" },
    fails: { "drive.motor.winding_limit": "36 degC" },
    unknown: { "drive.motor.winding_heat_capacity": undefined },
    needs: "drive.motor.winding_heat_capacity",
  },
  {
    id: "supply-sag",
    thin: { "drive.driver.undervoltage": "20.4 V", "drive.supply.open_circuit_voltage": "24 V +/- 1 V" },
    fails: { "drive.driver.undervoltage": "21 V" },
    unknown: { "drive.driver.undervoltage": undefined },
    needs: "drive.driver.undervoltage",
  },
  {
    id: "controllability",
    thin: { "duty.supply_pressure": "11 bar(a) +/- 1 bar", "duty.throttle.step": "1.85 %" },
    fails: { "duty.throttle.step": "1 %" },
    unknown: { "drive.stages[0].backlash": undefined },
    needs: "drive.stages[0].backlash",
  },
];

async function checkWith(id: string, edits: Edits): Promise<Check> {
  return checkNamed(await answersTo({ edits }), id);
}

describe("a check holds", () => {
  it.each(provocations)("$id", async ({ id, holds = {} }) => {
    const check = await checkWith(id, holds);
    expect(check.verdict).toBe("holds");
    expect(check.kind === "known" && check.margin).toBeGreaterThan(0);
  });
});

describe("a check is thin where the nominal value meets the limit and the probability is too low", () => {
  it.each(provocations.flatMap(({ id, thin }) => (thin === undefined ? [] : [{ id, thin }])))(
    "$id",
    async ({ id, thin }) => {
      const check = await checkWith(id, thin);
      expect(check.verdict).toBe("thin");
      if (check.kind !== "known") throw new Error("a thin check has a value");
      expect(check.band).toBeDefined();
      expect(check.probability?.estimate).toBeGreaterThanOrEqual(0.5);
      expect(check.probability?.estimate).toBeLessThan(check.wanted);
    },
  );
});

describe("a check fails", () => {
  it.each(provocations.flatMap(({ id, fails }) => (fails === undefined ? [] : [{ id, fails }])))(
    "$id",
    async ({ id, fails }) => {
      const check = await checkWith(id, fails);
      expect(check.verdict).toBe("fails");
      expect(check.kind === "known" && check.margin).toBeLessThan(0);
    },
  );
});

describe("a time whose nominal value meets the limit fails once its percentile surely does not", () => {
  it.each([
    ["opening-time", "duty.open_within.time"],
    ["closing-time", "duty.close_within.time"],
  ])("%s", async (id, path) => {
    const check = await checkWith(id, {
      "drive.supply.open_circuit_voltage": "24 V +/- 3 V",
      [path]: "0.46 s",
    });
    if (check.kind !== "known") throw new Error("the valve opens and closes");
    expect(check.margin).toBeGreaterThan(0);
    expect(check.probability?.estimate).toBeGreaterThan(0.5);
    expect(check.probability?.high).toBeLessThan(check.wanted);
    expect(check.verdict).toBe("fails");
  });
});

describe("a check is not known without an input, has no value and says what it needs", () => {
  it.each(provocations)("$id without $needs", async ({ id, unknown, needs }) => {
    const answers = await answersTo({ edits: unknown });
    const check = checkNamed(answers, id);
    expect(check.verdict).toBe("not known");
    expect(check.kind === "unknown" && check.needs).toContain(needs);
    expect(check).not.toHaveProperty("value");
    const gaps = answers.flatMap((answer) => answer.gaps).filter(({ path }) => path === needs);
    expect(gaps.flatMap(({ blocks }) => blocks)).toContain(id);
  });
});
