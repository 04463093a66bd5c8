/** Question 2: what resists, contribution by contribution, against what the drive gives. */
import { openings, type TorqueCurve, type WorstPoint } from "../../predict/index.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";
import { contributions, inRest, moving } from "./contributions.js";
import { driveTorque } from "./drive.js";

function curveOf(of: Workings): TorqueCurve {
  return present(of.given.prediction.nominal.torque, "turning torque").opening;
}

const breakaway: Maker = (steps, of, _, value) => {
  const { start } = curveOf(of);
  const used = (id: string) =>
    present(
      start.find((row) => row.id === id),
      id,
    ).torque_Nm;
  steps.part("What resists at the start of opening");
  const sum = contributions(steps, of, 0, inRest, used);
  steps.step("T", "breakaway torque from closed", "torque", sum, value);
  driveTorque(steps, of, 0, of.row("standstill-torque"));
  steps.step("margin_T", "margin at the start", "ratio", "T_av / T - 1", of.row("breakaway-margin"));
};

/** Opening of the grid at which running friction and flow together are greatest. */
function worstRunning(of: Workings): number {
  const { running, fluidTorque } = of.sample;
  let worst = 0;
  const at = (j: number) => (running[j] ?? 0) + (fluidTorque[j] ?? 0);
  for (let j = 1; j < openings; j++) if (at(j) > at(worst)) worst = j;
  return worst;
}

const running: Maker = (steps, of, _, value) => {
  const j = worstRunning(of);
  const { lines, angle_rad } = curveOf(of);
  const used = (id: string) => present(lines.find((row) => row.id === id)?.torque_Nm[j], id);
  steps.part("What resists in motion, where it is greatest");
  steps.given(
    "theta",
    "opening at which it is greatest",
    "angle",
    present(angle_rad[j], "angle"),
    "greatest over 61 openings",
  );
  const sum = contributions(steps, of, j, moving, used);
  steps.step("T", "running torque", "torque", sum, value);
  const drive = of.given.prediction.nominal.drive;
  const { wantedSpeed_rad_s: speed, atWantedSpeed_Nm: at } = drive ?? {};
  if (speed !== undefined && at !== undefined) driveTorque(steps, of, speed, at);
};

const ending: Maker = (steps, of, _, value) => {
  const { sample } = of;
  const last = openings - 1;
  const help = (j: number) => Math.max(-(sample.fluidTorque[j] ?? 0), 0);
  let worst = { j: last, friction: sample.breakaway[last] ?? 0, isStart: true };
  const total = (one: typeof worst) => one.friction + help(one.j);
  for (let j = 0; j < openings; j++) {
    const one = { j, friction: sample.running[j] ?? 0, isStart: false };
    if (total(one) > total(worst)) worst = one;
  }
  steps.part("What resists in closing, where it is greatest");
  steps.given(
    "theta",
    worst.isStart ? "opening: the start of closing" : "opening at which it is greatest",
    "angle",
    sample.angles[worst.j] ?? Number.NaN,
    "greatest over 61 openings and the start",
  );
  steps.given(
    "F",
    worst.isStart ? "friction at rest, ball wide open" : "running friction there",
    "torque",
    worst.friction,
    "sum of seats, packing, collar, bearings and ice, as in break-torque and run-torque",
  );
  steps.given(
    "H",
    "torque of the flow against closing; help is not counted",
    "torque",
    help(worst.j),
    "C_T dp d^3 as in run-torque",
  );
  steps.step("T", "torque to close", "torque", "F + H");
  driveTorque(steps, of, 0, of.row("standstill-torque"));
  steps.step("margin_T", "margin of closing", "ratio", "T_av / T - 1", value);
};

/** Friction and flow apart at the point that decides a margin. */
function demandLines(steps: Steps, of: Workings, worst: WorstPoint): void {
  const { sample } = of;
  const j = Math.round(worst.angle_rad / (sample.angles[1] ?? 1));
  const fluid = sample.fluidTorque[j] ?? 0;
  const flow = Math.max(worst.sense === "opening" ? fluid : -fluid, 0);
  const state = worst.speed_rad_s === 0 ? "at rest" : "in motion";
  steps.part(
    `What resists at the worst point: ${worst.sense}, ${worst.speed_rad_s === 0 ? "at the start" : "in motion"}`,
  );
  steps.given(
    "theta",
    "opening at which the margin is least",
    "angle",
    worst.angle_rad,
    "least of both senses, of the start and of 61 openings in motion",
  );
  steps.given(
    "F",
    `friction ${state}, ice included`,
    "torque",
    worst.demand_Nm - flow,
    "sum of seats, packing, collar, bearings and ice, as in break-torque and run-torque",
  );
  steps.given(
    "H",
    "torque of the flow against the motion; help is not counted",
    "torque",
    flow,
    "C_T dp d^3 as in run-torque",
  );
}

const torqueMargin: Maker = (steps, of, _, value) => {
  const worst = present(of.given.prediction.nominal.drive?.worstPoint, "worst point");
  const { rules } = of.plan;
  demandLines(steps, of, worst);
  steps.step("T_v", "variable torque that resists", "torque", "F + H", worst.demand_Nm);
  driveTorque(steps, of, worst.speed_rad_s, worst.available_Nm);
  steps.part("The margin");
  steps.given("FS_v", "factor on variable torques", "ratio", rules.nasa.variable, {
    words: `factor of ${rules.nasa.phase}, from memory`,
    source: "nasa-std-5017a",
  });
  steps.step("TM", "torque margin", "ratio", "max(T_av, 0) / (FS_v * T_v) - 1", value);
};

const motorisation: Maker = (steps, of, _, value) => {
  const worst = present(of.given.prediction.nominal.drive?.worstMotorisation, "worst point");
  const { factors } = of.plan.rules.ecss;
  demandLines(steps, of, worst);
  driveTorque(steps, of, worst.speed_rad_s, worst.available_Nm);
  steps.part("The margin");
  steps.field("T_ice", "valve.ice_torque", "ice, declared");
  steps.step("H_D", "adhesion: the ice, at most the friction", "torque", "min(T_ice, F)");
  steps.step("F_R", "friction without it", "torque", "F - H_D");
  steps.step("H_M", "friction of the motor, at the stem", "torque", "T_f / c");
  const factor = (symbol: string, what: string, size: number) =>
    steps.given(symbol, `factor on ${what}`, "ratio", size, {
      words: "factors from memory",
      source: "ecss-e-st-33-01c, clause 4.7.5.3 and table 4-2",
    });
  factor("f_M", "magnetic losses", factors.magneticLosses);
  factor("f_R", "friction", factors.friction);
  factor("f_A", "other resistance", factors.other);
  factor("f_D", "adhesion", factors.adhesion);
  factor("f", "their sum", factors.overall);
  steps.step(
    "T_min",
    "least torque of the actuator",
    "torque",
    "f * (f_M * H_M + f_R * F_R + f_A * H + f_D * H_D)",
  );
  steps.step("margin_M", "motorisation margin", "ratio", "max(T_av + H_M, 0) / T_min - 1", value);
};

const ice: Maker = (steps) => {
  steps.field("T_ice", "valve.ice_torque", "ice or stiff grease, declared; 0 excludes it");
};

export const turningMakers: Readonly<Record<string, Maker>> = {
  "break-torque": breakaway,
  "run-torque": running,
  "end-torque": ending,
  "ice-torque": ice,
  "torque-margin": torqueMargin,
  motorisation,
};
