/**
 * Position profiles and the loops that follow them.
 *
 * Both profiles spend a third of the time each on speeding up, cruising and slowing down, so the peak
 * speed is 1.5 travel/time. The trapezoid keeps the acceleration constant in a third
 * (4.5 travel/time^2); the jerk-limited profile lets it rise and fall linearly (peak 9 travel/time^2).
 * Source: textbook [leonhard-2001]; the jerk-limited form derived in docs/theory/motion.md.
 */
import type { Angle, AngularAcceleration, Time } from "../../quantity/index.js";
import type { CurrentController } from "./order.js";
import type { RigidTrain } from "./train.js";

export type ProfileKind = "trapezoid" | "jerk-limited";

/** Where a profile wants the ball, along the stroke. */
export interface SetPoint {
  /** Travelled angle [rad]. */
  readonly angle: number;
  /** [rad/s]. */
  readonly speed: number;
  /** [rad/s2]. */
  readonly acceleration: number;
}

/**
 * Where a profile wants the ball at a time.
 * @param travel    angle of the whole move [rad];  @param duration  of the whole move, > 0 [s]
 * @param time      since its beginning; before it the ball is at the start, after it at the end [s]
 * @returns         travelled angle, speed and acceleration along the stroke
 */
export function profilePoint(kind: ProfileKind, travel: Angle, duration: Time, time: number): SetPoint {
  const x = time / duration;
  if (x <= 0) return { angle: 0, speed: 0, acceleration: 0 };
  if (x >= 1) return { angle: travel, speed: 0, acceleration: 0 };
  const peak = (1.5 * travel) / duration;
  if (x > 1 / 3 && x < 2 / 3)
    return { angle: travel * (0.25 + 1.5 * (x - 1 / 3)), speed: peak, acceleration: 0 };
  // Slowing down is speeding up, seen from the end.
  const speedingUp = thirdOf(kind, 3 * Math.min(x, 1 - x));
  const isSlowing = x > 0.5;
  const angle = travel * speedingUp.distance;
  const acceleration = ((3 * peak) / duration) * speedingUp.acceleration;
  return {
    angle: isSlowing ? travel - angle : angle,
    speed: peak * speedingUp.speed,
    acceleration: isSlowing ? -acceleration : acceleration,
  };
}

/** Shares of travel, peak speed and mean acceleration of the first third, z of it gone. */
function thirdOf(kind: ProfileKind, z: number): { distance: number; speed: number; acceleration: number } {
  if (kind === "trapezoid") return { distance: 0.25 * z * z, speed: z, acceleration: 1 };
  if (z < 0.5) return { distance: (z * z * z) / 3, speed: 2 * z * z, acceleration: 4 * z };
  const rest = 1 - z;
  return {
    distance: 0.5 * (z - 0.5) + (rest * rest * rest) / 3,
    speed: 1 - 2 * rest * rest,
    acceleration: 4 * rest,
  };
}

/**
 * Least time of a move from rest to rest with acceleration and braking up to alpha, 2 sqrt(travel/alpha):
 * no profile that asks for less can be followed.
 * @param travel > 0 [rad];  @param acceleration alpha > 0 [rad/s2];  @returns [s]
 * Source  bang-bang control, textbook [leonhard-2001]
 */
export function leastMoveTime(travel: Angle, acceleration: AngularAcceleration): Time {
  return (2 * Math.sqrt(travel / acceleration)) as Time;
}

/** Gains of the cascaded loops. */
export interface LoopGains {
  readonly sampleTime: Time;
  /** Commanded speed per position error [1/s]. */
  readonly positionGain: number;
  /** Closed bandwidth of the speed loop [1/s]. */
  readonly speedBandwidth: number;
}

export interface LoopSettings extends LoopGains {
  readonly kind: ProfileKind;
  readonly duration: Time;
}

/** The current loop is this much faster than the winding's own time constant. */
const currentLoopSpeedUp = 4;
/** The integral part of the speed loop corrects this much slower than its proportional part. */
const integralRatio = 4;

/**
 * Cascaded position and speed loops with feed-forward of speed and acceleration. With P the position
 * gain, b the speed bandwidth, T the sample time and m = I/k the current per acceleration,
 *
 *   e = w_wanted + P (theta_wanted - theta) - w
 *   q' = q + m b^2/4 T e
 *   i = m (alpha_wanted + b e) + q'
 *
 * The loops know the train's inertia but not its friction: that is what the integral q is for. It
 * stands still while the current asked for is more than the drive can give, unless that lessens it.
 *
 * @param train     whose inertia, torque constant and greatest current the loops know
 * @param duration  after which what is wanted has ended
 * @param wantedAt  angle from closed, speed and acceleration of the stem that are wanted at a time
 */
export function followingController(
  train: RigidTrain,
  { sampleTime, positionGain, speedBandwidth }: LoopGains,
  duration: Time,
  wantedAt: (time: number) => SetPoint,
): CurrentController {
  const perAcceleration = train.forward.inertia / train.torqueConstant;
  const greatest = Math.min(
    train.openCircuitVoltage / (train.resistance + train.supplyResistance),
    train.currentLimit,
  );
  let integral = 0;
  return {
    sampleTime,
    lag: (train.inductance / train.resistance / currentLoopSpeedUp) as Time,
    duration,
    current(time, angle, speed) {
      if (time === 0) integral = 0;
      const wanted = wantedAt(time);
      const speedError = wanted.speed + positionGain * (wanted.angle - angle) - speed;
      const proportional = perAcceleration * (wanted.acceleration + speedBandwidth * speedError);
      const grown =
        integral + ((perAcceleration * speedBandwidth ** 2) / integralRatio) * speedError * sampleTime;
      if (Math.abs(proportional + grown) <= greatest || Math.abs(grown) < Math.abs(integral))
        integral = grown;
      return proportional + integral;
    },
  };
}

/**
 * The loops along a profile from where the ball stands to the end of its stroke.
 * @param sense  of the stroke;  @param start  where the ball stands [rad]
 */
export function positionController(
  train: RigidTrain,
  sense: 1 | -1,
  start: Angle,
  settings: LoopSettings,
): CurrentController {
  const { kind, duration } = settings;
  const left = (sense > 0 ? train.travel - start : start) as Angle;
  return followingController(train, settings, duration, (time) => {
    const { angle, speed, acceleration } = profilePoint(kind, left, duration, time);
    return { angle: start + sense * angle, speed: sense * speed, acceleration: sense * acceleration };
  });
}
