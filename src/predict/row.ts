/** One row of a band: every figure of one sample. */
import { type HeatingDuty, peakWindingTemperature } from "../physics/drive/index.js";
import { criticalPressureRatioFactor } from "../physics/flow/index.js";
import type { RigidTrain, Stroke } from "../physics/motion/index.js";
import type { Energy, HeatCapacity, Power, Temperature, ThermalResistance, Time } from "../quantity/index.js";
import { columnIndex, columns } from "./columns.js";
import { isAnswerable, type Plan } from "./plan.js";
import { flowMark, strokeOf } from "./strokes.js";
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
    row[place.breakawayTorque] =
      (sample.breakaway[0] ?? 0) + sample.dwellTorqueAt(0) + (sample.fluidTorque[0] ?? 0);
    row[place.runningTorque] = greatestRunning(sample);
  }
  if (!isAnswerable(plan, "motion")) return;
  const train = sample.train();
  if (!wish.openingOnly) torqueFigures(sample, train, row);
  motionFigures(sample, train, row, wish);
}

function greatestRunning(sample: ValveSample): number {
  let greatest = 0;
  for (let j = 0; j < openings; j++) {
    greatest = Math.max(greatest, (sample.running[j] ?? 0) + (sample.fluidTorque[j] ?? 0));
  }
  return greatest;
}

function flowFigures(sample: ValveSample, row: Float64Array): void {
  const { plan, liquid } = sample;
  const { slots } = plan;
  const last = openings - 1;
  if (liquid === undefined) return;
  const open = sample.massFlow[last] ?? 0;
  row[place.massFlow] = open;
  row[place.valveDrop] = sample.drop[last] ?? 0;
  const radius = 0.5 * sample.at(slots.bore);
  row[place.boreVelocity] = open / liquid.density / (Math.PI * radius * radius);
  const duty = plan.dossier.valve.duty;
  const budget = duty?.largest_valve_drop?.value;
  const wanted = sample.at(slots.massFlow);
  if (budget !== undefined && wanted > 0) {
    const needed = wanted / Math.sqrt(liquid.density * budget);
    row[place.capacityMargin] = (sample.coefficient[last] ?? 0) / needed - 1;
  }
  const lowest = (duty?.throttle?.lowest?.value ?? 1) * Math.min(wanted > 0 ? wanted : open, open);
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  const step = smallestAngleStep(plan, sample);
  let choke = 0;
  let cavitation = 0;
  let flowStep = 0;
  for (let j = 1; j < openings; j++) {
    const flow = sample.massFlow[j] ?? 0;
    if (flow < lowest * operatingShare) continue;
    const drop = sample.drop[j] ?? 0;
    const inlet = sample.inlet[j] ?? 0;
    const FL = sample.recovery[j] ?? 1;
    choke = Math.max(choke, shareOf(drop, FL * FL * (inlet - FF * liquid.vapourPressure)));
    cavitation = Math.max(cavitation, shareOf(drop, inlet - liquid.vapourPressure));
    const slope =
      (flow - (sample.massFlow[j - 1] ?? 0)) / ((sample.angles[j] ?? 0) - (sample.angles[j - 1] ?? 0));
    flowStep = Math.max(flowStep, slope * step);
  }
  row[place.chokeRatio] = choke;
  row[place.cavitationRatio] = cavitation / sample.at(slots.cavitationOnset);
  if (wanted > 0) row[place.flowStep] = flowStep / wanted;
}

/** A drop over what is there for it; infinite where the inlet boils, so that no limit counts as kept. */
function shareOf(drop: number, available: number): number {
  return available > 0 ? drop / available : Number.POSITIVE_INFINITY;
}

/** The wide-open point itself must count as operating whatever rounding does. */
const operatingShare = 1 - 1e-9;

/** Backlash at the stem plus the step of the position sensor; NaN where either is not known [rad]. */
function smallestAngleStep(plan: Plan, sample: ValveSample): number {
  const { drive } = plan.dossier.valve;
  const stages = drive?.stages;
  if (stages === undefined) return Number.NaN;
  let backlash = 0;
  let below = 1;
  for (let j = stages.length - 1; j >= 0; j--) {
    backlash += (stages[j]?.backlash?.value ?? Number.NaN) / below;
    below *= sample.at(plan.slots.stages[j]?.ratio ?? -1);
  }
  return backlash + (drive?.position_sensor?.resolution?.value ?? Number.NaN);
}

/** Greatest steady torque of the drive at the stem at a stem speed [N m]. */
export function availableTorque(train: RigidTrain, speed: number): number {
  const total = train.resistance + train.supplyResistance;
  const motorSpeed = train.ratio * speed;
  const byVoltage = (train.openCircuitVoltage - train.torqueConstant * motorSpeed) / total;
  const current = Math.min(byVoltage, train.currentLimit);
  return (
    (train.torqueConstant * current - train.motorDamping * motorSpeed - train.forward.friction) /
    train.forward.loadShare
  );
}

/** Mean stem speed that the opening limit asks for, or undefined without one [rad/s]. */
export function wantedSpeed(plan: Plan, travel: number, deadTime: number): number | undefined {
  const limit = plan.dossier.valve.duty?.open_within?.time?.value;
  return limit === undefined || limit <= deadTime ? undefined : travel / (limit - deadTime);
}

