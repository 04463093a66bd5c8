/**
 * What the torque of a train of one link stays under while the ball is broken away.
 *
 * The ball is let go as the torque reaches its breakaway F. From then on the two inertias swing on their spring; the
 * rotor cannot run into the ball faster than at its no-load speed w_0, and the drive pushes with its stall torque at
 * most, which the ball's share of the inertia passes on:
 *
 *   T <= F + B w_0 + (sqrt(k J_r) + c) w_0 + 2 T_stall J_ball / (J_rotor + J_ball),   J_r = J_rotor J_ball / (J_rotor + J_ball)
 *
 * @param train     of one link, rotor and ball
 * @param breakaway greatest torque that breaks the ball away, friction, dwell and fluid, at the stem, >= 0 [N m]
 * @returns         [N m]; infinite for a train of more links
 * Valid for        a ball that breaks away; one that does not winds the springs up further.
 * Source           derived in docs/theory/compliant.md; held against random trains in its test
 */
import type { Torque } from "../../quantity/index.js";
import type { CompliantTrain } from "./train.js";

export function startBound(train: CompliantTrain, breakaway: Torque): Torque {
  const [link, ...more] = train.links;
  const [rotor, ball] = train.bodies;
  if (link === undefined || rotor === undefined || ball === undefined || more.length > 0)
    return Number.POSITIVE_INFINITY as Torque;
  const { ratio, stiffness, damping } = link;
  const { torqueConstant, openCircuitVoltage, resistance, supplyResistance, currentLimit } = train;
  const ahead = rotor.inertia * ratio * ratio;
  const whole = ahead + ball.inertia;
  const noLoad = openCircuitVoltage / (torqueConstant * ratio);
  const current = Math.min(openCircuitVoltage / (resistance + supplyResistance), currentLimit);
  const stall = torqueConstant * current * ratio;
  const impedance = Math.sqrt((stiffness * ahead * ball.inertia) / whole);
  const swung = (impedance + damping + train.damping) * noLoad;
  return (breakaway + swung + (2 * stall * ball.inertia) / whole) as Torque;
}
