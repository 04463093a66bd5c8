/** One row of a band: every figure of one sample. */
import {
  type HeatingDuty,
  type MotorThermal,
  peakWindingTemperature,
  standstillCurrent,
  windingGrowth,
} from "../physics/drive/index.js";
import { circleArea } from "../physics/flow/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import type { Energy, Length, Power, Resistance, Temperature, Time } from "../quantity/index.js";
import { columnIndex, columns } from "./columns.js";
import { type MotorValues, motorValues } from "./driveParts.js";
import { availableTorque, breakawayTorque, greatestRunning, turningMargins } from "./margin.js";
import { lowestFlow, worstOperating } from "./operating.js";
import { isAnswerable } from "./plan.js";
import { flowMark, isDone, type Sense, type StrokeTimes, strokeOf } from "./strokes.js";
import { supplyVoltage } from "./supply.js";
import { openings, type ValveSample } from "./valveSample.js";

const at = (id: string) => columnIndex(id);
const place = {
  massFlow: at("mass-flow"),
  valveDrop: at("valve-drop"),
  capacityMargin: at("capacity-margin"),
  boreVelocity: at("bore-velocity"),
  chokeRatio: at("choke-ratio"),
  cavitationRatio: at("cavitation-ratio"),
  flowStep: at("flow-step"),
  breakawayTorque: at("breakaway-torque"),
  standstillTorque: at("standstill-torque"),
  breakawayMargin: at("breakaway-margin"),
  runningTorque: at("running-torque"),
  runningMargin: at("running-margin"),
  closingMargin: at("closing-margin"),
  torqueMargin: at("torque-margin"),
  motorisationMargin: at("motorisation-margin"),
  opens: at("opens"),
  opening: at("opens") + 1,
  stallAngle: at("stall-angle"),
  lackingTorque: at("lacking-torque"),
  closes: at("closes"),
  closing: at("closes") + 1,
  peakCurrent: at("peak-current"),
  lowestVoltage: at("lowest-voltage"),
  windingTemperature: at("winding-temperature"),
  ledgerResidual: at("ledger-residual"),
} as const;

/** Numbers in a row. */
export const rowWidth = columns.length;

export interface RowWish {
  /** Leaves out the figures that only the whole band needs: closing, margins, heat. */
  readonly openingOnly: boolean;
}

/** Fills a row with the figures of the sample's present values. */
export function fillRow(sample: ValveSample, row: Float64Array, wish: RowWish): void {
  const { plan } = sample;
  row.fill(Number.NaN);
  if (!isAnswerable(plan, "flow")) return;
  sample.updateFlow();
  if (!wish.openingOnly) flowFigures(sample, row);
  if (!isAnswerable(plan, "torque")) return;
  sample.updateTorque();
  if (!wish.openingOnly) {
    row[place.breakawayTorque] = breakawayTorque(sample);
    row[place.runningTorque] = greatestRunning(sample);
  }
  if (!isAnswerable(plan, "motion")) return;
  const train = sample.train();
  if (!wish.openingOnly) torqueFigures(sample, train, row);
  motionFigures(sample, train, motorValues(sample), row, wish);
}

function flowFigures(sample: ValveSample, row: Float64Array): void {
  const { plan, liquid } = sample;
  const { slots } = plan;
  const last = openings - 1;
  if (liquid === undefined) return;
  const open = sample.massFlow[last] ?? 0;
  row[place.massFlow] = open;
  row[place.valveDrop] = sample.drop[last] ?? 0;
  row[place.boreVelocity] =
    Math.abs(open) / liquid.density / circleArea((0.5 * sample.at(slots.bore)) as Length);
  const budget = plan.dossier.valve.duty?.largest_valve_drop?.value;
  const wanted = sample.at(slots.massFlow);
  if (budget !== undefined && wanted > 0) {
    const needed = wanted / Math.sqrt(liquid.density * budget);
    row[place.capacityMargin] = (sample.coefficient[last] ?? 0) / needed - 1;
  }
  operatingFigures(sample, row, liquid);
}

