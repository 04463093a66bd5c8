/**
 * Friction and fluid torque against angle as smooth curves through values at equally spaced angles:
 * cubic Hermite pieces that keep the shape of the values, so that friction stays positive between them.
 */
import { refuse } from "../../fault/index.js";
import { pchipSlopes } from "../../numerics/index.js";
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
 * Source           slopes [fritsch-butland-1984], as numerics has them
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
  const nodes = Float64Array.from({ length: count }, (_, j) => j);
  const slopes = new Float64Array(count);
  fillCurve(rows, curveOffset.friction, friction, pchipSlopes(nodes, friction, slopes));
  fillCurve(rows, curveOffset.excess, excess, pchipSlopes(nodes, excess, slopes));
  fillCurve(rows, curveOffset.fluid, fluid, pchipSlopes(nodes, fluid, slopes));
  refuseImpossible(friction, excess, fluid);
  return { step: (travel / (count - 1)) as Angle, count, rows };
}

/** Slopes are per step, so that the coefficients need no scaling. */
function fillCurve(rows: Float64Array, offset: number, values: Float64Array, slopes: Float64Array): void {
  const last = values.length - 1;
  straightRow(rows, offset, values[0] as number, slopes[0] as number);
  straightRow(rows, offset + values.length * rowWidth, values[last] as number, slopes[last] as number);
  for (let j = 0; j < last; j++) {
    const p = (j + 1) * rowWidth + offset;
    const y = values[j] as number;
    const m = slopes[j] as number;
    const next = slopes[j + 1] as number;
    const rise = (values[j + 1] as number) - y;
    rows[p] = y;
    rows[p + 1] = m;
    rows[p + 2] = 3 * rise - 2 * m - next;
    rows[p + 3] = m + next - 2 * rise;
  }
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
