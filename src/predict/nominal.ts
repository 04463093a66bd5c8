/**
 * The nominal answers: flow, turning torque and strokes at the declared nominal values, in the detail
 * that pictures and ledgers need.
 */
import { lowestRatioFactor, standstillCurrent } from "../physics/drive/index.js";
import {
  type EnergyLedger,
  type RigidTrain,
  type Stroke,
  StrokePath,
  timeDefinitions,
} from "../physics/motion/index.js";
import { turningTorque } from "../physics/seat/index.js";
import type { Angle, AngularSpeed, PressureDifference, Resistance, Torque } from "../quantity/index.js";
import { type Ceilings, ceilingsOf } from "./ceiling.js";
import { columnIndex } from "./columns.js";
import { askedSpeed, availableTorque, breakawayTorque, type WorstPoint, worstPoint } from "./margin.js";
import { lowestFlow, worstOperating } from "./operating.js";
import { isAnswerable, type Plan } from "./plan.js";
import { fillRow, rowWidth } from "./row.js";
import { flowMark, isDone, type Sense, strokeOf } from "./strokes.js";
import { supplyVoltage } from "./supply.js";
import { openings, ValveSample } from "./valveSample.js";

/** Flow of the installed valve against opening; arrays of one length. */
export interface FlowCurve {
  readonly angle_rad: readonly number[];
  readonly coefficient_m2: readonly number[];
  readonly massFlow_kg_s: readonly number[];
  readonly drop_Pa: readonly number[];
  readonly inlet_Pa: readonly number[];
  readonly choked: readonly boolean[];
  readonly density_kg_m3: number;
  readonly vapourPressure_Pa: number;
  /** Openings from closed at which the operating ratios are worst [rad]. */
  readonly worst: { readonly choke_rad: number; readonly cavitation_rad: number };
}

/** One contribution to the turning torque against opening; positive resists the motion. */
export interface TorqueLine {
  readonly id: string;
  readonly name: string;
  readonly torque_Nm: readonly number[];
}

/** Turning torque against opening, in one sense. */
export interface TorqueCurve {
  readonly sense: Sense;
  readonly angle_rad: readonly number[];
  /** Running, slow: each contribution and the sum. */
  readonly lines: readonly TorqueLine[];
  readonly running_Nm: readonly number[];
  /** At rest at each opening: breakaway without dwell. */
  readonly breakaway_Nm: readonly number[];
  /** Breakaway at the start of the stroke, each contribution, dwell included where it stood closed. */
  readonly start: readonly { readonly id: string; readonly name: string; readonly torque_Nm: number }[];
  readonly startTotal_Nm: number;
}

/** What the drive can give at the stem. */
export interface DriveCurve {
  readonly standstill_Nm: number;
  /** At the mean speed that the opening limit asks for, if there is a limit. */
  readonly atWantedSpeed_Nm: number | undefined;
  readonly wantedSpeed_rad_s: number | undefined;
  /** At the mean speed that the closing limit asks for; without one, the opening's. */
  readonly atWantedClosingSpeed_Nm: number | undefined;
  /** Where the margin with the factors of [nasa-std-5017a] is least; undefined without a wanted speed. */
  readonly worstPoint: WorstPoint | undefined;
  /** The same for the motorisation margin of [ecss-e-st-33-01c]. */
  readonly worstMotorisation: WorstPoint | undefined;
  readonly speed_rad_s: readonly number[];
  readonly available_Nm: readonly number[];
  readonly motor: MotorCurve;
}

/**
 * What current and voltage let the motor give at its own shaft, T = k min(i_lim, (V - k w)/R), before its
 * own friction is taken off: the same torque k i that a stroke's current makes.
 */
export interface MotorCurve {
  /** Motor speed over stem speed [-]. */
  readonly ratio: number;
  readonly torqueConstant_Nm_A: number;
  /** Undefined where the driver does not limit. */
  readonly currentLimit_A: number | undefined;
  readonly openCircuitVoltage_V: number;
  /** At which the voltage leaves no current over [rad/s]. */
  readonly noLoadSpeed_rad_s: number;
  /** Winding, battery and cable [ohm]. */
  readonly resistance_Ohm: number;
}

/** One stroke as a history, sampled evenly in time. */
export interface StrokeHistory {
  readonly sense: Sense;
  readonly outcome: Stroke["outcome"];
  readonly stall: { readonly angle_rad: number; readonly lackingTorque_Nm: number } | undefined;
  /** By definition id; a definition whose events did not happen is absent [s]. */
  readonly times_s: Readonly<Record<string, number>>;
  readonly time_s: readonly number[];
  readonly angle_rad: readonly number[];
  readonly speed_rad_s: readonly number[];
  readonly current_A: readonly number[];
  readonly supplyVoltage_V: readonly number[];
  readonly massFlow_kg_s: readonly number[];
  readonly peakCurrent_A: number;
  readonly peakSpeed_rad_s: number;
  readonly impactSpeed_rad_s: number;
  readonly lowestSupplyVoltage_V: number;
  readonly ledger: EnergyLedger;
}