/**
 * The worst of choking, cavitation and metering over the operating openings: those that pass at least
 * the lowest throttled share of the wanted flow, or of what the open valve passes if that is less;
 * without throttling wide open alone. Flow from behind counts by its magnitude.
 */
function operatingFigures(
  sample: ValveSample,
  row: Float64Array,
  liquid: NonNullable<ValveSample["liquid"]>,
): void {
  const { plan } = sample;
  const wanted = sample.at(plan.slots.massFlow);
  const lowest = lowestFlow(sample);
  const worst = worstOperating(sample, liquid, lowest);
  const isThrottled = plan.dossier.valve.duty?.throttle?.lowest !== undefined;
  let slope = Number.isNaN(lowest) ? Number.NaN : 0;
  for (let j = isThrottled ? 1 : openings - 1; j < openings; j++) {
    const flow = Math.abs(sample.massFlow[j] ?? 0);
    if (!(flow > 0) || flow < lowest) continue;
    const before = Math.abs(sample.massFlow[j - 1] ?? 0);
    slope = Math.max(
      slope,
      Math.abs(flow - before) / ((sample.angles[j] ?? 0) - (sample.angles[j - 1] ?? 0)),
    );
  }
  row[place.chokeRatio] = worst.choke.ratio;
  row[place.cavitationRatio] = worst.cavitation.ratio / sample.at(plan.slots.cavitationOnset);
  if (wanted > 0) row[place.flowStep] = (slope * smallestAngleStep(sample)) / wanted;
}

/**
 * Backlash at the stem plus the step of the position sensor; NaN where either is not known. Each
 * stage's backlash is at its output, and the stages behind it divide it [rad].
 */
function smallestAngleStep(sample: ValveSample): number {
  const { stages, sensorResolution } = sample.plan.slots;
  let backlash = 0;
  let below = 1;
  for (let j = stages.length - 1; j >= 0; j--) {
    const stage = stages[j];
    if (stage === undefined) continue;
    backlash += sample.at(stage.backlash) / below;
    below *= sample.at(stage.ratio);
  }
  return backlash + sample.at(sensorResolution);
}

function torqueFigures(sample: ValveSample, train: RigidTrain, row: Float64Array): void {
  const margins = turningMargins(sample, train);
  row[place.standstillTorque] = availableTorque(train, 0);
  row[place.breakawayMargin] = margins.breakaway;
  row[place.runningMargin] = margins.running;
  row[place.closingMargin] = margins.closing;
  row[place.torqueMargin] = margins.nasa;
  row[place.motorisationMargin] = margins.ecss;
}

/**
 * Fills the figures of margins and strokes of a row, those of a whole band.
 * @param sample  after `updateTorque`; it need not be the one whose drive the train has
 * @param motor   of the train
 */
export function fillDriveFigures(
  sample: ValveSample,
  train: RigidTrain,
  motor: MotorValues,
  row: Float64Array,
): void {
  torqueFigures(sample, train, row);
  motionFigures(sample, train, motor, row, { openingOnly: false });
}

function motionFigures(
  sample: ValveSample,
  train: RigidTrain,
  motor: MotorValues,
  row: Float64Array,
  wish: RowWish,
): void {
  const { plan } = sample;
  const opening = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"));
  const { stroke } = opening;
  row[place.opens] = doneFigure(opening, "opening", train);
  if (row[place.opens] !== 0) {
    row.set(opening.times, place.opening);
    row.set(opening.path, place.opening + opening.times.length);
  }
  row[place.stallAngle] = stroke.stall?.angle ?? Number.NaN;
  row[place.lackingTorque] = stroke.stall?.lackingTorque ?? Number.NaN;
  row[place.peakCurrent] = stroke.peakCurrent;
  const held = voltageAtStop(train);
  row[place.lowestVoltage] = Math.min(stroke.lowestSupplyVoltage, held);
  row[place.ledgerResidual] = Math.abs(stroke.ledger.relativeResidual);
  if (wish.openingOnly) return;
  const closing = strokeOf(plan, sample, train, "closing", flowMark(sample, "closing"));
  row[place.closes] = doneFigure(closing, "closing", train);
  if (row[place.closes] !== 0) row.set(closing.times, place.closing);
  row[place.peakCurrent] = Math.max(stroke.peakCurrent, closing.stroke.peakCurrent);
  row[place.lowestVoltage] = Math.min(stroke.lowestSupplyVoltage, closing.stroke.lowestSupplyVoltage, held);
  row[place.ledgerResidual] = Math.max(
    row[place.ledgerResidual] ?? 0,
    Math.abs(closing.stroke.ledger.relativeResidual),
  );
  if (isHeatKnown(sample, motor.thermal))
    row[place.windingTemperature] = windingTemperature(
      sample,
      train,
      motor.thermal,
      hotter(opening, closing),
    );
}

