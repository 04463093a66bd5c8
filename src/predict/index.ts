export {
  type Band,
  type BandFigure,
  convergenceOf,
  meetingProbability,
  type Quantile,
  valuesOf,
} from "./band.js";
export { type BlockRequest, type BlockResult, blocksOf, runBlock } from "./block.js";
export type { BoundaryAnswer } from "./boundary.js";
export { type Ceilings, ceilingsOf } from "./ceiling.js";
export type { ColdAnswer } from "./cold.js";
export type { ColdChain } from "./coldChain.js";
export type { ColdCoupling } from "./coldCoupling.js";
export { type Column, columnIndex, columns } from "./columns.js";
export type { CoolDownAnswer } from "./coolDown.js";
export { closingDefinition, limitFaults, openingDefinition } from "./definition.js";
export {
  type DriverValues,
  type DriveValues,
  driverValues,
  type LoadValues,
  type MotorValues,
  motorValues,
  type SupplyValues,
  supplyValues,
  trainOf,
} from "./driveParts.js";
export type { InputEffect } from "./effect.js";
export type { HeatAnswer, WarmPart } from "./heat.js";
export { type HistoryBand, type HistoryChannel, historyBand } from "./historyBand.js";
export type { HoldingAnswer, HoldingFigure } from "./holding.js";
export { type Input, type InputSpace, lawQuantile, valuesAt } from "./inputs.js";
export { availableTorque, breakawayTorque, phaseFaults, turningMargins, type WorstPoint } from "./margin.js";
export {
  type DriveCurve,
  type FlowCurve,
  type Nominal,
  nominalOf,
  type StrokeHistory,
  type TorqueCurve,
  type TorqueLine,
} from "./nominal.js";
export { operatingFaults } from "./operating.js";
export { type Meanwhile, OwnAnswers, OwnMemory, predictWithOwn } from "./ownAnswers.js";
export { type OwnFigures, ownBand, ownProbability, samplesToShow, usualProbability } from "./ownBand.js";
export type { OxygenAnswer } from "./oxygen.js";
export {
  crackId,
  fatigueId,
} from "./pathSections.js";
export { isAnswerable, type Matter, type Medium, matters, type Plan, planFor } from "./plan.js";
export {
  type BlockRunner,
  defaultOptions,
  type Prediction,
  type PredictionOptions,
  predict,
  usableDefinition,
} from "./prediction.js";
export { Reads } from "./reads.js";
export { fillDriveFigures, fillRow, rowWidth } from "./row.js";
export type { FollowedSchedule, ScheduleAnswer, ScheduleHistory } from "./scheduleAnswer.js";
export type { ElementPeak, ShockAnswer, ShockEvent } from "./shock.js";
export { elementPath, type PeakCause, type ShockId } from "./shockPieces.js";
export type { TracedPiece } from "./shockTrace.js";
export type { ShownOpening, StartAnswer, StartRuns, TriedStart } from "./startAnswer.js";
export type { PathMaterial, StrengthAnswer } from "./strength.js";
export { flowMark, isDone, pathLevels, type Sense, strokeOf } from "./strokes.js";
export { supplyVoltage } from "./supply.js";
export { type SurgeAnswer, type SurgeRun, surgeFigure } from "./surgeAnswer.js";
export type { SurgePlace } from "./surgeLine.js";
export {
  capacityFigure,
  flawFigure,
  type LoadId,
  largestCurrentFigure,
  leastCurrentFigure,
  leastFlawFigure,
  leastLifeFigure,
  lifeFigure,
  marginFigure,
  type PathElement,
  roomFigure,
  useFigure,
} from "./torquePath.js";
export type { TrappedAnswer, TrappedVolume } from "./trapped.js";
export { openings, ValveSample } from "./valveSample.js";
export { modelVersion } from "./version.js";