export interface Nominal {
  readonly flow: FlowCurve | undefined;
  readonly torque: { readonly opening: TorqueCurve; readonly closing: TorqueCurve } | undefined;
  readonly drive: DriveCurve | undefined;
  readonly opening: StrokeHistory | undefined;
  readonly closing: StrokeHistory | undefined;
  readonly ceilings: Ceilings | undefined;
  /** Total ratio that would just break away, and the present one; undefined where not known. */
  readonly ratio: { readonly present: number; readonly lowest: number | undefined } | undefined;
  /** Every figure of a band's row at nominal values, by column, NaN where it does not exist. */
  readonly row: readonly number[];
  /**
   * Share by which the opening time in the definition moves when the step tolerance is tightened from
   * a band's to the nominal one; undefined where there is no such time [-].
   */
  readonly numericalUncertainty: number | undefined;
}

/** Points of a history. */
const historyPoints = 241;
const speedPoints = 41;
/** Nominal strokes are run this much tighter than a band's. */
const nominalTolerance = 1e-6;

/** The nominal answers that the known fields allow. @param definition whose ceilings are wanted */
export function nominalOf(plan: Plan, definition: string): Nominal {
  const sample = new ValveSample(plan);
  const row = new Float64Array(rowWidth);
  fillRow(sample, row, { openingOnly: false });
  const hasTorque = isAnswerable(plan, "torque");
  const hasMotion = isAnswerable(plan, "motion");
  const train = hasMotion ? sample.train() : undefined;
  const opening = train === undefined ? undefined : history(plan, sample, train, "opening");
  const fine = opening?.times_s[definition];
  const coarse = row[columnIndex(`opening:${definition}`)] ?? Number.NaN;
  return {
    flow:
      isAnswerable(plan, "flow") && sample.liquid !== undefined
        ? flowCurve(sample, sample.liquid)
        : undefined,
    torque: hasTorque
      ? { opening: torqueCurve(sample, "opening"), closing: torqueCurve(sample, "closing") }
      : undefined,
    drive: train === undefined ? undefined : driveCurve(sample, train),
    opening,
    closing: train === undefined ? undefined : history(plan, sample, train, "closing"),
    ceilings: train === undefined ? undefined : ceilings(plan, sample, train, definition),
    ratio: train === undefined ? undefined : ratio(sample, train),
    row: [...row],
    numericalUncertainty:
      fine === undefined || !(fine > 0) || Number.isNaN(coarse) ? undefined : Math.abs(coarse / fine - 1),
  };
}

function flowCurve(sample: ValveSample, liquid: NonNullable<ValveSample["liquid"]>): FlowCurve {
  const { choke, cavitation } = worstOperating(sample, liquid, lowestFlow(sample));
  return {
    angle_rad: [...sample.angles],
    coefficient_m2: [...sample.coefficient],
    massFlow_kg_s: [...sample.massFlow],
    drop_Pa: [...sample.drop],
    inlet_Pa: [...sample.inlet],
    choked: Array.from(sample.choked, (flag) => flag === 1),
    density_kg_m3: liquid.density,
    vapourPressure_Pa: liquid.vapourPressure,
    worst: { choke_rad: choke.angle_rad, cavitation_rad: cavitation.angle_rad },
  };
}

function torqueCurve(sample: ValveSample, sense: Sense): TorqueCurve {
  const inputs = sample.turning;
  if (inputs === undefined) throw new Error("turning torque asked for before it was evaluated");
  const at = (j: number, phase: "running" | "breakaway") =>
    turningTorque(
      phase === "breakaway" && j === startOf(sense) && sense === "opening"
        ? inputs
        : { ...inputs, dwellFactor: 1 },
      {
        angle: (sample.angles[j] ?? 0) as Angle,
        valveDrop: (sample.drop[j] ?? 0) as PressureDifference,
        bodyGaugePressure: sample.bodyGaugeAt(j) as PressureDifference,
      },
      { sense, phase, speed: fastEnoughForRunning as AngularSpeed },
    );
  const running = Array.from({ length: openings }, (_, j) => at(j, "running"));
  const resting = Array.from({ length: openings }, (_, j) => at(j, "breakaway"));
  const start = resting[startOf(sense)];
  const viscous = (torque: ReturnType<typeof at>) =>
    torque.contributions.reduce((sum, row) => sum + (row.term.character === "viscous" ? row.torque : 0), 0);
  return {
    sense,
    angle_rad: [...sample.angles],
    lines: (running[0]?.contributions ?? []).flatMap(({ term }, k) =>
      term.character === "viscous"
        ? []
        : [
            {
              id: term.id,
              name: term.name,
              torque_Nm: running.map(({ contributions }) => contributions[k]?.torque ?? 0),
            },
          ],
    ),
    running_Nm: running.map((torque) => torque.total - viscous(torque)),
    breakaway_Nm: resting.map(({ total }) => total),
    start: (start?.contributions ?? []).map(({ term, torque }) => ({
      id: term.id,
      name: term.name,
      torque_Nm: torque,
    })),
    startTotal_Nm: start?.total ?? Number.NaN,
  };
}

