/** Torque at the stem: at breakaway and while running, from the motor current, a torque sensor or strain gauges. */
import type { Contributor } from "../../numerics/index.js";
import { type Declared, lawDeviation } from "../../quantity/index.js";
import type { RoleId } from "../log/index.js";
import { type DriveModel, stemTorque } from "./drive.js";
import type { LogRecord } from "./record.js";
import { type ReducedDefinition, type ReducedQuantity, reduce } from "./reduced.js";
import { instantOf, type ReducedStroke, stretchBetween } from "./stroke.js";

/** The shaft that strain gauges sit on, as declared. */
export interface TorqueShaft {
  readonly diameter: Declared;
  readonly bore: Declared | undefined;
  readonly shearModulus: Declared;
  /** Gauge strains that the logged strain is the sum of. */
  readonly arms: 1 | 4;
}

/** Shares of the travel between which the running torque is the mean: away from both ends. */
const middle = [0.4, 0.6] as const;
/** A current known worse than this, relative, says nothing of a breakaway. */
const largestShare = 0.25;
/** The peak of a torque at breakaway lies between the command and this share of the travel. */
const breakawayShare = 0.05;

const drawnFrom = {
  motor_current: "from current",
  torque: "from the torque sensor",
  strain: "from strain",
} as const;
export type TorqueSource = keyof typeof drawnFrom;

function definitionOf(what: "breakaway" | "running", from: TorqueSource): ReducedDefinition {
  const words = drawnFrom[from];
  const lead = what === "breakaway" ? "Breakaway torque" : "Running torque, mean of 40 to 60 % travel";
  const equations = {
    motor_current: "T = (k i - b N w - D - I dw/dt) / c",
    torque: "T = reading - reading at rest",
    strain: "T = 2 G W_p eps, W_p = pi (d^4 - d_i^4) / (16 d)",
  };
  const sources = {
    motor_current: "docs/theory/reduction.md; gears in docs/theory/drive.md",
    torque: "common practice, no source",
    strain: "budynas-nisbett-2011, torsion of a round bar; strain at 45 deg is half the shear",
  };
  return {
    id: `${what}-torque-${words.replaceAll(" ", "-")}`,
    name: `${lead}, ${words}`,
    dimension: "torque",
    equation: equations[from],
    source: sources[from],
    assumptions:
      from === "motor_current"
        ? ["The efficiency of the gears is the declared one; it is seldom known better than to 5 %."]
        : [
            "The reading at rest before the command counts as zero: a torque left over from the last stroke is not in it.",
          ],
  };
}

function unknown(what: "breakaway" | "running", from: TorqueSource, because: string): ReducedQuantity {
  const { id, name } = definitionOf(what, from);
  return { known: false, id, name, because };
}

/** Torques from the motor current; not known without a current or a declared drive. */
export function torqueFromCurrent(
  record: LogRecord,
  stroke: ReducedStroke,
  drive: DriveModel | undefined,
): readonly ReducedQuantity[] {
  const both = (because: string) =>
    (["breakaway", "running"] as const).map((what) => unknown(what, "motor_current", because));
  if (record.values("motor_current") === undefined) return both("no channel holds the motor current");
  if (drive === undefined) return both("motor or gears are not known");
  const n = drive.contributors.length;
  const sign = currentSign(record, stroke);
  const torque = (what: "breakaway" | "running", own: readonly Contributor[]): ReducedQuantity =>
    reduce(
      definitionOf(what, "motor_current"),
      (x) => stemTorque(drive.at(x), sign * (x[n] ?? 0), x[n + 1] ?? 0, x[n + 2] ?? 0),
      [...drive.contributors, ...own],
      drive.correlations,
    );
  return [breakawayOf(), runningOf()];

  function breakawayOf(): ReducedQuantity {
    const first = instantOf(stroke.events, "first motion");
    if (first === undefined) return unknown("breakaway", "motor_current", "the first motion is not known");
    const current = record.around("motor_current", first.time_s, {
      instant_s: Math.hypot(first.standardUncertainty_s, record.lag("angle").standardUncertainty_s),
    });
    if (current === undefined)
      return unknown("breakaway", "motor_current", "the current has no reading there");
    if (!(current.standardUncertainty < largestShare * Math.abs(current.value)))
      return unknown(
        "breakaway",
        "motor_current",
        `the current is ${current.value.toPrecision(2)} A with ${current.standardUncertainty.toPrecision(2)} A open there, because the first motion is known to ${(1e3 * first.standardUncertainty_s).toPrecision(2)} ms only: a torque sensor at the stem, or faster and quieter sampling of the angle, would tell`,
      );
    return torque("breakaway", [current, ...still]);
  }

  function runningOf(): ReducedQuantity {
    const stretch = stretchBetween(stroke, ...middle);
    if (stretch === undefined)
      return unknown("running", "motor_current", "the stroke does not pass 40 to 60 % travel");
    const current = record.mean("motor_current", stretch.from_s, stretch.to_s, {
      slope: record.slope("motor_current", stretch.from_s, stretch.to_s),
    });
    if (current === undefined) return unknown("running", "motor_current", "the current has no reading there");
    const span = stretch.to_s - stretch.from_s;
    return torque("running", [
      current,
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
    ]);
  }
}

