/**
 * Winding temperature by two nodes, winding and motor body.
 *
 *   C_w dT_w/dt = P - (T_w - T_c)/R_wc,   C_c dT_c/dt = (T_w - T_c)/R_wc - (T_c - T_a)/R_ca
 *
 * For heat in short pulses between long pauses the equations are linear with constant loss, so each
 * stretch has its closed solution. Loss taken at the resistance of the stretch's start.
 * Source: textbook [leonhard-2001].
 */
import type { Energy, HeatCapacity, Power, Temperature, ThermalResistance, Time } from "../../quantity/index.js";

export interface MotorThermal {
  readonly windingHeatCapacity: HeatCapacity;
  readonly caseHeatCapacity: HeatCapacity;
  readonly windingToCase: ThermalResistance;
  readonly caseToAmbient: ThermalResistance;
}

export interface MotorTemperatures {
  readonly winding: Temperature;
  readonly case: Temperature;
}

/**
 * Temperatures after a stretch of constant loss in the winding.
 * @param start temperatures at its beginning;  @param ambient surroundings [K]
 * @param loss heat in the winding [W];  @param duration >= 0 [s]
 */
export function temperaturesAfter(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  loss: Power,
  duration: Time,
): MotorTemperatures {
  const a = 1 / (thermal.windingHeatCapacity * thermal.windingToCase);
  const b = 1 / (thermal.caseHeatCapacity * thermal.windingToCase);
  const c = 1 / (thermal.caseHeatCapacity * thermal.caseToAmbient);
  const steadyCase = ambient + loss * thermal.caseToAmbient;
  const steadyWinding = steadyCase + loss * thermal.windingToCase;
  // Deviations from the steady state obey x' = -a x + a y, y' = b x - (b + c) y: two real decays.
  const half = 0.5 * (a + b + c);
  const root = Math.sqrt(Math.max(half * half - a * c, 0));
  const fast = half + root;
  const slow = (a * c) / fast;
  const x0 = start.winding - steadyWinding;
  const y0 = start.case - steadyCase;
  const u0 = ((a - slow) * x0 - a * y0) / (fast - slow);
  const v0 = x0 - u0;
  const u = u0 * Math.exp(-fast * duration);
  const v = v0 * Math.exp(-slow * duration);
  return {
    winding: (steadyWinding + u + v) as Temperature,
    case: (steadyCase + (u * (a - fast) + v * (a - slow)) / a) as Temperature,
  };
}

export interface HeatingDuty {
  /** Copper heat of one stroke. */
  readonly strokeEnergy: Energy;
  readonly strokeTime: Time;
  /** Loss while the drive pushes against a stop or jam, and for how long after each stroke. */
  readonly stallLoss: Power;
  readonly stallTime: Time;
  readonly period: Time;
  readonly count: number;
}

/** Highest winding temperature over a duty of equal strokes [K]. Strokes beyond the thousandth are not followed singly. */
export function peakWindingTemperature(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  duty: HeatingDuty,
): Temperature {
  let now = start;
  let peak: number = start.winding;
  const pause = Math.max(duty.period - duty.strokeTime - duty.stallTime, 0) as Time;
  const strokes = Math.min(Math.max(Math.round(duty.count), 1), 1000);
  for (let n = 0; n < strokes; n++) {
    const power = duty.strokeTime > 0 ? duty.strokeEnergy / duty.strokeTime : 0;
    now = temperaturesAfter(thermal, now, ambient, power as Power, duty.strokeTime);
    peak = Math.max(peak, now.winding);
    now = temperaturesAfter(thermal, now, ambient, duty.stallLoss, duty.stallTime);
    peak = Math.max(peak, now.winding);
    now = temperaturesAfter(thermal, now, ambient, 0 as Power, pause);
  }
  return peak as Temperature;
}
