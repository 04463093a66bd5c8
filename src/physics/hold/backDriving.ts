/**
 * Whether the gears hold a part opening without power.
 *
 * From rest, the fluid torque H turns the ball if what is left of it after the ball's own friction at rest
 * reaches the motor as more than what motor and gears resist with,
 *
 *   c_b (|H| - F_rest) > D_b      or      |H| > F_rest + D_b / c_b
 *
 * c_b and D_b are the share and the friction of the gears driven backward (physics/drive/gears.ts). A stage
 * that locks itself has c_b = 0, and then no load turns it.
 */
import type { Torque } from "../../quantity/index.js";

/** The gears driven from the stem, counted at the motor. */
export interface BackwardGears {
  /** Motor torque per torque at the stem, c_b >= 0 [-]. */
  readonly loadShare: number;
  /** Speed-independent friction of motor and gears, D_b >= 0 [N m]. */
  readonly friction: Torque;
}

/**
 * Torque at the stem below which the gears alone do not turn, D_b / c_b.
 * @returns infinite for a train that locks itself [N m]
 * Valid for a train at rest and without vibration, which can walk a locked stage
 * Source    statics of gears in series [leonhard-2001]; docs/theory/hold.md
 */
export function backDriveTorque({ loadShare, friction }: BackwardGears): Torque {
  return (loadShare > 0 ? friction / loadShare : Number.POSITIVE_INFINITY) as Torque;
}

/**
 * What turns the ball over what holds it, |H| / (F_rest + D_b / c_b).
 * @param fluid   torque of the fluid [N m];  @param friction  of the ball at rest, >= 0 [N m]
 * @param gears   see `backDriveTorque` [N m]
 * @returns       below 1 it holds; 0 without fluid torque [-]
 */
export function turningShare(fluid: number, friction: number, gears: number): number {
  return fluid === 0 ? 0 : Math.abs(fluid) / (friction + gears);
}
