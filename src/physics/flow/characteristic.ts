/**
 * Inherent characteristic: flow coefficient of the valve alone against its opening.
 *
 * From the port geometry: the flow passes two lens-shaped openings in series, into the bore and out
 * of it. Each contracts the stream to Cc a of the bore's area and loses the head of the velocity
 * step back to the full bore (Borda-Carnot); wide open the declared loss remains:
 *
 *   1/C^2 = 1/C_open^2 + (1/(Cc a) - 1)^2 / A^2,    Cc = c + (1 - c) a^3
 *
 * with a the throat over bore area A, and c the contraction of a small opening. The law of Cc is
 * Weisbach's for a contraction in a pipe; with c = 0.63 it follows his plug-cock resistances within
 * 15 % (docs/theory/flow.md, "Inherent characteristic"). Charts in per cent of the wide-open
 * coefficient belong to valves that pass less wide open: the opening, not the percentage, sets the
 * flow at mid travel. A measured table goes before either.
 */
import { type Notice, refuse } from "../../fault/index.js";
import { monotoneCubic } from "../../numerics/index.js";
import {
  type Angle,
  type FlowCoefficient,
  formatQuantity,
  requireNotNegative,
  requirePositive,
  requireShare,
} from "../../quantity/index.js";
import { type PortGeometry, throatArea } from "./port.js";
import { circleArea } from "./resistance.js";

/** Flow coefficient against opening from closed [rad]. */
export type InherentCharacteristic = (angleFromClosed: Angle) => FlowCoefficient;

/** What the geometric characteristic is made of. */
export interface GeometricCharacteristic extends PortGeometry {
  /** Flow coefficient wide open, declared or from K = 3 f_T, > 0 [m2]. */
  readonly wideOpen: FlowCoefficient;
  /** Contraction coefficient of a small opening, 0 < c <= 1; 0.63 by Weisbach, 0.60 to 0.75 seen [-]. */
  readonly contraction: number;
  /** Opening at which the bore lines up with the pipe; left out: a quarter turn [rad]. */
  readonly travel?: Angle;
}

/** A point of a measured characteristic. */
export interface CharacteristicPoint {
  /** Opening from closed [rad]. */
  readonly angle: Angle;
  /** Flow coefficient there, >= 0 [m2]. */
  readonly coefficient: FlowCoefficient;
}

/**
 * Inherent characteristic from the geometry of ball and bore.
 *
 * @returns   C against opening: zero up to the first opening, then strictly rising to `wideOpen` [m2]
 * Refuses    a bore that does not fit the ball, values outside their domain.
 * Source     Borda-Carnot with the contraction law of [weisbach-1855]; derived in docs/theory/flow.md.
 */
export function geometricCharacteristic(valve: GeometricCharacteristic): InherentCharacteristic {
  const area = circleArea(valve.boreRadius);
  const travel = valve.travel ?? Math.PI / 2;
  requirePositive(
    valve.wideOpen,
    "wide-open flow coefficient",
    "flow coefficient",
    "An open valve passes fluid.",
  );
  requireShare(valve.contraction, "contraction coefficient", "A stream does not widen in an opening.");
  throatArea(valve, 0 as Angle);
  return (opening) => {
    const ratio = throatArea(valve, (travel - opening) as Angle) / area;
    return portFlowCoefficient(ratio, area, valve.wideOpen, valve.contraction) as FlowCoefficient;
  };
}

/**
 * Throat over bore area at each opening, for `geometricCoefficientsOverAngles`.
 *
 * @param angles  openings from closed [rad]
 * @param out     receives the ratios, 0 to 1 [-]; same length
 */
export function throatRatiosOverAngles(
  valve: PortGeometry & { readonly travel?: Angle },
  angles: Float64Array,
  out: Float64Array,
): void {
  const area = circleArea(valve.boreRadius);
  const travel = valve.travel ?? Math.PI / 2;
  for (let i = 0; i < angles.length; i++) {
    out[i] = throatArea(valve, (travel - (angles[i] ?? 0)) as Angle) / area;
  }
}

