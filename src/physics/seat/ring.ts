/**
 * Friction of a ball turning on a ring seat, about the stem axis.
 *
 * The seat touches the ball along a circle of radius r in a plane normal to the pipe; r/R = sin g.
 * The axial load F needs the normal load F/cos g round the ring. Friction at ring position phi acts
 * at the distance R sqrt(1 - sin^2 g sin^2 phi) from the stem axis; its mean is an elliptic
 * integral (docs/theory/seat.md, "Ring seat").
 */
import { refuse } from "../../fault/index.js";
import { completeEllipticE } from "../../numerics/index.js";
import {
  type AngularSpeed,
  type Force,
  formatQuantity,
  type Length,
  requireNotNegative,
  requirePositive,
  type Speed,
  type Torque,
} from "../../quantity/index.js";

/**
 * Friction torque of a ball on one ring seat.
 *
 *   T = mu (F / cos g) R (2/pi) E(sin^2 g),   sin g = r / R
 *
 * @param mu  friction coefficient seat on ball at seat temperature, >= 0 [-]
 * @param F   axial force ball on seat, >= 0 [N]
 * @param R   ball radius, > 0 [m]
 * @param r   radius of the contact circle, 0 < r < R [m]
 * @returns   magnitude; opposes motion [N m]
 * Refuses    values outside their domain.
 * Valid for  line contact, normal force even round the ring.
 * Source     derived in docs/theory/seat.md, "Ring seat".
 */
export function ringSeatTorque(mu: number, F: Force, R: Length, r: Length): Torque {
  requireNotNegative(mu, "seat friction coefficient", "ratio", "Friction opposes motion.");
  requireNotNegative(F, "seat load", "force", "A seat pushes and does not pull.");
  return (mu * F * ringLever(R, r)) as Torque;
}

/**
 * Friction torque of a ball on one ring seat as handbooks have it.
 *
 *   T = mu F R (1 + cos g) / (2 cos g)
 *
 * Lies below the exact form by 0.13 % at r/R = 0.5, 0.7 % at 0.7, 3.8 % at 0.9; kept to compare with.
 * Arguments as `ringSeatTorque`.
 * Source [lyons-1982], from memory.
 */
export function handbookSeatTorque(mu: number, F: Force, R: Length, r: Length): Torque {
  requireNotNegative(mu, "seat friction coefficient", "ratio", "Friction opposes motion.");
  requireNotNegative(F, "seat load", "force", "A seat pushes and does not pull.");
  const cosine = Math.sqrt(1 - contactParameter(R, r));
  return ((mu * F * R * (1 + cosine)) / (2 * cosine)) as Torque;
}

/**
 * Lever of a ring seat: friction torque per friction coefficient and axial force,
 * (R / cos g)(2/pi) E(sin^2 g).
 *
 * @param R  ball radius [m]
 * @param r  radius of the contact circle, 0 < r < R [m]
 * @returns  lever, at least R [m]
 * Source    derived in docs/theory/seat.md, "Ring seat".
 */
export function ringLever(R: Length, r: Length): Length {
  // E takes the parameter m = sin^2 g, not the modulus sin g; books differ.
  const m = contactParameter(R, r);
  return ((R / Math.sqrt(1 - m)) * (2 / Math.PI) * completeEllipticE(m)) as Length;
}

/**
 * Angular speed at which the mean sliding speed on the ring has a given value,
 * w = v / (R (2/pi) E(sin^2 g)).
 *
 * @param v  mean sliding speed [m/s]
 * @param R  ball radius [m]
 * @param r  radius of the contact circle, 0 < r < R [m]
 * @returns  angular speed of the ball [rad/s]
 * Source    derived in docs/theory/seat.md, "Ring seat".
 */
export function angularSpeedOfSliding(v: Speed, R: Length, r: Length): AngularSpeed {
  const m = contactParameter(R, r);
  return (v / (R * (2 / Math.PI) * completeEllipticE(m))) as AngularSpeed;
}

/** m = sin^2 g = (r/R)^2, after refusing a contact circle that is not on the ball. */
function contactParameter(R: Length, r: Length): number {
  requirePositive(R, "ball radius", "length", "It is a length.");
  requirePositive(r, "seat contact radius", "length", "It is a length.");
  if (!(r < R)) {
    refuse(
      "geometry-contradicts",
      `seat contact radius ${formatQuantity(r, "length")} is not below the ball radius ${formatQuantity(R, "length")}`,
      "The contact circle lies on the ball, short of its equator.",
      "Check both; the contact radius is half of the mean seat contact diameter.",
    );
  }
  return (r / R) ** 2;
}
