/**
 * A run reduced: every quantity that its log and what is declared allow, each with its uncertainty, and
 * the reason why the others are not known.
 */
import { conditionsOf, type Dossier } from "../../dossier/index.js";
import type { Notice } from "../../fault/index.js";
import { type Medium, type Plan, planFor, type Sense } from "../../predict/index.js";
import { type Angle, lawDeviation, type Pressure, type Temperature } from "../../quantity/index.js";
import { fluid, fluidNames, stateAtPressureTemperature } from "../../substance/index.js";
import { type DetectedEvent, type EventMove, openingTimes, strokeWindows } from "../event/index.js";
import type { RoleId } from "../log/index.js";
import type { ChannelLog } from "../run/channels.js";
import { strokeChannels } from "../run/channels.js";
import { cutChannels, measureStroke, type StrokeMeasurement } from "../run/measure.js";
import { driveModel } from "./drive.js";
import { flowCoefficient } from "./flowCoefficient.js";
import { type FrictionSplit, frictionSplit } from "./friction.js";
import { leakage } from "./leak.js";
import { type PredictedTorque, predictedTorque } from "./predictedTorque.js";
import { LogRecord, type RecordOptions } from "./record.js";
import type { ReducedQuantity } from "./reduced.js";
import { type ReducedStroke, reducedStroke } from "./stroke.js";
import { torqueFromCurrent, torqueFromSensor } from "./torque.js";

/** What a run is reduced from. */
export interface ReductionInput {
  readonly runId: string;
  readonly caseId: string;
  /** With its defaults applied. */
  readonly dossier: Dossier;
  readonly log: ChannelLog;
  readonly moves: readonly EventMove[];
  /** Dimension of the flow channel, from the unit of its column. */
  readonly flow?: RecordOptions["flow"];
}

/** A measured torque beside the predicted one, of one stroke. */
export interface TorqueComparison {
  readonly sense: Sense;
  readonly what: "breakaway" | "running";
  readonly measured: ReducedQuantity;
  readonly predicted: PredictedTorque | undefined;
}

/** One stroke reduced. */
interface StrokeReduction {
  readonly sense: Sense | undefined;
  readonly from_s: number;
  readonly to_s: number;
  readonly events: readonly DetectedEvent[];
  /** Times by every definition, as reduced quantities. */
  readonly times: readonly ReducedQuantity[];
  readonly quantities: readonly ReducedQuantity[];
  readonly torques: readonly TorqueComparison[];
}

/** A run reduced. */
export interface Reduction {
  readonly runId: string;
  readonly caseId: string;
  /** Temperature that the case declares for the valve [K]. */
  readonly valveTemperature_K: number | undefined;
  /** Whether the valve stood under pressure, as the case declares. */
  readonly isPressurised: boolean;
  readonly fluid: string | undefined;
  readonly strokes: readonly StrokeReduction[];
  readonly leak: ReducedQuantity | undefined;
  readonly friction: FrictionSplit | undefined;
  /** Standard uncertainty of the clocks of the run's files against each other [s]; 0 for one file. */
  readonly clockUncertainty_s: number;
  readonly files: number;
  readonly notices: readonly Notice[];
}

/** Reduces a run. Refuses an unknown case, and a log without an angle that is no leak test. */
export function reduceRun(input: ReductionInput): Reduction {
  const { dossier, caseId, log, runId } = input;
  const conditions = conditionsOf(dossier, caseId);
  const record = new LogRecord(log, recordOptions(input));
  const leakTest = dossier.valve.cases?.find(({ id }) => id === caseId)?.leak_test;
  const clocks = log.clocks ?? [];
  const frame = {
    runId,
    caseId,
    valveTemperature_K: conditions.valve_temperature?.value,
    isPressurised: conditions.fluid !== undefined && conditions.fluid !== "none",
    fluid: conditions.fluid,
    clockUncertainty_s: record.clockUncertainty_s,
    files: 1 + clocks.length,
  };
  if (leakTest?.volume !== undefined)
    return {
      ...frame,
      strokes: [],
      leak: leakage(record, {
        volume: leakTest.volume,
        side: leakTest.side ?? "upstream",
        density: gasDensity(conditions.fluid),
      }),
      friction: undefined,
      notices: calibrationNotices(record, ["pressure_upstream", "pressure_downstream", "temperature_fluid"]),
    };
  const plan = planFor(dossier, caseId);
  const strokes = measuredStrokes(input).map((one) => ({
    ...one,
    motion: reducedStroke(record, one.measurement),
  }));
  const drive = driveModel(plan);
  const openings = strokes.find(({ motion }) => motion?.sense === "opening")?.motion;
  const closings = strokes.find(({ motion }) => motion?.sense === "closing")?.motion;
  return {
    ...frame,
    strokes: strokes.map(({ measurement, motion, from_s, to_s }) => ({
      sense: measurement.sense,
      from_s,
      to_s,
      events: measurement.events,
      times: timesOf(measurement),
      ...(motion === undefined ? { quantities: [], torques: [] } : quantitiesOf(record, plan, motion, to_s)),
    })),
    leak: undefined,
    friction:
      openings === undefined || closings === undefined || drive === undefined
        ? undefined
        : frictionSplit(record, openings, closings, drive),
    notices: calibrationNotices(record, ["motor_current", "torque", "strain", "flow"]),
  };
}

