/**
 * Greatest torque at a stop by the energy method: the train turns into one spring while the drive still pushes,
 *
 *   J w^2 / 2 + T x = k x^2 / 2,   T_peak = k x = T + sqrt(T^2 + k J w^2)
 *
 * @param torque     of the drive less friction, at the spring, >= 0 [N m];  @param stiffness  k > 0 [N m/rad]
 * @param inertia    of everything that is stopped, at the spring, >= 0 [kg m2];  @param speed  w [rad/s]
 * @returns          [N m]
 * Valid for         one inertia, one spring without mass and damping, backlash taken up. The compliant train has this
 *                   as its limit (test/physics/compliant/closedForms.test.ts).
 * Source            energy method of impact [budynas-nisbett-2011, sec. 4-17]; docs/theory/compliant.md
 */
import type { AngularSpeed, AngularStiffness, Inertia, Torque } from "../../quantity/index.js";

export function energyPeak(
  torque: Torque,
  stiffness: AngularStiffness,
  inertia: Inertia,
  speed: AngularSpeed,
): Torque {
  return (torque + Math.sqrt(torque * torque + stiffness * inertia * speed * speed)) as Torque;
}
