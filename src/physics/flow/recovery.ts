/** Liquid pressure recovery factor F_L against opening. */
import { refuse } from "../../fault/index.js";
import { monotoneCubic } from "../../numerics/index.js";
import { type Angle, formatQuantity, requireShare } from "../../quantity/index.js";

/** A point of the recovery factor curve. */
export interface RecoveryPoint {
  /** Opening from closed [rad]. */
  readonly angle: Angle;
  /** F_L there, 0 < FL <= 1 [-]. */
  readonly factor: number;
}

/** F_L against opening from closed [rad]. */
export type RecoveryCurve = (angleFromClosed: Angle) => number;

/**
 * Recovery factor from a table: monotone cubic between the points, end values held beyond them.
 *
 * Holding is harmless on the closed side: F_L flattens towards small openings.
 *
 * @param points  at least one, openings rising [rad], [-]
 * @returns       F_L against opening [-]
 * Refuses        an empty table, openings out of order, a factor outside 0 to 1.
 */
export function recoveryCurve(points: readonly RecoveryPoint[]): RecoveryCurve {
  const first = points[0];
  if (first === undefined) {
    return refuse(
      "table-too-short",
      "the recovery factor table is empty",
      "Choking cannot be judged without F_L.",
      "Give F_L at one opening or more, or leave the table out to use the shipped typical one.",
    );
  }
  points.forEach((point, i) => {
    requireShare(
      point.factor,
      `F_L of row ${i + 1}`,
      "A choked valve passes at most what full drop without recovery gives.",
    );
    const before = points[i - 1];
    if (before !== undefined && !(point.angle > before.angle)) {
      refuse(
        "table-out-of-order",
        `row ${i + 1} of the recovery factor (${formatQuantity(point.angle, "angle")}) does not follow row ${i} (${formatQuantity(before.angle, "angle")})`,
        "Openings rise from row to row.",
        "Sort the rows by opening.",
      );
    }
  });
  if (points.length === 1) return () => first.factor;
  const curve = monotoneCubic(
    points.map((point) => point.angle),
    points.map((point) => point.factor),
  );
  return (opening) => curve.value(opening);
}
