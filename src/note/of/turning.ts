/** Question 2: what resists, contribution by contribution, against what the drive gives. */
import { collarFrictionRadius, ringLever } from "../../physics/seat/index.js";
import { openings, type TorqueCurve, type WorstPoint } from "../../predict/index.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";
import { driveTorque } from "./drive.js";

/** Factor by which rest raises a contribution: its ratio, and the dwell; none in motion. */
interface AtRest {
  readonly ratio: boolean;
  readonly dwell: boolean;
}

const inRest: AtRest = { ratio: true, dwell: true };
const moving: AtRest = { ratio: false, dwell: false };

/**
 * The contributions at one opening of the grid, each by its equation, and their sum.
 * @param used the torque that the program has for each contribution, by its id [N m]
 */
function contributions(
  steps: Steps,
  of: Workings,
  j: number,
  rest: AtRest,
  used: (id: string) => number,
): string {
  const { sample, turning } = of;
  steps.given(
    "dp",
    "drop across the valve",
    "pressure difference",
    Math.abs(sample.drop[j] ?? 0),
    "installed flow at that opening; shut, the whole difference",
  );
  steps.given(
    "p_body",
    "pressure in the body over that outside, if above it",
    "pressure difference",
    Math.max(sample.bodyGaugeAt(j), 0),
    "pressure at the inlet of the valve less duty.ambient_pressure",
  );
  if (rest.ratio) {
    const { seat, packing, collar, bearing } = turning.breakawayRatio;
    const ratio = (symbol: string, what: string, value: number) =>
      steps.given(symbol, `breakaway over running friction, ${what}`, "ratio", value, {
        path: "valve.seat.breakaway_ratio",
        words: "as declared for the seats, or for the part by its own field",
      });
    ratio("b_seat", "seats", seat);
    ratio("b_packing", "packing", packing);
    ratio("b_collar", "collar", collar);
    if (turning.support.kind === "trunnion") ratio("b_bearing", "trunnions", bearing);
  }
  if (rest.dwell)
    steps.given("d_w", "growth of breakaway by the dwell", "ratio", turning.dwellFactor, {
      path: "valve.seat.dwell_ratio",
      words: "as declared, or from the dwell of the case",
    });
  const raised = (ratio: string) => `${rest.ratio ? ` * ${ratio}` : ""}${rest.dwell ? " * d_w" : ""}`;
  seatLever(steps, of);
  const two = turning.support.kind === "floating" ? 1 + turning.support.preloadKept : 2;
  steps.given("z", "seats that the preload presses", "ratio", two, "both, while the ball moves freely");
  steps.step(
    "T_preload",
    "seats, preload",
    "torque",
    `mu * z * F_0 * L${raised("b_seat")}`,
    used("seat-preload"),
  );
  if (turning.support.kind === "floating") {
    steps.step("A_seat", "area on which the drop presses the ball on a seat", "area", "pi * r^2");
  } else {
    steps.given("r_seal", "radius of the seal of the seat ring", "length", turning.support.sealRadius, {
      path: "valve.seat.seal_diameter",
      words: "half of it",
    });
    steps.given("z_p", "seats that pressure presses", "ratio", turning.support.pressurisedSeats, {
      path: "valve.seat.pressure_effect",
      words: "as declared",
    });
    steps.step(
      "A_seat",
      "area on which the drop presses seats on the ball",
      "area",
      "z_p * pi * (r_seal^2 - r^2)",
    );
  }
  steps.step(
    "T_pressure",
    "seats, pressure",
    "torque",
    `mu * A_seat * dp * L${raised("b_seat")}`,
    used("seat-pressure"),
  );
  const { packing } = turning;
  if (packing !== "none" && packing.kind === "measured") {
    steps.given("T_p0", "running torque of the packing at its temperature", "torque", packing.torque, {
      path: "valve.packing.torque",
      words: "as declared, by valve.packing.cold_ratio at the temperature of the valve",
    });
  } else if (packing !== "none") {
    steps.given("mu_p", "friction coefficient of the packing at its temperature", "ratio", packing.friction, {
      path: "valve.packing.friction",
      words: "by valve.packing.cold_ratio",
    });
    steps.field("d_s", "valve.stem.diameter", "diameter of the stem");
    steps.field("h_p", "valve.packing.height", "height of the packing");
    steps.given("s_p", "radial stress of the packing", "stress", packing.radialStress, {
      path: "valve.packing.radial_stress",
      words: "as declared, or its default",
    });
    steps.step("T_p0", "running torque of the packing", "torque", "mu_p * pi * d_s^2 * h_p * s_p / 2");
  }
  if (packing !== "none")
    steps.step("T_packing", "stem packing", "torque", `T_p0${raised("b_packing")}`, used("packing"));
  const collar = turning.thrustCollar;
  if (collar !== "none") {
    steps.field("d_s", "valve.stem.diameter", "diameter of the stem where it is sealed");
    steps.given("mu_c", "friction coefficient of the collar at its temperature", "ratio", collar.friction, {
      path: "valve.stem.collar_friction",
      words: "by valve.stem.collar_cold_ratio",
    });
    steps.given("r_o", "outer radius of the collar", "length", collar.outerRadius, {
      path: "valve.stem.collar_outer_diameter",
      words: "half of it",
    });
    steps.given("r_i", "inner radius of the collar", "length", collar.innerRadius, {
      path: "valve.stem.collar_inner_diameter",
      words: "half of it",
    });
    steps.step(
      "r_f",
      "radius at which its friction acts, new",
      "length",
      "2 / 3 * (r_o^3 - r_i^3) / (r_o^2 - r_i^2)",
      collarFrictionRadius(collar),
    );
    steps.step(
      "T_thrust",
      "stem thrust collar",
      "torque",
      `mu_c * pi / 4 * d_s^2 * p_body * r_f${raised("b_collar")}`,
      used("stem-thrust"),
    );
  }
  if (turning.support.kind === "trunnion") {
    const { journalFriction, journalDiameter } = turning.support;
    steps.given(
      "mu_t",
      "friction coefficient of the trunnions at their temperature",
      "ratio",
      journalFriction,
      { path: "valve.bearing.friction", words: "by valve.bearing.cold_ratio" },
    );
    steps.given("d_t", "diameter of the trunnions", "length", journalDiameter, {
      path: "valve.bearing.diameter",
      words: "as declared",
    });
    steps.step(
      "T_trunnion",
      "trunnion bearings",
      "torque",
      `mu_t * pi * r_seal^2 * dp * d_t / 2${raised("b_bearing")}`,
      used("trunnion"),
    );
  }
  steps.field("T_ice", "valve.ice_torque", "ice or stiff grease, declared");
  const terms = ["T_preload", "T_pressure", "T_packing", "T_thrust", "T_trunnion", "T_ice"].filter((one) =>
    steps.has(one),
  );
  const flow = turning.flowOnBall;
  if (flow !== "none") {
    const CT = flow.coefficient((sample.angles[j] ?? 0) as Parameters<typeof flow.coefficient>[0]);
    steps.given("C_T", "torque coefficient of the flow at that opening, closing positive", "ratio", CT, {
      path: "valve.hydrodynamic.curve",
      words: "straight between the rows of its table",
    });
    steps.given("s_h", "factor on that curve", "ratio", flow.scale, {
      path: "valve.hydrodynamic.scale",
      words: "as declared, or its default",
    });
    steps.field("d", "valve.bore", "bore");
    steps.step(
      "T_flow",
      "flow on the ball, against opening",
      "torque",
      "s_h * C_T * dp * d^3",
      used("hydrodynamic"),
    );
    return `${terms.join(" + ")} + T_flow`;
  }
  return terms.join(" + ");
}

