/**
 * Torque of the flow on the ball: at part opening the stream is turned by the bore and pushes the
 * ball towards closed, from either direction of flow.
 */
import { refuse } from "../../fault/index.js";
import { monotoneCubic } from "../../numerics/index.js";
import {
  type Angle,
  formatQuantity,
  type Length,
  type PressureDifference,
  requirePositive,
  type Torque,
} from "../../quantity/index.js";
import { noLoad, type TorqueCoefficientCurve, type TurningTerm } from "./term.js";

/** A point of the torque coefficient curve. */
export interface TorqueCoefficientPoint {
  /** Opening from closed [rad]. */
  readonly angle: Angle;
  /** C_T = T / (dp D^3), positive closing [-]. */
  readonly coefficient: number;
}

/**
 * Hydrodynamic torque.
 *
 *   T_h = C_T |dp| D^3
 *
 * @param CT  torque coefficient at this opening, positive closing [-]
 * @param dp  drop across the valve at this opening in its line, not the shut-off drop [Pa]
 * @param D   bore diameter, > 0 [m]
 * @returns   torque towards closed; adds to the drive's load on opening, takes from it on closing [N m]
 * Source     [awwa-m49], [nasa-sp-8097], from memory.
 */
export function hydrodynamicTorque(CT: number, dp: PressureDifference, D: Length): Torque {
  requirePositive(D, "bore diameter", "length", "It is a length.");
  return (CT * Math.abs(dp) * D ** 3) as Torque;
}

/**
 * Torque coefficient from a table: shape-preserving cubic between points, end values held beyond.
 *
 * @param points  at least two, openings rising [rad], [-]
 * @returns       C_T against opening [-]
 * Refuses        fewer than two points, openings out of order.
 */
export function torqueCoefficientCurve(points: readonly TorqueCoefficientPoint[]): TorqueCoefficientCurve {
  points.forEach((point, i) => {
    const before = points[i - 1];
    if (before === undefined || point.angle > before.angle) return;
    refuse(
      "table-out-of-order",
      `row ${i + 1} of the torque coefficient (${formatQuantity(point.angle, "angle")}) does not follow row ${i} (${formatQuantity(before.angle, "angle")})`,
      "Openings rise from row to row.",
      "Sort the rows by opening.",
    );
  });
  const curve = monotoneCubic(
    points.map((point) => point.angle),
    points.map((point) => point.coefficient),
  );
  return (opening) => curve.value(opening);
}

/** Fills a torque coefficient curve over a grid. @param angles openings [rad] @param out receives C_T [-] */
export function torqueCoefficientsOverAngles(
  curve: TorqueCoefficientCurve,
  angles: Float64Array,
  out: Float64Array,
): void {
  for (let i = 0; i < angles.length; i++) out[i] = curve((angles[i] ?? 0) as Angle);
}

/**
 * Torque of the flow. A pressure torque would count as known; this one is counted as variable, since
 * its coefficient is known within a factor of 1.5 to 2 until it is measured.
 */
export const hydrodynamicTerm: TurningTerm = {
  id: "hydrodynamic",
  name: "flow on the ball",
  character: "flow",
  breakaway: { ratio: "none", dwell: false },
  marginClass: "variable",
  motorisationClass: "other",
  load: ({ flowOnBall }) => {
    if (flowOnBall === "none") return noLoad;
    const perPascal = hydrodynamicTorque(flowOnBall.scale, 1 as PressureDifference, flowOnBall.boreDiameter);
    return { ...noLoad, perCoefficientDrop: perPascal };
  },
};
