/** What resists the turning at one opening, contribution by contribution. */
import { referenceTemperatures, valueAt } from "../../dossier/index.js";
import { completeEllipticE } from "../../numerics/index.js";
import { collarFrictionRadius, ringLever } from "../../physics/seat/index.js";
import type { Steps } from "../steps.js";
import type { Workings } from "../workings.js";

/** Factor by which rest raises a contribution: its ratio, and the dwell; none in motion. */
export interface AtRest {
  readonly ratio: boolean;
  readonly dwell: boolean;
}

export const inRest: AtRest = { ratio: true, dwell: true };
export const moving: AtRest = { ratio: false, dwell: false };

/**
 * The contributions at one opening of the grid, each by its equation, and their sum.
 * @param used the torque that the program has for each contribution, by its id [N m]
 */
export function contributions(
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
    const fields = ["valve.packing.torque", "valve.packing.cold_ratio"] as const;
    coldValue(steps, of, "T_p0", "running torque of the packing", fields, packing.torque);
  } else if (packing !== "none") {
    const fields = ["valve.packing.friction", "valve.packing.cold_ratio"] as const;
    coldValue(steps, of, "mu_p", "friction coefficient of the packing", fields, packing.friction);
    steps.field("d_s", "valve.stem.diameter", "diameter of the stem");
    steps.field("h_p", "valve.packing.height", "height of the packing");
    steps.field("s_p", "valve.packing.radial_stress", "radial stress of the packing");
    steps.step("T_p0", "running torque of the packing", "torque", "mu_p * pi * d_s^2 * h_p * s_p / 2");
  }
  if (packing !== "none")
    steps.step("T_packing", "stem packing", "torque", `T_p0${raised("b_packing")}`, used("packing"));
  const collar = turning.thrustCollar;
  if (collar !== "none") {
    steps.field("d_s", "valve.stem.diameter", "diameter of the stem where it is sealed");
    const fields = ["valve.stem.collar_friction", "valve.stem.collar_cold_ratio"] as const;
    coldValue(steps, of, "mu_c", "friction coefficient of the collar", fields, collar.friction);
    half(steps, "r_o", "outer radius of the collar", "valve.stem.collar_outer_diameter", collar.outerRadius);
    half(steps, "r_i", "inner radius of the collar", "valve.stem.collar_inner_diameter", collar.innerRadius);
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
    const fields = ["valve.bearing.friction", "valve.bearing.cold_ratio"] as const;
    coldValue(steps, of, "mu_t", "friction coefficient of the trunnions", fields, journalFriction);
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

/** Half of a diameter. */
function half(steps: Steps, symbol: string, meaning: string, path: string, used: number): void {
  steps.field(`D_${symbol}`, path, `twice the ${meaning}`);
  steps.step(symbol, meaning, "length", `D_${symbol} / 2`, used);
}

/** A value that is declared warm, with its ratio in the cold: straight between both, at the temperature of the valve. */
function coldValue(
  steps: Steps,
  of: Workings,
  symbol: string,
  meaning: string,
  [path, ratio]: readonly [path: string, ratio: string],
  used: number,
): void {
  const { ambient_K, cold_K } = referenceTemperatures;
  steps.field("T_valve", `${of.place}.valve_temperature`, "temperature of the valve");
  const reference = (name: string, value: number) =>
    steps.has(name) || steps.given(name, "reference of cold ratios", "temperature", value, "of the program");
  reference("T_warm", ambient_K);
  reference("T_cold", cold_K);
  steps.field(`${symbol}_w`, path, `${meaning}, warm`);
  steps.field(`${symbol}_q`, ratio, "cold over warm");
  steps.step(
    symbol,
    `${meaning}, at the temperature of the valve`,
    valueAt(of.dossier, path)?.dimension ?? "ratio",
    `${symbol}_w * max(1 + (${symbol}_q - 1) * (T_warm - T_valve) / (T_warm - T_cold), 0)`,
    used,
  );
}

/** Friction, preload and lever of the ring seats. */
function seatLever(steps: Steps, of: Workings): void {
  const { turning } = of;
  const { ballRadius: R, seatContactRadius: r } = turning;
  half(steps, "R_b", "radius of the ball", "valve.ball_diameter", R);
  half(steps, "r", "radius of the circle on which a seat touches", "valve.seat_contact_diameter", r);
  const friction = ["valve.seat.friction", "valve.seat.friction_cold_ratio"] as const;
  coldValue(steps, of, "mu", "running friction of seat on ball", friction, turning.seatFriction);
  const preload = ["valve.seat.preload", "valve.seat.preload_cold_ratio"] as const;
  coldValue(steps, of, "F_0", "preload of each seat", preload, turning.seatPreload);
  steps.step("m_g", "parameter sin^2 g of the contact circle", "ratio", "(r / R_b)^2");
  const E = completeEllipticE(steps.at("m_g"));
  steps.given("E_g", "complete elliptic integral of the second kind, E(m = m_g)", "ratio", E, {
    words: "tabulated; m is the parameter, not the modulus",
    source: "abramowitz-stegun-1972, table 17.1",
  });
  steps.step("L", "lever of a ring seat", "length", "R_b / sqrt(1 - m_g) * 2 / pi * E_g", ringLever(R, r));
}
