/**
 * The state of the compliant train in steady motion: all bodies at the speed of the rigid train, each spring bent
 * by what it passes on, its flank taken up. From here a stop or a jam can be followed without the way to it.
 *
 * A ball on a soft stem does not move as evenly. Where it sticks and slips, it is fastest as the spring has fallen
 * to the running friction, at
 *
 *   w_ball = w + sqrt(w^2 + (e / sqrt(k J))^2)
 *
 * e the excess of breakaway over running friction there, k the springs in series, J the ball's inertia.
 * Derived in docs/theory/compliant.md. Source: stick-slip of a mass drawn by a spring [armstrong-helouvry-1994].
 */
import type { Angle, AngularSpeed, Current, Time } from "../../quantity/index.js";
import { ChainEquations } from "./chain.js";
import type { ChainState } from "./run.js";
import { stemStiffness } from "./swing.js";
import type { CompliantTrain } from "./train.js";

export interface SteadyMotion {
  readonly sense: 1 | -1;
  readonly time: Time;
  readonly angle: Angle;
  /** Of the stem, in the sense of the motion, > 0. */
  readonly speed: AngularSpeed;
  readonly current: Current;
  /** Whether the driver holds its current limit. */
  readonly isLimiting: boolean;
  /** Whether the ball is taken at its fastest in stick and slip. */
  readonly isFastest: boolean;
}

/** Puts the train in motion. */
export function steadyState(train: CompliantTrain, motion: SteadyMotion): ChainState {
  const { sense, angle, speed, current } = motion;
  const equations = new ChainEquations(train, { tolerance: 1, torque: 1, motorSpeed: 1, current: 1 });
  const { ball, bodies } = equations;
  const y = new Float64Array(equations.size);
  const flank = new Int8Array(train.links.length);
  const sign = new Int8Array(train.links.length);
  // Inwards from the ball: what each link passes on is what is behind it, without acceleration.
  let torque =
    sense * equations.ballFriction(angle, fast) + equations.curve(2, angle) + sense * train.damping * speed;
  y[ball] = angle;
  let behind = sense * speed;
  for (let l = ball - 1; l >= 0; l--) {
    const link = train.links[l];
    const body = train.bodies[l];
    if (link === undefined || body === undefined) continue;
    const side = torque >= 0 ? 1 : -1;
    flank[l] = link.backlash > 0 ? side : 1;
    sign[l] = side;
    y[l] = ((y[l + 1] as number) + torque / link.stiffness + side * 0.5 * link.backlash) * link.ratio;
    y[bodies + l + 1] = behind;
    behind *= link.ratio;
    const drives = sense * side > 0;
    const mesh = drives ? 1 / (link.ratio * link.efficiency) : link.backEfficiency / link.ratio;
    torque = mesh * torque + sense * body.friction;
  }
  y[bodies] = behind;
  y[2 * bodies] = current;
  if (motion.isFastest) y[bodies + ball] = sense * fastestBall(train, equations.curve(1, angle), speed);
  return {
    time: motion.time,
    y,
    sense: new Int8Array(bodies).fill(sense),
    flank,
    sign,
    stopSide: 0,
    isBondBroken: true,
    driveSense: sense,
    isLimiting: motion.isLimiting,
    cause: { cause: "drive", since: Number.NEGATIVE_INFINITY },
  };
}

/** A speed at which friction has fallen to its running value [rad/s]. */
const fast = 1e6;

function fastestBall(train: CompliantTrain, excess: number, speed: number): number {
  const inertia = train.bodies[train.bodies.length - 1]?.inertia ?? 0;
  const jump = excess / Math.sqrt(stemStiffness(train) * inertia);
  return speed + Math.sqrt(speed * speed + jump * jump);
}