/** Friction, preload and lever of the ring seats. */
function seatLever(steps: Steps, of: Workings): void {
  const { turning } = of;
  const { ballRadius: R, seatContactRadius: r } = turning;
  steps.given("R_b", "radius of the ball", "length", R, { path: "valve.ball_diameter", words: "half of it" });
  steps.given("r", "radius of the circle on which a seat touches", "length", r, {
    path: "valve.seat_contact_diameter",
    words: "half of it",
  });
  steps.given("mu", "running friction of seat on ball at its temperature", "ratio", turning.seatFriction, {
    path: "valve.seat.friction",
    words: "by valve.seat.friction_cold_ratio at the temperature of the valve",
  });
  steps.given("F_0", "preload of each seat at its temperature", "force", turning.seatPreload, {
    path: "valve.seat.preload",
    words: "by valve.seat.preload_cold_ratio at the temperature of the valve",
  });
  steps.step("m_g", "parameter sin^2 g of the contact circle", "ratio", "(r / R_b)^2");
  const E = (ringLever(R, r) * Math.sqrt(1 - (r / R) ** 2) * Math.PI) / (2 * R);
  steps.given("E_g", "complete elliptic integral of the second kind, E(m = m_g)", "ratio", E, {
    words: "tabulated; m is the parameter, not the modulus",
    source: "abramowitz-stegun-1972, table 17.1",
  });
  steps.step("L", "lever of a ring seat", "length", "R_b / sqrt(1 - m_g) * 2 / pi * E_g", ringLever(R, r));
}

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
