/**
 * The motor as its direct-current equivalent.
 *
 *   V = R i + L di/dt + k w,   T = k i - T_f - b w,   k_t = k_e = k in SI
 *
 * A brushless motor is entered with line-to-line resistance, inductance and constant under six-step
 * drive; mixing line-to-line with phase values is the usual mistake.
 */
import { refuse } from "../../fault/index.js";
import {
  type AngularDamping,
  type AngularSpeed,
  type Current,
  type Inertia,
  type Resistance,
  type Temperature,
  type Time,
  type Torque,
  type TorqueConstant,
  type Voltage,
  zeroCelsius,
} from "../../quantity/index.js";

/** Temperature coefficient of copper's resistance, referred to 20 degC [1/K] [iec-60028, from memory]. */
const copperCoefficient = 0.00393;
/** The reference temperature of winding data, 20 degC [K]. */
export const windingReference = (zeroCelsius.value + 20) as Temperature;
/** The straight line holds from -100 to 150 degC; at 77 K it is about a fifth too high [matula-1979]. */
export const windingLawRange = {
  low: (zeroCelsius.value - 100) as Temperature,
  high: (zeroCelsius.value + 150) as Temperature,
} as const;

/**
 * Winding resistance at a temperature.
 *
 *   R = R20 (1 + 0.00393 (T - 293.15 K))
 *
 * @param R20 resistance at 20 degC [ohm];  @param T winding temperature [K]
 * Refuses    temperatures at which the line has no resistance left, below 38.7 K.
 * Valid for  -100 to 150 degC (`windingLawRange`); outside it the caller says so.
 * Source     [iec-60028]
 */
export function windingResistance(R20: Resistance, T: Temperature): Resistance {
  const ratio = 1 + copperCoefficient * (T - windingReference);
  if (!(ratio > 0)) {
    refuse(
      "winding-too-cold",
      `a winding at ${T.toPrecision(4)} K`,
      "more than 38.7 K: the straight line of copper's resistance, which holds from 173 to 423 K, passes zero there",
      "Give the temperature of the motor, not of the fluid, or the resistance measured cold with 20 degC as its temperature.",
    );
  }
  return (R20 * ratio) as Resistance;
}

/**
 * Growth of the winding's resistance per kelvin, over its resistance at a temperature [1/K].
 * @param T as in `windingResistance`, which refuses what has no resistance.  Source [iec-60028]
 */
export function windingGrowth(T: Temperature): number {
  return copperCoefficient / (1 + copperCoefficient * (T - windingReference));
}

/**
 * Torque constant at a temperature, k = k20 (1 + drift (T - 293.15 K)).
 * @param k20    at 20 degC [N m/A];  @param T  temperature of the magnets [K]
 * @param drift  relative change per kelvin: about -0.001 for NdFeB, -0.0004 for SmCo [1/K], from memory
 * Valid for     magnets above about 150 K; NdFeB loses remanence again below that.
 */
export function torqueConstantAt(k20: TorqueConstant, drift: number, T: Temperature): TorqueConstant {
  return (k20 * (1 + drift * (T - windingReference))) as TorqueConstant;
}

/**
 * Greatest steady current of a motor at standstill, min(V/R, limit).
 * @param openCircuitVoltage  [V];  @param totalResistance  winding, battery and cable, > 0 [ohm]
 * @param limit  of the driver, infinite where it does not limit [A]
 * @returns      [A].  Source  Ohm's law
 */
export function standstillCurrent(
  openCircuitVoltage: Voltage,
  totalResistance: Resistance,
  limit: Current,
): Current {
  return Math.min(openCircuitVoltage / totalResistance, limit) as Current;
}

/** What the drive can give at a speed: current by the voltage that is left, or by the limit. */
export interface MotorSupply {
  readonly openCircuitVoltage: Voltage;
  /** Winding, battery and cable. */
  readonly totalResistance: Resistance;
  readonly currentLimit: Current;
  readonly torqueConstant: TorqueConstant;
  readonly frictionTorque: Torque;
  readonly damping: AngularDamping;
}

/**
 * Greatest steady shaft torque at a motor speed, T = k min(i_lim, (V - k w)/R) - T_f - b w.
 * @param speed  of the motor, in the sense of the voltage [rad/s]
 * @returns      shaft torque, negative where the speed is beyond what the voltage can reach [N m]
 * Source        textbook [leonhard-2001]
 */
export function availableMotorTorque(motor: MotorSupply, speed: AngularSpeed): Torque {
  const byVoltage = (motor.openCircuitVoltage - motor.torqueConstant * speed) / motor.totalResistance;
  const current = Math.min(byVoltage, motor.currentLimit);
  return (motor.torqueConstant * current - motor.frictionTorque - motor.damping * speed) as Torque;
}

/** Motor of linear torque-speed line from stall torque to no-load speed against a constant load, all at one shaft. */
export interface LinearRunUp {
  readonly stallTorque: Torque;
  readonly noLoadSpeed: AngularSpeed;
  readonly loadTorque: Torque;
  readonly inertia: Inertia;
}

/**
 * Run-up from rest, w(t) = w_ss (1 - exp(-t/tau)) with
 *
 *   w_ss = w_0 (1 - T_L/T_s),   tau = J w_0/T_s
 *
 * @returns   w_ss [rad/s], negative where the load exceeds the stall torque, and tau [s]
 * Valid for  no inductance, no current limit, load constant.  Source  textbook [leonhard-2001]
 */
export function runUpConstants(run: LinearRunUp): { speed: AngularSpeed; timeConstant: Time } {
  return {
    speed: (run.noLoadSpeed * (1 - run.loadTorque / run.stallTorque)) as AngularSpeed,
    timeConstant: ((run.inertia * run.noLoadSpeed) / run.stallTorque) as Time,
  };
}
