/**
 * Friction and fluid torque against angle as smooth curves through values at equally spaced angles:
 * cubic Hermite pieces that keep the shape of the values, so that friction stays positive between them.
 */
import { refuse } from "../../fault/index.js";
import type { Angle, Torque } from "../../quantity/index.js";
import type { AngleLoad } from "./train.js";

/** Numbers per curve and per row of `AngleLoad.rows`. */
export const curveWidth = 4;
export const rowWidth = 3 * curveWidth;

const curveOffset = { friction: 0, excess: curveWidth, fluid: 2 * curveWidth } as const;
export type LoadCurve = keyof typeof curveOffset;

/**
 * The load of a train from values at equally spaced angles from 0 to `travel`, two or more.
 *
 * @param travel    > 0 [rad]
 * @param friction  running friction f >= 0 at each angle [N m]
 * @param excess    what breakaway adds to it, e >= 0 [N m]
 * @param fluid     torque of the fluid, positive towards closed [N m]
 * @param into      an earlier load of the same count, whose storage is used again
 * Refuses          values that are no number, and negative friction.
 * Source           slopes [fritsch-butland-1984, eq. 5], ends [fritsch-carlson-1980]
 */
export function angleLoad(
  travel: Angle,
  friction: Float64Array,
  excess: Float64Array,
  fluid: Float64Array,
  into?: AngleLoad,
): AngleLoad {
  const count = friction.length;
  const rows =
    into !== undefined && into.count === count ? into.rows : new Float64Array((count + 1) * rowWidth);
  refuseImpossible(friction, excess, fluid);
  fillCurve(rows, curveOffset.friction, friction);
  fillCurve(rows, curveOffset.excess, excess);
  fillCurve(rows, curveOffset.fluid, fluid);
  return { step: (travel / (count - 1)) as Angle, count, rows };
}

/**
 * Hermite pieces between the values, slopes per step so that the coefficients need no scaling. The
 * slopes are those of numerics' monotoneCubic, written for equal steps: made for every sample of a
 * band, they would cost it 6 of some 100 microseconds otherwise (bench/band.ts).
 */
function fillCurve(rows: Float64Array, offset: number, values: Float64Array): void {
  const last = values.length - 1;
  let y = values[0] as number;
  let secant = (values[1] as number) - y;
  let slope = last > 1 ? endSlope(secant, (values[2] as number) - (values[1] as number)) : secant;
  straightRow(rows, offset, y, slope);
  for (let j = 0; j < last; j++) {
    const next = values[j + 1] as number;
    let after = secant;
    let slopeAfter: number;
    if (j + 1 < last) {
      after = (values[j + 2] as number) - next;
      const product = secant * after;
      slopeAfter = product > 0 ? (2 * product) / (secant + after) : 0;
    } else {
      slopeAfter = last > 1 ? endSlope(secant, y - (values[j - 1] as number)) : secant;
    }
    const p = (j + 1) * rowWidth + offset;
    rows[p] = y;
    rows[p + 1] = slope;
    rows[p + 2] = 3 * secant - 2 * slope - slopeAfter;
    rows[p + 3] = slope + slopeAfter - 2 * secant;
    y = next;
    secant = after;
    slope = slopeAfter;
  }
  straightRow(rows, offset + values.length * rowWidth, y, slope);
}

/** Slope at an end from the secants next to it and behind that, as far as it keeps the shape. */
function endSlope(next: number, behind: number): number {
  const slope = 0.5 * (3 * next - behind);
  if (slope * next <= 0) return 0;
  return next * behind <= 0 && Math.abs(slope) > 3 * Math.abs(next) ? 3 * next : slope;
}

function straightRow(rows: Float64Array, p: number, value: number, slope: number): void {
  rows[p] = value;
  rows[p + 1] = slope;
  rows[p + 2] = 0;
  rows[p + 3] = 0;
}

function refuseImpossible(friction: Float64Array, excess: Float64Array, fluid: Float64Array): void {
  for (let j = 0; j < friction.length; j++) {
    const f = friction[j] as number;
    const e = excess[j] as number;
    if (f >= 0 && e >= 0 && Number.isFinite(f + e + (fluid[j] as number))) continue;
    refuse(
      "impossible-value",
      `the load at node ${j} is friction ${f} N m, breakaway excess ${e} N m, fluid torque ${fluid[j]} N m`,
      "Friction and what breakaway adds to it are zero or more, and every value is a number.",
      "Correct the torque against angle at that opening.",
    );
  }
}

/**
 * One curve's value at an angle.
 * @param angle  from closed; beyond the ends of travel the end value holds [rad];  @returns torque [N m]
 */
export function loadAt(load: AngleLoad, curve: LoadCurve, angle: Angle): Torque {
  const { rows, step, count } = load;
  const x = Math.min(Math.max(angle / step, 0), count - 1);
  const j = Math.min(Math.floor(x), count - 2);
  const t = x - j;
  const at = (k: number) => rows[(j + 1) * rowWidth + curveOffset[curve] + k] ?? Number.NaN;
  return (at(0) + t * (at(1) + t * (at(2) + t * at(3)))) as Torque;
}

/** One curve's value at a node, counted from closed. @returns torque [N m] */
export function nodeValue(load: AngleLoad, curve: LoadCurve, node: number): Torque {
  return (load.rows[(node + 1) * rowWidth + curveOffset[curve]] ?? Number.NaN) as Torque;
}
