/** Growth of breakaway friction while a polymer seat rests under load and creeps into the surface. */
import { type Notice, refuse } from "../../fault/index.js";
import { piecewiseLinear } from "../../numerics/index.js";
import { formatQuantity, requireNotNegative, type Time } from "../../quantity/index.js";

/** A point of the dwell table. */
export interface DwellPoint {
  /** Time at rest under load, > 0 [s]. */
  readonly dwell: Time;
  /** Breakaway over that without dwell, >= 1 [-]. */
  readonly factor: number;
}

/**
 * Dwell factor on breakaway, linear in the logarithm of time between the points of a table.
 *
 * Below the first point its value holds, beyond the last one too, with a notice there: creep slows
 * but does not stop.
 *
 * @param table  at least two points, times rising
 * @param dwell  time at rest under load, >= 0 [s]
 * @returns      factor [-] and the caveat of a dwell beyond the table
 * Refuses       a table out of order, a factor below 1, a negative dwell.
 * Source        common practice, no source; from memory, spread up to a factor of 2.
 */
export function dwellFactor(
  table: readonly DwellPoint[],
  dwell: Time,
): { readonly factor: number; readonly notices: readonly Notice[] } {
  requireNotNegative(dwell, "dwell", "time", "It is the time the valve has stood.");
  const first = table[0];
  const last = table.at(-1);
  const sound = table.every((point, i) => point.factor >= 1 && point.dwell > (table[i - 1]?.dwell ?? 0));
  if (first === undefined || last === undefined || !sound) {
    return refuse(
      "table-out-of-order",
      "the dwell table is empty, out of order, or has a factor below 1",
      "Times rise from above zero, and standing does not ease breakaway.",
      "Sort the rows by time and check the factors.",
    );
  }
  if (dwell <= first.dwell) return { factor: first.factor, notices: [] };
  const curve = piecewiseLinear(
    table.map((point) => Math.log(point.dwell)),
    table.map((point) => point.factor),
  );
  const notices: Notice[] = [];
  if (dwell > last.dwell) {
    notices.push({
      code: "dwell-extrapolated",
      text: `a dwell of ${formatQuantity(dwell, "time")} is ${(dwell / last.dwell).toPrecision(3)} times the longest in the table (${formatQuantity(last.dwell, "time")}): the factor ${last.factor} is held, and true breakaway can be higher`,
    });
  }
  return { factor: curve.value(Math.log(dwell)), notices };
}
