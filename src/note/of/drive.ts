/** What the drive gives at the stem, step by step; questions 2 and 3 use it. */
import { zeroCelsius } from "../../quantity/index.js";
import type { Steps } from "../steps.js";
import type { Workings } from "../workings.js";

/** Winding resistance, torque constant, gears and torque at a speed of the stem, in the regime of that speed. */
export function driveTorque(steps: Steps, of: Workings, speed: number, used: number): void {
  const { train } = of;
  const isStill = speed === 0;
  steps.part("What the drive gives");
  motorLines(steps, of);
  gearLines(steps, of, isStill);
  if (isStill) {
    steps.step("i_V", "current that the voltage allows at standstill", "current", "V / R");
  } else {
    steps.given(
      "w",
      "speed of the stem that is asked for",
      "angular speed",
      speed,
      "angle of the limit's definition over its time less the dead time",
    );
    steps.step("w_m", "speed of the motor", "angular speed", "N * w");
    steps.step("i_V", "current that the voltage leaves at that speed", "current", "(V - k * w_m) / R");
  }
  const isLimited = Number.isFinite(train.currentLimit);
  if (isLimited) steps.field("i_lim", "drive.driver.current_limit", "current limit of the driver");
  steps.step("i", "current", "current", isLimited ? "min(i_V, i_lim)" : "i_V");
  const damping = isStill ? "" : " - b * w_m";
  if (!isStill)
    steps.given("b", "damping of the motor", { unit: "N m s/rad" }, train.motorDamping, {
      path: "drive.motor.damping",
      words: "as declared, or its default",
    });
  steps.step(
    "T_motor",
    "torque of the motor less friction of motor and stages",
    "torque",
    `k * i - D${damping}`,
  );
  steps.step("T_av", "torque at the stem", "torque", "T_motor / c", used);
}

/** Voltage, resistance and torque constant at the temperature of the case. */
export function motorLines(steps: Steps, of: Workings): void {
  const { train } = of;
  const path =
    of.place !== "duty" &&
    "open_circuit_voltage" in of.conditions &&
    of.conditions.open_circuit_voltage !== undefined
      ? `${of.place}.open_circuit_voltage`
      : "drive.supply.open_circuit_voltage";
  steps.field("V", path, "open-circuit voltage of the supply");
  steps.field("R_20", "drive.motor.resistance", "resistance of the winding at 20 degC");
  steps.field("T_w", `${of.place}.motor_temperature`, "temperature of the motor");
  steps.given("T_ref", "temperature of winding data, 20 degC", "temperature", zeroCelsius.value + 20, {
    words: "reference of the resistance",
    source: "iec-60028",
  });
  steps.given("a_cu", "growth of copper's resistance", { unit: "1/K" }, 0.003_93, {
    words: "at 20 degC",
    source: "iec-60028",
  });
  steps.step(
    "R_w",
    "resistance of the winding",
    "resistance",
    "R_20 * (1 + a_cu * (T_w - T_ref))",
    train.resistance,
  );
  steps.field("R_bat", "drive.supply.resistance", "resistance of the battery");
  steps.field("R_cable", "drive.supply.cable_resistance", "resistance of the cable");
  steps.step(
    "R",
    "resistance of winding, battery and cable",
    "resistance",
    "R_w + R_bat + R_cable",
    train.resistance + train.supplyResistance,
  );
  steps.field("k_20", "drive.motor.torque_constant", "torque constant at 20 degC");
  steps.field("drift", "drive.motor.torque_constant_drift", "its change for each kelvin");
  steps.step(
    "k",
    "torque constant",
    { unit: "N m/A" },
    "k_20 * (1 + drift * (T_w - T_ref))",
    train.torqueConstant,
  );
}

/** Ratio, share and friction of the gears, counted at the motor. */
export function gearLines(steps: Steps, of: Workings, isStill: boolean): void {
  const { train, sample } = of;
  const gears = isStill ? train.starting : train.forward;
  const stages = sample.stages();
  stages.forEach((stage, j) => {
    const n = j + 1;
    const path = `drive.stages[${j}]`;
    steps.field(`n_${n}`, `${path}.ratio`, `ratio of stage ${n}`);
    const eta = isStill ? stage.startingEfficiency : stage.efficiency;
    steps.given(`eta_${n}`, `efficiency of stage ${n}${isStill ? " from rest" : ""}`, "ratio", eta, {
      path: `${path}.${isStill && of.valve.drive?.stages?.[j]?.starting_efficiency !== undefined ? "starting_efficiency" : "efficiency"}`,
      words: "as declared",
    });
    steps.given(
      `T_${n}`,
      `torque that turns stage ${n} unloaded, at its input and temperature`,
      "torque",
      stage.noLoadTorque,
      {
        path: `${path}.no_load_torque`,
        words: "as declared, times its growth in the cold at the gearbox's temperature",
      },
    );
  });
  const all = stages.map((_, j) => j + 1);
  steps.step(
    "N",
    "ratio of all stages",
    "ratio",
    all.length === 0 ? "1" : all.map((n) => `n_${n}`).join(" * "),
    train.ratio,
  );
  steps.step(
    "c",
    "torque at the motor for each newton metre at the stem",
    "ratio",
    all.length === 0 ? "1" : `1 / (${all.map((n) => `n_${n} * eta_${n}`).join(" * ")})`,
    gears.loadShare,
  );
  steps.field("T_f", "drive.motor.friction_torque", "friction of the motor");
  const shares = all.map((n) => {
    const before = all.filter((m) => m < n).map((m) => `n_${m} * eta_${m}`);
    return before.length === 0 ? `T_${n}` : `T_${n} / (${before.join(" * ")})`;
  });
  steps.step(
    "D",
    "friction of motor and stages, at the motor",
    "torque",
    ["T_f", ...shares].join(" + "),
    gears.friction,
  );
}
