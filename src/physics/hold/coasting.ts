/**
 * How far the ball runs on once the supply is lost in motion.
 *
 * The winding is open, so that no current brakes: with s the sense of motion and the notation of
 * physics/motion/train.ts
 *
 *   I_r w' = -(b N w + s D_r + c_r (s F(theta, w) + H(theta) + B w)),     s w' the lesser of both regimes
 *
 * integrated over the angle as (w^2/2)' = w' by the classical fourth-order Runge-Kutta method until the speed is
 * used up. A winding that is shorted brakes as well, and the ball stops sooner.
 */
import type { Angle, AngularSpeed } from "../../quantity/index.js";

/** The gears in one regime, counted at the motor. */
export interface CoastRegime {
  readonly loadShare: number;
  readonly inertia: number;
  readonly friction: number;
}

/** A train without current. */
export interface CoastingTrain {
  readonly forward: CoastRegime;
  readonly backward: CoastRegime;
  /** Motor speed over stem speed, N [-]. */
  readonly ratio: number;
  /** Speed-proportional losses of motor and stem [N m s/rad]. */
  readonly motorDamping: number;
  readonly damping: number;
  readonly travel: Angle;
  /** Running friction of the ball, F, and torque of the fluid towards closed, H, at an angle [N m]. */
  friction(angle: number): number;
  fluid(angle: number): number;
}

/** Steps over the whole travel. */
const steps = 240;

/**
 * Angle that the ball still travels, at most to the stop.
 * @param start  angle at which the supply is lost, from closed [rad]
 * @param speed  there; its sign is the sense, opening positive [rad/s]
 * @returns      >= 0 [rad]; the distance to the stop where it comes that far
 * Valid for     a rigid train in running friction: what Stribeck adds near rest only shortens the way
 * Source        work of the resisting torques [leonhard-2001]; docs/theory/hold.md
 */
export function coastAngle(train: CoastingTrain, start: Angle, speed: AngularSpeed): Angle {
  const sense = speed < 0 ? -1 : 1;
  const room = sense > 0 ? train.travel - start : start;
  const h = train.travel / steps;
  let energy = 0.5 * speed * speed;
  let gone = 0;
  while (energy > 0 && gone < room) {
    const rate = (at: number, e: number) =>
      slowing(train, start + sense * at, sense, Math.sqrt(2 * Math.max(e, 0)));
    const k1 = rate(gone, energy);
    const k2 = rate(gone + h / 2, energy - (h / 2) * k1);
    const k3 = rate(gone + h / 2, energy - (h / 2) * k2);
    const k4 = rate(gone + h, energy - h * k3);
    const used = (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
    if (used >= energy) return Math.min(gone + (h * energy) / used, room) as Angle;
    energy -= used;
    gone += h;
  }
  return Math.min(gone, room) as Angle;
}

/** Deceleration along the motion, -s w' [rad/s2]; negative where the fluid speeds the ball up. */
function slowing(train: CoastingTrain, angle: number, sense: 1 | -1, speed: number): number {
  const load = train.friction(angle) + sense * train.fluid(angle) + train.damping * speed;
  const drag = train.motorDamping * train.ratio * speed;
  const of = ({ loadShare, inertia, friction }: CoastRegime) =>
    (drag + friction + loadShare * load) / inertia;
  return Math.max(of(train.forward), of(train.backward));
}