function torqueFigures(sample: ValveSample, train: RigidTrain, row: Float64Array): void {
  const { plan } = sample;
  const { nasa, ecss } = plan.rules;
  const { factors } = ecss;
  const standstill = availableTorque(train, 0);
  const wanted = wantedSpeed(plan, train.travel, train.deadTime);
  const moving = wanted === undefined ? Number.NaN : availableTorque(train, wanted);
  row[place.standstillTorque] = standstill;
  const breakaway = row[place.breakawayTorque] ?? Number.NaN;
  row[place.breakawayMargin] = standstill / breakaway - 1;
  const ice = sample.at(plan.slots.iceTorque);
  const magnetic = train.motorFriction / train.forward.loadShare;
  let running = Number.POSITIVE_INFINITY;
  let closing = Number.POSITIVE_INFINITY;
  let nasaMargin = Number.POSITIVE_INFINITY;
  let ecssMargin = Number.POSITIVE_INFINITY;
  for (let j = 0; j < openings; j++) {
    const atRest = j === 0 ? sample.dwellTorqueAt(0) + (sample.breakaway[0] ?? 0) : (sample.running[j] ?? 0);
    const flow = sample.fluidTorque[j] ?? 0;
    const available = j === 0 ? standstill : moving;
    running = Math.min(running, moving / Math.max((sample.running[j] ?? 0) + flow, tiny) - 1);
    // Closing without the flow's help: it can be absent. The start from open is a breakaway too.
    const toClose = j === openings - 1 ? (sample.breakaway[j] ?? 0) : (sample.running[j] ?? 0);
    closing = Math.min(closing, standstill / Math.max(toClose + Math.max(-flow, 0), tiny) - 1);
    for (const friction of [atRest, toClose]) {
      const help = friction === atRest ? flow : -flow;
      const resisting = friction + Math.max(help, 0);
      nasaMargin = Math.min(nasaMargin, available / Math.max(nasa.variable * resisting, tiny) - 1);
      const required =
        factors.overall *
        (factors.friction * (friction - ice) +
          factors.adhesion * ice +
          factors.other * Math.max(help, 0) +
          factors.magneticLosses * magnetic);
      // The drive's own friction is a component of the rule, so it is not taken off the torque as well.
      ecssMargin = Math.min(ecssMargin, (available + magnetic) / Math.max(required, tiny) - 1);
    }
  }
  row[place.runningMargin] = running;
  row[place.closingMargin] = closing;
  row[place.torqueMargin] = nasaMargin;
  row[place.motorisationMargin] = ecssMargin;
}

/** Stands for no resisting torque at all, where a margin would be infinite [N m]. */
const tiny = 1e-9;

function motionFigures(sample: ValveSample, train: RigidTrain, row: Float64Array, wish: RowWish): void {
  const { plan } = sample;
  const opening = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"));
  const { stroke } = opening;
  row[place.opens] = stroke.outcome === "arrived" ? 1 : 0;
  if (stroke.outcome === "arrived") {
    row.set(opening.times, place.opening);
    row.set(opening.path, place.opening + opening.times.length);
  }
  row[place.stallAngle] = stroke.stall?.angle ?? Number.NaN;
  row[place.lackingTorque] = stroke.stall?.lackingTorque ?? Number.NaN;
  row[place.peakCurrent] = stroke.peakCurrent;
  row[place.lowestVoltage] = stroke.lowestSupplyVoltage;
  row[place.ledgerResidual] = Math.abs(stroke.ledger.relativeResidual);
  if (wish.openingOnly) return;
  const closing = strokeOf(plan, sample, train, "closing", flowMark(sample, "closing"));
  row[place.closes] = closing.stroke.outcome === "arrived" ? 1 : 0;
  if (closing.stroke.outcome === "arrived") row.set(closing.times, place.closing);
  row[place.peakCurrent] = Math.max(stroke.peakCurrent, closing.stroke.peakCurrent);
  row[place.lowestVoltage] = Math.min(stroke.lowestSupplyVoltage, closing.stroke.lowestSupplyVoltage);
  row[place.ledgerResidual] = Math.max(
    row[place.ledgerResidual] ?? 0,
    Math.abs(closing.stroke.ledger.relativeResidual),
  );
  if (isAnswerable(plan, "heat")) row[place.windingTemperature] = windingTemperature(sample, train, stroke);
}

function windingTemperature(sample: ValveSample, train: RigidTrain, stroke: Stroke): number {
  const { slots } = sample.plan;
  const start = sample.at(slots.motorTemperature) as Temperature;
  const hold = Math.min(
    train.openCircuitVoltage / (train.resistance + train.supplyResistance),
    train.currentLimit,
  );
  const duty: HeatingDuty = {
    strokeEnergy: stroke.ledger.entries.copper as Energy,
    strokeTime: stroke.end as Time,
    stallLoss: (train.resistance * hold * hold) as Power,
    stallTime: sample.at(slots.stallHold) as Time,
    period: sample.at(slots.cyclePeriod) as Time,
    count: sample.at(slots.cycleCount),
  };
  const thermal = {
    windingHeatCapacity: sample.at(slots.windingHeatCapacity) as HeatCapacity,
    caseHeatCapacity: sample.at(slots.caseHeatCapacity) as HeatCapacity,
    windingToCase: sample.at(slots.windingToCase) as ThermalResistance,
    caseToAmbient: sample.at(slots.caseToAmbient) as ThermalResistance,
  };
  return peakWindingTemperature(thermal, { winding: start, case: start }, start, duty);
}
