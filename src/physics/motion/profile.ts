/**
 * Position profiles and the loops that follow them.
 *
 * Both profiles spend a third of the time each on speeding up, cruising and slowing down, so the peak
 * speed is 1.5 travel/time. The trapezoid keeps the acceleration constant in a third
 * (4.5 travel/time^2); the jerk-limited profile lets it rise and fall linearly (peak 9 travel/time^2).
 * Source: textbook [leonhard-2001]; the jerk-limited form derived in docs/theory/motion.md.
 */
import type { Angle, Time } from "../../quantity/index.js";
import type { CurrentController } from "./order.js";
import type { RigidTrain } from "./train.js";

export type ProfileKind = "trapezoid" | "jerk-limited";

/** Share of travel, of peak speed and of peak-speed-per-third acceleration at a share of the duration. */
function shape(kind: ProfileKind, x: number): { distance: number; speed: number; acceleration: number } {
  if (x <= 0) return { distance: 0, speed: 0, acceleration: 0 };
  if (x >= 1) return { distance: 1, speed: 0, acceleration: 0 };
  if (x > 2 / 3) {
    const mirrored = shape(kind, 1 - x);
    return { distance: 1 - mirrored.distance, speed: mirrored.speed, acceleration: -mirrored.acceleration };
  }
  if (x > 1 / 3) return { distance: 0.25 + 1.5 * (x - 1 / 3), speed: 1, acceleration: 0 };
  const z = 3 * x;
  if (kind === "trapezoid") return { distance: 0.25 * z * z, speed: z, acceleration: 1 };
  if (z < 0.5) return { distance: (z * z * z) / 3, speed: 2 * z * z, acceleration: 4 * z };
  const rest = 1 - z;
  return {
    distance: 0.5 * (z - 0.5) + (rest * rest * rest) / 3,
    speed: 1 - 2 * rest * rest,
    acceleration: 4 * rest,
  };
}

export interface SetPoint {
  /** Travelled angle [rad], speed [rad/s] and acceleration [rad/s2] along the stroke. */
  readonly angle: number;
  readonly speed: number;
  readonly acceleration: number;
}

/** Where a profile wants the ball at a time, along the stroke. */
export function profilePoint(kind: ProfileKind, travel: Angle, duration: Time, time: number): SetPoint {
  const s = shape(kind, time / duration);
  const peak = (1.5 * travel) / duration;
  return {
    angle: travel * s.distance,
    speed: peak * s.speed,
    acceleration: ((3 * peak) / duration) * s.acceleration,
  };
}

/**
 * Least time of a move from rest to rest with acceleration and braking up to alpha, 2 sqrt(travel/alpha):
 * no profile that asks for less can be followed. Source: bang-bang control, textbook [leonhard-2001].
 */
export function leastMoveTime(travel: Angle, acceleration: number): Time {
  return (2 * Math.sqrt(travel / acceleration)) as Time;
}

export interface LoopSettings {
  readonly kind: ProfileKind;
  readonly duration: Time;
  readonly sampleTime: Time;
  /** Commanded speed per position error [1/s]. */
  readonly positionGain: number;
  /** Closed bandwidth of the speed loop [1/s]. */
  readonly speedBandwidth: number;
}

/** The current loop is this much faster than the winding's own time constant. */
const currentLoopSpeedUp = 4;
/** The integral part of the speed loop corrects this much slower than its proportional part. */
const integralRatio = 4;

/**
 * Cascaded position and speed loops with feed-forward of speed and acceleration. The loops know the
 * train's inertia but not its friction: that is what the integral part is for. The integral stands
 * still while the current is at the driver's limit.
 */
export function positionController(
  train: RigidTrain,
  sense: 1 | -1,
  start: Angle,
  settings: LoopSettings,
): CurrentController {
  const perAcceleration = train.forward.inertia / train.torqueConstant;
  const left = sense > 0 ? train.travel - start : start;
  let integral = 0;
  return {
    sampleTime: settings.sampleTime,
    lag: (train.inductance / train.resistance / currentLoopSpeedUp) as Time,
    duration: settings.duration,
    current(time, angle, speed) {
      if (time === 0) integral = 0;
      const wanted = profilePoint(settings.kind, left as Angle, settings.duration, time);
      const angleError = start + sense * wanted.angle - angle;
      const speedError = sense * wanted.speed + settings.positionGain * angleError - speed;
      const proportional =
        perAcceleration * (sense * wanted.acceleration + settings.speedBandwidth * speedError);
      const grown =
        integral +
        ((perAcceleration * settings.speedBandwidth ** 2) / integralRatio) * speedError * settings.sampleTime;
      const total = proportional + grown;
      if (Math.abs(total) <= train.currentLimit || Math.abs(grown) < Math.abs(integral)) integral = grown;
      return proportional + integral;
    },
  };
}