/** A speed at which friction has fallen to its running value; the viscous part is left out of the curve [rad/s]. */
const fastEnoughForRunning = 1e3;

function startOf(sense: Sense): number {
  return sense === "opening" ? 0 : openings - 1;
}

function driveCurve(sample: ValveSample, train: RigidTrain): DriveCurve {
  const wanted = askedSpeed(sample, train, "opening");
  const closing = askedSpeed(sample, train, "closing");
  const noLoad = train.openCircuitVoltage / (train.torqueConstant * train.ratio);
  const speeds = Array.from({ length: speedPoints }, (_, j) => (noLoad * j) / (speedPoints - 1));
  return {
    standstill_Nm: availableTorque(train, 0),
    atWantedSpeed_Nm: wanted === undefined ? undefined : availableTorque(train, wanted),
    wantedSpeed_rad_s: wanted,
    atWantedClosingSpeed_Nm: closing === undefined ? undefined : availableTorque(train, closing),
    worstPoint: worstPoint(sample, train, "nasa"),
    worstMotorisation: worstPoint(sample, train, "ecss"),
    speed_rad_s: speeds,
    available_Nm: speeds.map((speed) => availableTorque(train, speed)),
    motor: {
      ratio: train.ratio,
      torqueConstant_Nm_A: train.torqueConstant,
      currentLimit_A: Number.isFinite(train.currentLimit) ? train.currentLimit : undefined,
      openCircuitVoltage_V: train.openCircuitVoltage,
      noLoadSpeed_rad_s: train.openCircuitVoltage / train.torqueConstant,
      resistance_Ohm: train.resistance + train.supplyResistance,
    },
  };
}

function history(plan: Plan, sample: ValveSample, train: RigidTrain, sense: Sense): StrokeHistory {
  const path = new StrokePath();
  const { stroke, times } = strokeOf(plan, sample, train, sense, flowMark(sample, sense), {
    path,
    tolerance: nominalTolerance,
  });
  const end = shownUntil(stroke);
  const hasFailed = isDone(stroke, sense, train.travel) === false;
  const time = Array.from({ length: historyPoints }, (_, j) => (end * j) / (historyPoints - 1));
  const angle = new Float64Array(historyPoints);
  const speed = new Float64Array(historyPoints);
  const current = new Float64Array(historyPoints);
  path.sample(time, angle, speed, current);
  return {
    sense,
    outcome: stroke.outcome,
    stall:
      stroke.stall === undefined
        ? undefined
        : { angle_rad: stroke.stall.angle, lackingTorque_Nm: stroke.stall.lackingTorque },
    times_s: Object.fromEntries(
      timeDefinitions.flatMap(({ id }, j) => {
        const value = times[j] ?? Number.NaN;
        return hasFailed || Number.isNaN(value) ? [] : [[id, value]];
      }),
    ),
    time_s: time,
    angle_rad: [...angle],
    speed_rad_s: [...speed],
    current_A: [...current],
    supplyVoltage_V: Array.from(current, (i, j) => supplyVoltage(train, i, speed[j] ?? 0)),
    massFlow_kg_s: Array.from(angle, (a) => flowAt(sample, a)),
    peakCurrent_A: stroke.peakCurrent,
    peakSpeed_rad_s: stroke.peakSpeed,
    impactSpeed_rad_s: stroke.impactSpeed,
    lowestSupplyVoltage_V: stroke.lowestSupplyVoltage,
    ledger: stroke.ledger,
  };
}

/** A stalled stroke is shown this long [s]. */
const shownStall = 1;

function shownUntil({ outcome, arrival, end }: Stroke): number {
  if (outcome === "arrived") return arrival ?? end;
  return outcome === "stalled" ? Math.min(end, shownStall) : end;
}

/** Quasi-steady mass flow at an opening [kg/s]. */
export function flowAt(sample: ValveSample, angle: number): number {
  const { angles, massFlow } = sample;
  const step = angles[1] ?? 1;
  const x = Math.min(Math.max(angle / step, 0), openings - 1);
  const j = Math.min(Math.floor(x), openings - 2);
  const low = massFlow[j] ?? 0;
  return low + (x - j) * ((massFlow[j + 1] ?? 0) - low);
}

function ceilings(plan: Plan, sample: ValveSample, train: RigidTrain, definition: string): Ceilings {
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  const mark = flowMark(sample, "opening");
  return ceilingsOf(train, (changed) => {
    const { stroke, times } = strokeOf(plan, sample, changed, "opening", mark);
    return isDone(stroke, "opening", changed.travel) === false ? Number.NaN : (times[index] ?? Number.NaN);
  });
}

function ratio(sample: ValveSample, train: RigidTrain): Nominal["ratio"] {
  const current = standstillCurrent(
    train.openCircuitVoltage,
    (train.resistance + train.supplyResistance) as Resistance,
    train.currentLimit,
  );
  const factor = lowestRatioFactor(
    (train.torqueConstant * current) as Torque,
    train.motorFriction,
    breakawayTorque(sample),
    sample.stages(),
  );
  return { present: train.ratio, lowest: factor === undefined ? undefined : train.ratio * factor };
}
