/** Fall of friction from breakaway to running as motion begins. */
import type { AngularDamping, AngularSpeed, Torque } from "../../quantity/index.js";
import { requireAtLeastOne, requireNotNegative, requirePositive } from "../../quantity/index.js";
import type { StribeckFall } from "./term.js";

/**
 * Friction over running friction at a speed, 1 + (ratio - 1) exp(-(|w|/w_s)^delta).
 *
 * @param fall   speed and exponent of the fall; "none": breakaway holds at rest only
 * @param ratio  breakaway over running friction, >= 1 [-]
 * @param w      angular speed, of either sign [rad/s]
 * @returns      factor, from `ratio` at rest to 1 [-]
 * Source        [bo-pavelescu-1982], [armstrong-helouvry-1994], from memory.
 */
export function stribeckFactor(fall: StribeckFall | "none", ratio: number, w: AngularSpeed): number {
  if (fall === "none") return w === 0 ? ratio : 1;
  requirePositive(fall.speed, "Stribeck speed", "angular speed", "Friction falls over it.");
  requirePositive(fall.exponent, "Stribeck exponent", "ratio", "1 or 2 in use.");
  return 1 + (ratio - 1) * Math.exp(-((Math.abs(w) / fall.speed) ** fall.exponent));
}

/**
 * Friction torque at a speed.
 *
 *   T = T_run (1 + (ratio - 1) exp(-(|w|/w_s)^delta)) + b |w|
 *
 * @param running  running friction torque, >= 0 [N m]
 * @param fall     speed and exponent of the fall
 * @param ratio    breakaway over running friction, >= 1 [-]
 * @param damping  viscous damping b, >= 0 [N m s/rad]
 * @param w        angular speed, of either sign [rad/s]
 * @returns        magnitude; opposes motion [N m]
 * Source          [armstrong-helouvry-1994], from memory.
 */
export function frictionAtSpeed(
  running: Torque,
  fall: StribeckFall | "none",
  ratio: number,
  damping: AngularDamping,
  w: AngularSpeed,
): Torque {
  requireNotNegative(running, "running friction torque", "torque", "Friction opposes motion.");
  requireAtLeastOne(ratio, "breakaway ratio", "Breakaway is not below running friction.");
  requireNotNegative(damping, "viscous damping", "angular damping", "Viscous torque opposes motion.");
  return (running * stribeckFactor(fall, ratio, w) + damping * Math.abs(w)) as Torque;
}
