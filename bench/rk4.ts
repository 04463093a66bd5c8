/**
 * The reference for one rigid opening: a plain classical Runge-Kutta loop of fixed step over the
 * equations of a motor, gears and a valve, written as one would write it first. It knows no event:
 * breakaway and the end of travel are found to one step and by a straight line.
 *
 *   L di/dt = U - R i - k_t N w
 *   J dw/dt = eta N k_t i - T(a, w),   J = N^2 J_motor + J_valve,   at rest while the drive cannot break away
 *   T(a, w) = T_run(a) (1 + (b - 1) exp(-(w / w_s)^2))
 *
 * Angle a, speed w and torques at the stem. The valve is an invented DN32 ball valve; its numbers are
 * estimates of the usual size, no source.
 */
import type { Bench, SetWhere } from "./bench.js";
import { timeOfCall } from "./timing.js";

/** The valve of the opening benches. */
export const openingValve = {
  voltage: 24, // at the driver [V]
  resistance: 0.8, // [ohm]
  inductance: 0.4e-3, // [H]
  torqueConstant: 0.042, // [N m/A]
  motorInertia: 8e-6, // [kg m2]
  ratio: 120, // motor turns to stem turns
  efficiency: 0.72,
  valveInertia: 2e-3, // ball, stem and coupling about the stem [kg m2]
  closedTorque: 15, // running friction at the stem, closed [N m]
  openTorque: 6, // running friction at the stem, open [N m]
  breakawayRatio: 1.4, // breakaway over running friction
  stribeckSpeed: 0.05, // at the stem [rad/s]
  travel: Math.PI / 2, // [rad]
} as const;

/** Step of the reference loop [s]. */
export const REFERENCE_STEP = 0.2e-3;
/** Step of the converged solution that accuracy is measured against [s]. */
const CONVERGED_STEP = 1e-6;
/** End of the search for the end of travel [s]. */
const LONGEST = 5;

/** Running friction torque at the stem [N m] at an angle from closed [rad]: falls smoothly as the ball opens. */
export function runningTorque(angle: number): number {
  const { closedTorque, openTorque } = openingValve;
  return (closedTorque + openTorque) / 2 + ((closedTorque - openTorque) / 2) * Math.cos(2 * angle);
}

/**
 * Time from voltage at the motor to the end of travel.
 * @param step  fixed step, > 0 [s]
 * @returns     opening time [s]; infinite when the end is not reached within 5 s
 */
export function openingTime(step: number): number {
  const v = openingValve;
  const inertia = v.ratio * v.ratio * v.motorInertia + v.valveInertia;
  const gain = v.efficiency * v.ratio * v.torqueConstant;
  const backEmf = v.torqueConstant * v.ratio;

  const currentRate = (speed: number, current: number): number =>
    (v.voltage - v.resistance * current - backEmf * speed) / v.inductance;
  const speedRate = (angle: number, speed: number, current: number): number => {
    const slow = speed / v.stribeckSpeed;
    const friction = runningTorque(angle) * (1 + (v.breakawayRatio - 1) * Math.exp(-slow * slow));
    const drive = gain * current;
    return speed <= 0 && drive <= friction ? 0 : (drive - friction) / inertia;
  };

  let angle = 0;
  let speed = 0;
  let current = 0;
  for (let time = 0; time < LONGEST; time += step) {
    const half = step / 2;
    const a1 = speed;
    const w1 = speedRate(angle, speed, current);
    const i1 = currentRate(speed, current);
    const a2 = speed + half * w1;
    const w2 = speedRate(angle + half * a1, a2, current + half * i1);
    const i2 = currentRate(a2, current + half * i1);
    const a3 = speed + half * w2;
    const w3 = speedRate(angle + half * a2, a3, current + half * i2);
    const i3 = currentRate(a3, current + half * i2);
    const a4 = speed + step * w3;
    const w4 = speedRate(angle + step * a3, a4, current + step * i3);
    const i4 = currentRate(a4, current + step * i3);
    const next = angle + (step / 6) * (a1 + 2 * a2 + 2 * a3 + a4);
    if (next >= v.travel) return time + (step * (v.travel - angle)) / (next - angle);
    angle = next;
    speed += (step / 6) * (w1 + 2 * w2 + 2 * w3 + w4);
    current += (step / 6) * (i1 + 2 * i2 + 2 * i3 + i4);
  }
  return Number.POSITIVE_INFINITY;
}

/** Opening time of `openingValve` that others are held against [s]. */
export function convergedOpeningTime(): number {
  return openingTime(CONVERGED_STEP);
}

/** The machine of the budgets in seconds: two cores on which this loop takes 250 us. */
const secondsThere = 250e-6;

export const rk4: Bench = {
  name: "plain RK4 loop, one opening",
  budget: { kind: "none" },
  run: () => {
    const converged = convergedOpeningTime();
    const error = Math.abs(openingTime(REFERENCE_STEP) / converged - 1);
    return {
      value: timeOfCall(() => openingTime(REFERENCE_STEP)),
      unit: "s",
      accuracy: `opening time ${(converged * 1000).toFixed(2)} ms, within ${error.toExponential(0)} of converged`,
    };
  },
};

export const budgetMachine: SetWhere = { reference: rk4.name, value: secondsThere };
