/** What two measured torques at one opening and drop, one in each sense, say about their parts. */
import type { Torque } from "../../quantity/index.js";

/** Friction and flow torque at one opening. */
export interface DirectionSplit {
  /** Magnitude; opposes motion [N m]. */
  readonly friction: Torque;
  /** Positive towards closed [N m]. */
  readonly hydrodynamic: Torque;
}

/**
 * Splits the torque demand by direction: friction changes sign with the motion, the flow does not.
 *
 *   friction = (T_open + T_close)/2,   hydrodynamic = (T_open - T_close)/2
 *
 * @param opening  torque the drive supplied while opening [N m]
 * @param closing  torque the drive supplied while closing, at the same opening and drop [N m]
 * Valid for       equal friction in both senses, and the same drop: check the pressures.
 * Source          derived in docs/theory/seat.md, "Both senses".
 */
export function directionSplit(opening: Torque, closing: Torque): DirectionSplit {
  return {
    friction: ((opening + closing) / 2) as Torque,
    hydrodynamic: ((opening - closing) / 2) as Torque,
  };
}
