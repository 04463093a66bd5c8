/**
 * The loops that hold a part opening, and what becomes of the ball under them.
 *
 * The law is that of physics/motion/profile.ts with a set point that stands: with P the position gain, b the speed
 * bandwidth, T the sample time and m the current per acceleration,
 *
 *   e = P (theta_set - theta) - w,    q' = q + m b^2/4 T e,    i = m b e + q'
 *
 * theta as the sensor reads it, in steps of its resolution; within the dead band of the set point the loop gives up: no
 * current, and the integral is forgotten. An integral and friction that is greater at rest than in motion hunt: the ball sticks short of
 * the set point, the integral grows until it breaks away, and it comes to rest beyond [armstrong-helouvry-1994].
 */
import type { Angle, Current, Time } from "../../quantity/index.js";

export interface HoldSettings {
  readonly target: Angle;
  readonly sampleTime: Time;
  /** Commanded speed per position error [1/s]. */
  readonly positionGain: number;
  /** Closed bandwidth of the speed loop [1/s]. */
  readonly speedBandwidth: number;
  /** Angle error within which the loop gives up, >= 0 [rad]. */
  readonly deadBand: Angle;
  /** Step of the position sensor at the stem, >= 0 [rad]. */
  readonly resolution: Angle;
  /** Current per acceleration of the stem, m [A s2/rad]. */
  readonly perAcceleration: number;
  /** Greatest current of the drive. */
  readonly greatest: Current;
}

/** The integral part of the speed loop corrects this much slower than its proportional part. */
const integralRatio = 4;

/** The loop as a function of its samples; time 0 begins anew. @returns wanted current at time [s], angle [rad] and speed [rad/s] of the stem */
export function holdLoop(settings: HoldSettings): (time: number, angle: number, speed: number) => number {
  const {
    target,
    sampleTime,
    positionGain,
    speedBandwidth,
    deadBand,
    resolution,
    perAcceleration,
    greatest,
  } = settings;
  let integral = 0;
  return (time, angle, speed) => {
    if (time === 0) integral = 0;
    const read = resolution > 0 ? Math.round(angle / resolution) * resolution : angle;
    if (Math.abs(target - read) <= deadBand) {
      integral = 0;
      return 0;
    }
    const error = positionGain * (target - read) - speed;
    const proportional = perAcceleration * speedBandwidth * error;
    const grown = integral + ((perAcceleration * speedBandwidth ** 2) / integralRatio) * error * sampleTime;
    if (Math.abs(proportional + grown) <= greatest || Math.abs(grown) < Math.abs(integral)) integral = grown;
    return Math.min(Math.max(proportional + integral, -greatest), greatest);
  };
}

/** What the ball did at a set point that stood. */
export interface Hunting {
  /** Largest distance from the set point in the last part of the time [rad]. */
  readonly error: Angle;
  /** Largest less smallest angle in that part [rad]. */
  readonly swing: Angle;
  /** Turns of its sense in that part. */
  readonly turns: number;
  /** Time of a full swing; undefined for a ball that rests. */
  readonly period: Time | undefined;
}

/** A swing of so few turns is the settling of the ball, not a hunting. */
const leastTurns = 4;

/**
 * Reads a record of the angle at a set point that stands.
 * @param times  ascending [s];  @param angles  of the stem [rad], as many
 * @param from   start of the part that is looked at [s];  @param noise  a turn by less is none [rad]
 */
export function huntingOf(
  times: readonly number[],
  angles: readonly number[],
  target: Angle,
  from: Time,
  noise: Angle,
): Hunting {
  let [lowest, highest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let turns = 0;
  let sense = 0;
  let extreme = Number.NaN;
  const turnTimes: number[] = [];
  for (let j = 0; j < times.length; j++) {
    const [t, angle] = [times[j] ?? 0, angles[j] ?? 0];
    if (t < from) continue;
    lowest = Math.min(lowest, angle);
    highest = Math.max(highest, angle);
    if (Number.isNaN(extreme)) extreme = angle;
    const moved = angle - extreme;
    if (sense === 0 ? Math.abs(moved) > noise : sense * moved < -noise) {
      if (sense !== 0) {
        turns++;
        turnTimes.push(t);
      }
      sense = Math.sign(moved);
      extreme = angle;
    } else if (sense * moved > 0) extreme = angle;
  }
  const first = turnTimes[0];
  const last = turnTimes.at(-1);
  const isHunting = turns >= leastTurns && first !== undefined && last !== undefined;
  return {
    error: Math.max(highest - target, target - lowest) as Angle,
    swing: (highest - lowest) as Angle,
    turns,
    period: (isHunting ? (2 * (last - first)) / (turns - 1) : undefined) as Time | undefined,
  };
}