/**
 * Geometric characteristic on a grid, for one sample of wide-open coefficient and contraction.
 * Allocates nothing; arguments are not checked.
 *
 * @param ratios       throat over bore area at each opening [-]
 * @param area         bore area [m2]
 * @param wideOpen     flow coefficient wide open [m2]
 * @param contraction  contraction coefficient of a small opening [-]
 * @param out          receives C [m2]; same length as `ratios`
 */
export function geometricCoefficientsOverAngles(
  ratios: Float64Array,
  area: number,
  wideOpen: number,
  contraction: number,
  out: Float64Array,
): void {
  for (let i = 0; i < ratios.length; i++) {
    out[i] = portFlowCoefficient(ratios[i] ?? 0, area, wideOpen, contraction);
  }
}

/**
 * Inherent characteristic from measured points: monotone cubic between them, the last value beyond.
 *
 * @param points  at least two, angles rising, coefficients not falling, the first one zero: where
 *                flow begins is part of the measurement
 * @returns       C against opening, zero below the first point [m2]
 * Refuses        a table that is too short, out of order, falling, or does not begin at zero.
 */
export function tableCharacteristic(points: readonly CharacteristicPoint[]): InherentCharacteristic {
  const first = points[0];
  if (first === undefined || points.length < 2) {
    return refuse(
      "table-too-short",
      `the characteristic has ${points.length} point(s)`,
      "A curve needs two points or more.",
      "Add rows of opening and flow coefficient, from the first flow to wide open.",
    );
  }
  for (let i = 0; i < points.length; i++) {
    const point = points[i];
    const before = points[i - 1];
    if (point === undefined) continue;
    requireNotNegative(
      point.coefficient,
      `flow coefficient of row ${i + 1}`,
      "flow coefficient",
      "Flow follows the drop.",
    );
    if (before !== undefined && !(point.angle > before.angle && point.coefficient >= before.coefficient)) {
      refuse(
        "table-out-of-order",
        `row ${i + 1} of the characteristic (${spoken(point)}) does not follow row ${i} (${spoken(before)})`,
        "Openings rise from row to row and the flow coefficient does not fall.",
        "Sort the rows by opening; look for a typing error or a unit in the row.",
      );
    }
  }
  if (first.coefficient !== 0) {
    refuse(
      "table-does-not-begin-shut",
      `the characteristic begins with ${spoken(first)}`,
      "The table must say where flow begins: a ball passes nothing over its first degrees.",
      "Put a row with flow coefficient 0 ahead, at the largest opening without flow.",
    );
  }
  const curve = monotoneCubic(
    points.map((point) => point.angle),
    points.map((point) => point.coefficient),
  );
  return (opening) => curve.value(opening) as FlowCoefficient;
}

/**
 * Caveat of a measured characteristic that ends before the travel does, or none.
 *
 * @param points  the table
 * @param travel  opening of the valve wide open [rad]
 */
export function characteristicNotices(
  points: readonly CharacteristicPoint[],
  travel: Angle,
): readonly Notice[] {
  const last = points.at(-1);
  // A thousandth of a radian is below any angle scale's reading.
  if (last === undefined || last.angle >= travel - 1e-3) return [];
  return [
    {
      code: "characteristic-extrapolated",
      text: `the measured characteristic ends at ${formatQuantity(last.angle, "angle")}, ${formatQuantity(travel - last.angle, "angle")} before the end of travel: its last value is held from there on`,
    },
  ];
}

/** Fills a characteristic over a grid of openings. @param angles openings [rad] @param out receives C [m2] */
export function coefficientsOverAngles(
  characteristic: InherentCharacteristic,
  angles: Float64Array,
  out: Float64Array,
): void {
  for (let i = 0; i < angles.length; i++) out[i] = characteristic((angles[i] ?? 0) as Angle);
}

function spoken(point: CharacteristicPoint): string {
  return `${formatQuantity(point.coefficient, "flow coefficient")} at ${formatQuantity(point.angle, "angle")}`;
}

function portFlowCoefficient(ratio: number, area: number, wideOpen: number, contraction: number): number {
  if (ratio <= 0) return 0;
  const a = Math.min(1, ratio);
  const Cc = contraction + (1 - contraction) * a * a * a;
  const step = (1 / (Cc * a) - 1) / area;
  return 1 / Math.sqrt(1 / (wideOpen * wideOpen) + step * step);
}
