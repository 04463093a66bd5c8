/**
 * Friction against angle and against speed, split from the torque of the fluid by the direction of
 * motion: an opening and a closing at the same angle and drop differ by the fluid alone.
 *
 *   T_open = F + H,  T_close = F - H,   F = (T_open + T_close)/2,  H = (T_open - T_close)/2
 *
 * H is positive towards closed. Source: docs/theory/reduction.md.
 */
import {
  type Contributor,
  type Measurement,
  propagate,
  straightLine,
  studentCdf,
} from "../../numerics/index.js";
import { type DriveModel, stemTorque } from "./drive.js";
import type { LogRecord } from "./record.js";
import { type ReducedStroke, stretchBetween } from "./stroke.js";

/** Friction and fluid torque at one opening. */
export interface FrictionPoint {
  /** Opening from closed [rad]. */
  readonly angle_rad: number;
  /** Mean speed of the two strokes there [rad/s]. */
  readonly speed_rad_s: number;
  readonly opening_Nm: number;
  readonly closing_Nm: number;
  readonly friction_Nm: number;
  readonly frictionUncertainty_Nm: number;
  readonly fluid_Nm: number;
  readonly fluidUncertainty_Nm: number;
}

/** Friction over the travel, and whether it changes with speed. */
export interface FrictionSplit {
  readonly points: readonly FrictionPoint[];
  readonly againstSpeed:
    | {
        readonly known: true;
        /** dF/dw [N m s/rad] with its standard uncertainty. */
        readonly slope: number;
        readonly slopeUncertainty: number;
        /** Chance of as great a slope where friction does not change with speed [-]. */
        readonly p: number;
      }
    | { readonly known: false; readonly because: string };
}

/** Centres of the stretches, as shares of the travel, and half their width. */
const centres = Array.from({ length: 16 }, (_, k) => 0.1 + 0.05 * k + 0.025);
const halfWidth = 0.025;
/** A fit against speed needs speeds that differ by this factor. */
const leastSpeedRange = 1.5;

/**
 * Splits friction from fluid torque.
 * @param opening, closing  strokes of one valve at the same conditions
 * @returns  undefined where no opening has both torques
 */
export function frictionSplit(
  record: LogRecord,
  opening: ReducedStroke,
  closing: ReducedStroke,
  drive: DriveModel,
): FrictionSplit | undefined {
  const points = centres.flatMap((share): FrictionPoint[] => {
    const out = readingAt(record, opening, share);
    const back = readingAt(record, closing, 1 - share);
    if (out === undefined || back === undefined) return [];
    const n = drive.contributors.length;
    const contributors = [...drive.contributors, ...out, ...back];
    const torqueAt =
      (from: number): Measurement =>
      (x) =>
        stemTorque(drive.at(x), x[from] ?? 0, x[from + 1] ?? 0, x[from + 2] ?? 0);
    const [To, Tc] = [torqueAt(n), torqueAt(n + 3)];
    const of = (f: Measurement) => propagate(f, contributors, drive.correlations);
    const friction = of((x) => (To(x) + Tc(x)) / 2);
    const fluid = of((x) => (To(x) - Tc(x)) / 2);
    const x = Float64Array.from(contributors, ({ value }) => value);
    return [
      {
        angle_rad: share * opening.travel_rad,
        speed_rad_s: ((out[1]?.value ?? 0) + (back[1]?.value ?? 0)) / 2,
        opening_Nm: To(x),
        closing_Nm: Tc(x),
        friction_Nm: friction.value,
        frictionUncertainty_Nm: friction.standardUncertainty,
        fluid_Nm: fluid.value,
        fluidUncertainty_Nm: fluid.standardUncertainty,
      },
    ];
  });
  return points.length === 0 ? undefined : { points, againstSpeed: againstSpeed(points) };
}

function readingAt(
  record: LogRecord,
  stroke: ReducedStroke,
  share: number,
): readonly Contributor[] | undefined {
  const stretch = stretchBetween(stroke, share - halfWidth, share + halfWidth);
  if (stretch === undefined) return undefined;
  const current = record.mean("motor_current", stretch.from_s, stretch.to_s);
  if (current === undefined) return undefined;
  const span = Math.max(stretch.to_s - stretch.from_s, record.interval_s());
  return [
    { ...current, value: Math.abs(current.value) },
    {
      name: "speed of the stem",
      value: stretch.speed,
      standardUncertainty: stroke.speedUncertainty_rad_s / Math.sqrt(stretch.samples),
    },
    {
      name: "acceleration of the stem",
      value: stretch.acceleration,
      standardUncertainty: (Math.SQRT2 * stroke.speedUncertainty_rad_s) / span,
    },
  ];
}

/** Slope of friction over speed by a straight line through the points; its t value says whether there is one. */
function againstSpeed(points: readonly FrictionPoint[]): FrictionSplit["againstSpeed"] {
  const speeds = points.map(({ speed_rad_s }) => speed_rad_s);
  const range = Math.max(...speeds) / Math.min(...speeds);
  if (points.length < 4) return { known: false, because: "too few openings have both torques" };
  if (!(range >= leastSpeedRange))
    return {
      known: false,
      because: `the speed changes by ${range.toFixed(2)} only over the travel; strokes at another voltage would tell`,
    };
  const { slope, slopeUncertainty, degreesOfFreedom } = straightLine(
    speeds,
    points.map(({ friction_Nm }) => friction_Nm),
  );
  const t = slopeUncertainty > 0 ? Math.abs(slope) / slopeUncertainty : Number.POSITIVE_INFINITY;
  return {
    known: true,
    slope,
    slopeUncertainty,
    p: Number.isFinite(t) ? 2 * studentCdf(-t, degreesOfFreedom) : 0,
  };
}