/** Whether duty and motor say all that the winding's temperature takes. */
function isHeatKnown(sample: ValveSample, thermal: MotorThermal): boolean {
  const { cyclePeriod, cycleCount, stallHold } = sample.plan.slots;
  const duty = [cyclePeriod, cycleCount, stallHold].map((slot) => sample.at(slot));
  return [...duty, ...Object.values(thermal)].every((value) => !Number.isNaN(value));
}

/** 1 for a stroke that did what it was for, 0 for one that did not, NaN for one not followed far enough. */
function doneFigure({ stroke }: StrokeTimes, sense: Sense, { travel }: RigidTrain): number {
  const done = isDone(stroke, sense, travel);
  return done === undefined ? Number.NaN : Number(done);
}

/** Current with the rotor held, after the driver's limit: min(V/R, limit), supply included. */
function heldCurrent(train: RigidTrain) {
  return standstillCurrent(
    train.openCircuitVoltage,
    (train.resistance + train.supplyResistance) as Resistance,
    train.currentLimit,
  );
}

/**
 * Voltage at the driver while the drive pushes at full command against the stop [V]. A driver that
 * limits the current chops: the battery then gives no more than the winding's power asks for.
 */
function voltageAtStop(train: RigidTrain): number {
  return supplyVoltage(train, heldCurrent(train), 0);
}

/** The stroke that leaves more heat in the winding. */
function hotter(a: StrokeTimes, b: StrokeTimes): StrokeTimes {
  return b.stroke.ledger.entries.copper > a.stroke.ledger.entries.copper ? b : a;
}

/**
 * Highest winding temperature over the duty, every stroke as this one. A drive that stalls is cut
 * after the hold: up to the last angle it is known to have passed, and for the hold, it is counted
 * with the loss at standstill, which is the greatest. The load sets the current of a stroke, so its loss
 * grows with the resistance; held, the loss grows under a current limit and is kept where the voltage
 * sets the current, which only falls as the winding warms.
 */
function windingTemperature(
  sample: ValveSample,
  train: RigidTrain,
  thermal: MotorThermal,
  { stroke, times, path }: StrokeTimes,
): number {
  const { slots } = sample.plan;
  const start = sample.at(slots.motorTemperature) as Temperature;
  const current = heldCurrent(train);
  const stallLoss = (train.resistance * current * current) as Power;
  const moved = Math.max(0, ...[...times, ...path].filter((time) => time > 0));
  const isStalled = stroke.outcome === "stalled";
  const growth = windingGrowth(start);
  const heldGrowth = current < train.currentLimit ? 0 : growth;
  const duty: HeatingDuty = {
    strokeEnergy: isStalled ? ((stallLoss * moved) as Energy) : (stroke.ledger.entries.copper as Energy),
    strokeTime: isStalled ? (moved as Time) : stroke.end,
    stallLoss,
    stallTime: sample.at(slots.stallHold) as Time,
    strokeGrowth: isStalled ? heldGrowth : growth,
    stallGrowth: heldGrowth,
    period: sample.at(slots.cyclePeriod) as Time,
    count: sample.at(slots.cycleCount),
  };
  return peakWindingTemperature(thermal, { winding: start, case: start }, start, duty);
}