const still: readonly Contributor[] = [
  { name: "speed of the stem", value: 0, standardUncertainty: 0 },
  { name: "acceleration of the stem", value: 0, standardUncertainty: 0 },
];

/** A logger may count the current with either sign; the motor that moves the ball drives it. */
function currentSign(record: LogRecord, stroke: ReducedStroke): 1 | -1 {
  const stretch = stretchBetween(stroke, 0.1, 0.9);
  const mean = stretch === undefined ? undefined : record.mean("motor_current", stretch.from_s, stretch.to_s);
  return (mean?.value ?? 0) < 0 ? -1 : 1;
}

/** Torques from a torque sensor on the stem, or from strain gauges on a declared shaft. */
export function torqueFromSensor(
  record: LogRecord,
  stroke: ReducedStroke,
  role: "torque" | "strain",
  shaft: TorqueShaft | undefined,
): readonly ReducedQuantity[] {
  if (record.values(role) === undefined) return [];
  const both = (because: string) =>
    (["breakaway", "running"] as const).map((what) => unknown(what, role, because));
  if (role === "strain" && shaft === undefined)
    return both("instruments.torque_shaft does not say what the gauges sit on");
  const first = instantOf(stroke.events, "first motion");
  const begin = instantOf(stroke.events, "command") ?? instantOf(stroke.events, "current") ?? first;
  if (first === undefined || begin === undefined) return both("the first motion is not known");
  const zero = record.mean(role, record.time_s[0] ?? 0, begin.time_s - 2 * record.interval_s());
  if (zero === undefined) return both("the reading at rest before the command is missing");
  // The sensor's offset cancels against its own zero; only its noise counts there.
  const rest: Contributor = {
    ...zero,
    name: "reading at rest",
    standardUncertainty: restOnly(record, role, zero),
  };
  return [peakOf(), runningOf()];

  function peakOf(): ReducedQuantity {
    const end = stretchBetween(stroke, breakawayShare / 2, breakawayShare)?.to_s ?? first?.time_s ?? 0;
    const peak = peakReading(record, role, begin?.time_s ?? 0, end, zero?.value ?? 0);
    return peak === undefined
      ? unknown("breakaway", role, "the sensor has no reading there")
      : torqueOf("breakaway", peak);
  }

  function runningOf(): ReducedQuantity {
    const stretch = stretchBetween(stroke, ...middle);
    const reading =
      stretch === undefined
        ? undefined
        : record.mean(role, stretch.from_s, stretch.to_s, {
            slope: record.slope(role, stretch.from_s, stretch.to_s),
          });
    return reading === undefined
      ? unknown("running", role, "the stroke does not pass 40 to 60 % travel")
      : torqueOf("running", reading);
  }

  function torqueOf(what: "breakaway" | "running", reading: Contributor): ReducedQuantity {
    const definition = definitionOf(what, role);
    if (role === "torque" || shaft === undefined)
      return reduce(definition, (x) => Math.abs((x[0] ?? 0) - (x[1] ?? 0)), [reading, rest]);
    return reduce(
      definition,
      (x) => Math.abs(shaftTorque((x[0] ?? 0) - (x[1] ?? 0), x[2] ?? 0, x[3] ?? 0, x[4] ?? 0) / shaft.arms),
      [
        reading,
        rest,
        declared("shear modulus of the shaft", shaft.shearModulus),
        declared("diameter of the shaft", shaft.diameter),
        shaft.bore === undefined
          ? { name: "bore of the shaft", value: 0, standardUncertainty: 0 }
          : declared("bore of the shaft", shaft.bore),
      ],
    );
  }
}

/**
 * Torque of a round shaft from the strain at 45 degrees to its axis.
 *
 *   T = 2 G eps W_p,   W_p = pi (d^4 - d_i^4) / (16 d)
 *
 * @param strain  of one gauge [-];  @param G  shear modulus [Pa];  @param d, bore  diameters [m]
 * @returns       torque, with the sign of the strain [N m]
 * Valid for      elastic torsion away from notches; bending cancels in a full bridge alone
 * Source         [budynas-nisbett-2011, torsion]
 */
export function shaftTorque(strain: number, G: number, d: number, bore: number): number {
  return 2 * G * strain * ((Math.PI * (d ** 4 - bore ** 4)) / (16 * d));
}

function declared(name: string, value: Declared): Contributor {
  return { name, value: value.value, standardUncertainty: lawDeviation(value.law) };
}

function restOnly(record: LogRecord, role: RoleId, { standardUncertainty }: Contributor): number {
  return Math.sqrt(Math.max(standardUncertainty ** 2 - record.sensorUncertainty(role) ** 2, 0));
}

/** Samples that the peak is the mean of: one alone would be the largest noise. */
const peakSamples = 5;

function peakReading(
  record: LogRecord,
  role: RoleId,
  from_s: number,
  to_s: number,
  zero: number,
): Contributor | undefined {
  const interval = record.interval_s();
  const half = (peakSamples / 2) * interval;
  let best: Contributor | undefined;
  for (let t = from_s; t <= to_s; t += interval) {
    const here = record.mean(role, t - half, t + half);
    if (
      here !== undefined &&
      (best === undefined || Math.abs(here.value - zero) > Math.abs(best.value - zero))
    )
      best = { ...here, name: "peak reading" };
  }
  return best;
}
