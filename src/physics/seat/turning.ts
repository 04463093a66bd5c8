/**
 * Torque that turns the ball, as the sum of its named contributions.
 *
 * All torques are at the stem and counted as the drive feels them: positive resists the motion,
 * negative helps it. Friction resists in both senses; the flow resists opening and helps closing.
 */
import type { AngularSpeed, Torque } from "../../quantity/index.js";
import { requireAtLeastOne } from "../../quantity/index.js";
import { stribeckFactor } from "./stribeck.js";
import type { TermLoad, TurningInputs, TurningState, TurningTerm } from "./term.js";
import { turningTerms } from "./terms.js";

/** How the ball moves, or is about to. */
export interface TurningMotion {
  readonly sense: "opening" | "closing";
  /** `breakaway`: about to move from rest after the dwell; `running`: in motion. */
  readonly phase: "breakaway" | "running";
  /** Angular speed while running, >= 0; not used at breakaway [rad/s]. */
  readonly speed: AngularSpeed;
}

/** One contribution in the ledger. */
export interface TurningContribution {
  readonly term: TurningTerm;
  /** Positive resists the motion, negative helps it [N m]. */
  readonly torque: Torque;
}

/** The turning torque and what it is made of. */
export interface TurningTorque {
  /** Torque the drive must supply in the sense of motion; negative: the load drives [N m]. */
  readonly total: Torque;
  /** In the order of `turningTerms`, absent parts as zero. */
  readonly contributions: readonly TurningContribution[];
}

/** Torques over a grid of openings, filled by `turningTorqueOverAngles`. */
export interface TurningTorqueArrays {
  /** Running friction without viscous part, >= 0 [N m]. */
  readonly running: Float64Array;
  /** Friction to be broken from rest, with breakaway ratio but without dwell, >= 0 [N m]. */
  readonly breakaway: Float64Array;
  /** Torque of the flow, positive towards closed [N m]. */
  readonly hydrodynamic: Float64Array;
}

/**
 * Turning torque at one opening.
 *
 *   friction at rest     T ratio dwell       (ratio and dwell where the term has them)
 *   friction in motion   T (1 + (ratio - 1) exp(-(w/w_s)^delta))
 *
 * @param inputs  what the torque is made of, each at its temperature
 * @param state   opening, drop and body pressure
 * @param motion  sense, phase and speed
 * Refuses        values outside their domain, with the value and the bound.
 * Source         sum as in [awwa-m49] and [nasa-sp-8097]; each term names its own.
 */
export function turningTorque(
  inputs: TurningInputs,
  state: TurningState,
  motion: TurningMotion,
): TurningTorque {
  requireRatios(inputs);
  let total = 0;
  const contributions = turningTerms.map((term): TurningContribution => {
    const magnitude = termTorque(inputs, term.load(inputs), state, motion);
    const torque = (magnitude * restFactor(inputs, term, motion) * senseOf(term, motion)) as Torque;
    total += torque;
    return { term, torque };
  });
  return { total: total as Torque, contributions };
}

/**
 * Turning torque over a grid of openings for one sample of the inputs; allocates nothing per
 * opening. Sums the terms' factors once (about 1 us), then 4 ns per opening.
 *
 * @param inputs       what the torque is made of
 * @param drop         drop across the valve at each opening, of either sign [Pa]
 * @param bodyGauge    gauge pressure in the body at each opening [Pa]
 * @param coefficient  torque coefficient C_T at each opening, before `scale`, closing positive [-]
 * @param out          receives the torques; all arrays of the same length
 * Refuses             as `turningTorque`, before anything is written.
 */
export function turningTorqueOverAngles(
  inputs: TurningInputs,
  drop: Float64Array,
  bodyGauge: Float64Array,
  coefficient: Float64Array,
  out: TurningTorqueArrays,
): void {
  requireRatios(inputs);
  let constant = 0;
  let perDrop = 0;
  let perBodyPressure = 0;
  let excessConstant = 0;
  let excessPerDrop = 0;
  let excessPerBodyPressure = 0;
  let perCoefficientDrop = 0;
  for (const term of turningTerms) {
    const load = term.load(inputs);
    const excess = breakawayRatioOf(inputs, term) - 1;
    constant += load.constant;
    perDrop += load.perDrop;
    perBodyPressure += load.perBodyPressure;
    excessConstant += excess * load.constant;
    excessPerDrop += excess * load.perDrop;
    excessPerBodyPressure += excess * load.perBodyPressure;
    perCoefficientDrop += load.perCoefficientDrop;
  }
  const { running, breakaway, hydrodynamic } = out;
  for (let i = 0; i < drop.length; i++) {
    const dp = Math.abs(drop[i] ?? 0);
    const p = Math.max(0, bodyGauge[i] ?? 0);
    const friction = constant + perDrop * dp + perBodyPressure * p;
    running[i] = friction;
    breakaway[i] = friction + excessConstant + excessPerDrop * dp + excessPerBodyPressure * p;
    hydrodynamic[i] = perCoefficientDrop * (coefficient[i] ?? 0) * dp;
  }
}

/** Magnitude of a term in a state, running [N m]; signed only by its torque coefficient. */
function termTorque(
  inputs: TurningInputs,
  load: TermLoad,
  state: TurningState,
  motion: TurningMotion,
): number {
  const dp = Math.abs(state.valveDrop);
  const CT = inputs.flowOnBall === "none" ? 0 : inputs.flowOnBall.coefficient(state.angle);
  const speed = motion.phase === "breakaway" ? 0 : Math.abs(motion.speed);
  return (
    load.constant +
    load.perDrop * dp +
    load.perBodyPressure * Math.max(0, state.bodyGaugePressure) +
    load.perCoefficientDrop * CT * dp +
    load.perSpeed * speed
  );
}

/** Breakaway over running friction of a term, without dwell [-]. */
export function breakawayRatioOf(inputs: TurningInputs, { breakaway }: TurningTerm): number {
  return breakaway.ratio === "none" ? 1 : inputs.breakawayRatio[breakaway.ratio];
}

function restFactor(inputs: TurningInputs, term: TurningTerm, motion: TurningMotion): number {
  const ratio = breakawayRatioOf(inputs, term);
  if (motion.phase === "breakaway") return ratio * (term.breakaway.dwell ? inputs.dwellFactor : 1);
  // Running at speed zero is the limit of slow motion, where a sudden fall is already over.
  if (inputs.stribeck === "none") return 1;
  return stribeckFactor(inputs.stribeck, ratio, motion.speed);
}

function senseOf(term: TurningTerm, motion: TurningMotion): 1 | -1 {
  return term.character === "flow" && motion.sense === "closing" ? -1 : 1;
}

function requireRatios(inputs: TurningInputs): void {
  const { seat, packing, collar, bearing } = inputs.breakawayRatio;
  const why = "Breakaway is not below running friction.";
  requireAtLeastOne(seat, "breakaway ratio", why);
  requireAtLeastOne(packing, "breakaway ratio of the packing", why);
  requireAtLeastOne(collar, "breakaway ratio of the thrust collar", why);
  requireAtLeastOne(bearing, "breakaway ratio of the bearings", why);
  requireAtLeastOne(inputs.dwellFactor, "dwell factor", "Standing does not ease breakaway.");
}