function recordOptions({ dossier, flow }: ReductionInput): RecordOptions {
  const lags: Partial<Record<RoleId, { lag_s: number; standardUncertainty_s: number }>> = {};
  for (const { channel, lag } of dossier.valve.instruments?.lags ?? [])
    if (channel !== undefined && lag !== undefined)
      lags[channel] = { lag_s: lag.value, standardUncertainty_s: lawDeviation(lag.law) };
  return { lags, ...(flow === undefined ? {} : { flow }) };
}

/** Strokes of the log one by one; a correction by hand belongs to the stroke in whose part it lies. */
export function measuredStrokes({
  runId,
  log,
  dossier,
  moves,
}: Pick<ReductionInput, "runId" | "log" | "dossier" | "moves">): readonly {
  readonly measurement: StrokeMeasurement;
  readonly from_s: number;
  readonly to_s: number;
}[] {
  const channels = strokeChannels(log);
  const travel = (dossier.valve.valve?.travel?.value ?? Math.PI / 2) as Angle;
  return strokeWindows(channels.time_s, channels.angle_rad).map(({ from_s, to_s }) => ({
    from_s,
    to_s,
    measurement: measureStroke(
      runId,
      cutChannels(channels, from_s, to_s),
      travel,
      moves.filter(({ time_s }) => time_s >= from_s && time_s <= to_s),
    ),
  }));
}

function timesOf({ events }: StrokeMeasurement): readonly ReducedQuantity[] {
  return openingTimes(events).map((time): ReducedQuantity => {
    const { id, label } = time.definition;
    if (!time.known) return { known: false, id, name: label, because: time.because };
    const { value_s, standardUncertainty_s: u } = time;
    return {
      known: true,
      id,
      name: label,
      dimension: "time",
      equation: "t = t_to - t_from",
      source: "docs/theory/events.md",
      assumptions: [],
      value: value_s,
      standardUncertainty: u,
      degreesOfFreedom: undefined,
      interval95: [value_s - normal95 * u, value_s + normal95 * u],
      intervalFrom: "first order",
      contributions: [],
    };
  });
}

const normal95 = 1.959_963_985;

function quantitiesOf(
  record: LogRecord,
  plan: Plan,
  stroke: ReducedStroke,
  end_s: number,
): Pick<StrokeReduction, "quantities" | "torques"> {
  const shaft = plan.dossier.valve.instruments?.torque_shaft;
  const declaredShaft =
    shaft?.diameter === undefined || shaft.shear_modulus === undefined
      ? undefined
      : {
          diameter: shaft.diameter,
          bore: shaft.bore,
          shearModulus: shaft.shear_modulus,
          arms: shaft.reading === "one gauge" ? (1 as const) : (4 as const),
        };
  const torques = [
    ...torqueFromSensor(record, stroke, "torque", undefined),
    ...torqueFromSensor(record, stroke, "strain", declaredShaft),
    ...torqueFromCurrent(record, stroke, driveModel(plan)),
  ];
  return {
    quantities: [...torques, flowCoefficient(record, stroke, liquidOf(plan), end_s)],
    torques: (["breakaway", "running"] as const).flatMap((what): TorqueComparison[] => {
      // A sensor at the stem goes before the current, which needs the efficiency of the gears.
      const measured = torques.find(({ id, known }) => known && id.startsWith(what));
      return measured === undefined
        ? []
        : [{ sense: stroke.sense, what, measured, predicted: predictedTorque(plan, stroke.sense, what) }];
    }),
  };
}

function liquidOf({ medium, slots, space }: Plan) {
  if (medium.kind !== "liquid") return undefined;
  const declared = space.declared[slots.fluidTemperature];
  return {
    density: (medium satisfies Medium).fit.density,
    temperature_K: declared?.value ?? Number.NaN,
    temperatureUncertainty_K: declared === undefined ? 0 : lawDeviation(declared.law),
  };
}

/** Density of a gas on file by its equation of state; air and the like as an ideal gas, whose constant cancels. */
function gasDensity(name: string | undefined): (p: number, T: number) => number {
  if (name === undefined || !fluidNames.includes(name)) return (p, T) => p / T;
  const gas = fluid(name);
  return (p, T) => stateAtPressureTemperature(gas, p as Pressure, T as Temperature).rho;
}

function calibrationNotices(record: LogRecord, roles: readonly RoleId[]): readonly Notice[] {
  const missing = record.uncalibrated(roles);
  return missing.length === 0
    ? []
    : [
        {
          code: "sensor-uncertainty-missing",
          text: `the uncertainty of the sensor itself is not known for ${missing.map((role) => role.replaceAll("_", " ")).join(", ")}: what is stated holds noise, resolution and timing alone; give a calibration, or standard_uncertainty in the mapping`,
        },
      ];
}
