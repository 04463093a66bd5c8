/** What is asked of a stroke, what it yields, and what is refused. */
import { refuse } from "../../fault/index.js";
import {
  type Angle,
  type AngularSpeed,
  type Current,
  formatQuantity,
  type Time,
  type Torque,
  type Voltage,
} from "../../quantity/index.js";
import type { EnergyLedger } from "./ledger.js";
import type { StrokeBuffers } from "./strokeBuffers.js";
import type { StrokePath } from "./strokePath.js";
import type { Regime, RigidTrain } from "./train.js";

/** A controller that is asked at fixed sample times which current the driver shall lead to. */
export interface CurrentController {
  /** > 0. */
  readonly sampleTime: Time;
  /** Time constant with which the current follows, > 0. */
  readonly lag: Time;
  /** Time after the command at which the profile has ended. */
  readonly duration: Time;
  /**
   * Wanted current at a sample; called once per sample in ascending time since the drive came alive.
   * Time 0 begins anew: a controller with a memory forgets there.
   * @param time [s];  @param angle of the stem from closed [rad];  @param speed of the stem [rad/s];  @returns [A]
   */
  current(time: number, angle: number, speed: number): number;
}

export interface StrokeOrder {
  /** Opening +1 or closing -1. */
  readonly sense: 1 | -1;
  /** Where the ball stands at the command, 0 <= start <= travel. */
  readonly start: Angle;
  /** The stroke is given up after this time, > 0. */
  readonly horizon: Time;
  /** Travelled angles, ascending and >= 0, whose passing times are wanted [rad]. */
  readonly marks: Float64Array;
  /** Full drive if absent. */
  readonly controller?: CurrentController;
  /** Relative tolerance of a step, 1e-12 to 1e-2; the default holds the opening time within 1e-4. */
  readonly tolerance?: number;
  /** Followed to the horizon, whatever stop it touches on the way; left out: to the end of its travel. */
  readonly isWhole?: true;
  /** Filled with the whole path if given. */
  readonly path?: StrokePath;
  /** Storage to use; a stroke at work needs its own. */
  readonly buffers?: StrokeBuffers;
}

/** What stopped a stroke that did not arrive. */
export interface Stall {
  readonly angle: Angle;
  /** Stem torque by which the drive at its greatest steady current fell short. */
  readonly lackingTorque: Torque;
}

export interface Stroke {
  /**
   * Out of time: still in motion, or at rest although the drive could move it, when the horizon came;
   * or given up before (`end` says when) because it hunts, sticking and slipping a million times.
   */
  readonly outcome: "arrived" | "stalled" | "out of time";
  /** First motion, if any. */
  readonly firstMotion: Time | undefined;
  /** Arrival at the end stop, or within `arrivalBand` of it under a profile; 0 for a ball that stands there. */
  readonly arrival: Time | undefined;
  /** Passing time of each mark, NaN where it was not passed [s]. */
  readonly markTimes: Float64Array;
  readonly stall: Stall | undefined;
  /** Where it is, and how fast, when it was followed no further: at `end`. */
  readonly angle: Angle;
  readonly speed: AngularSpeed;
  readonly end: Time;
  /** Greatest magnitude of the motor current. */
  readonly peakCurrent: Current;
  readonly peakSpeed: AngularSpeed;
  /** Greatest speed at which a stop was met. */
  readonly impactSpeed: AngularSpeed;
  readonly lowestSupplyVoltage: Voltage;
  readonly ledger: EnergyLedger;
  /** Integration steps taken. */
  readonly steps: number;
}

/** A profile has no contact with the stop; arrival counts from this share of travel before the end. */
export const arrivalBand = 0.0025;

const loosest = 1e-2;
const tightest = 1e-12;

/** Refuses trains and orders that no drive can be; a comparison with NaN fails and so refuses. */
export function refuseImpossible(train: RigidTrain, order: StrokeOrder): void {
  positive(train.resistance, "the winding resistance", "ohm");
  positive(train.inductance, "the winding inductance", "H");
  positive(train.torqueConstant, "the torque constant", "N m/A");
  positive(train.ratio, "the total ratio", "");
  positive(train.stribeckSpeed, "the speed over which friction falls", "rad/s");
  positive(train.travel, "the travel", "rad");
  positive(order.horizon, "the time given to a stroke", "s");
  notNegative(train.openCircuitVoltage, "the supply voltage", "V");
  notNegative(train.supplyResistance, "the supply resistance", "ohm");
  notNegative(train.deadTime, "the dead time", "s");
  notNegative(train.motorDamping, "the damping of the motor", "N m s/rad");
  notNegative(train.motorFriction, "the friction of the motor", "N m");
  notNegative(train.damping, "the damping at the stem", "N m s/rad");
  notNegative(train.dwellTorque, "the torque added by dwell", "N m");
  positive(train.forward.loadShare, "the motor torque per torque at the stem", "");
  for (const regime of [train.forward, train.backward, train.lossless]) regimePossible(regime);
  if (!(train.currentLimit >= 0))
    impossible(train.currentLimit, "the current limit", "A", "It is zero or more.");
  if (!(train.restitution >= 0 && train.restitution < 1))
    impossible(
      train.restitution,
      "the share of speed kept at the stop",
      "",
      "It lies from 0 up to, not including, 1.",
    );
  if (!(order.start >= 0 && order.start <= train.travel)) {
    refuse(
      "start-outside-travel",
      `a stroke that starts at ${stated(order.start)}`,
      `from closed (0) to wide open (${formatQuantity(train.travel, "angle")}): the stops let the ball stand nowhere else`,
      "Start the stroke inside the travel, or correct the travel or the zero of the angle.",
    );
  }
  const { tolerance, controller } = order;
  if (tolerance !== undefined && !(tolerance >= tightest && tolerance <= loosest))
    impossible(tolerance, "the tolerance of a step", "", `It lies from ${tightest} to ${loosest}.`);
  if (controller === undefined) return;
  positive(controller.sampleTime, "the sample time of the loops", "s");
  positive(controller.lag, "the lag of the current loop", "s");
}

function regimePossible(regime: Regime): void {
  positive(regime.inertia, "the inertia of the train", "kg m2");
  notNegative(regime.friction, "the friction of the drive", "N m");
  notNegative(regime.loadShare, "the motor torque per torque at the stem", "");
}

function positive(value: number, what: string, unit: string): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY))
    impossible(value, what, unit, "It is above zero and finite.");
}

function notNegative(value: number, what: string, unit: string): void {
  if (!(value >= 0 && value < Number.POSITIVE_INFINITY))
    impossible(value, what, unit, "It is zero or more and finite.");
}

function impossible(value: number, what: string, unit: string, allowed: string): never {
  return refuse("impossible-value", `${what} is ${`${value} ${unit}`.trim()}`, allowed, `Correct ${what}.`);
}

/** An angle with its unit, or the word for what is no number. */
function stated(angle: number): string {
  return Number.isFinite(angle) ? formatQuantity(angle, "angle") : String(angle);
}
