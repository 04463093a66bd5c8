export {
  type EventId,
  eventIds,
  type TimeDefinition,
  type TimeDefinitionId,
  timeDefinitions,
} from "./definitions.js";
export { type EnergyLedger, type LedgerEntryId, ledgerEntries } from "./ledger.js";
export { angleLoad, type LoadCurve, loadAt, nodeValue } from "./load.js";
export {
  arrivalBand,
  type CurrentController,
  type Stall,
  type Stroke,
  type StrokeOrder,
} from "./order.js";
export {
  followingController,
  type LoopGains,
  type LoopSettings,
  leastMoveTime,
  type ProfileKind,
  positionController,
  profilePoint,
  type SetPoint,
} from "./profile.js";
export { runStroke } from "./stroke.js";
export { StrokeBuffers } from "./strokeBuffers.js";
export { StrokePath } from "./strokePath.js";
export { batteryCurrent } from "./supply.js";
export type { AngleLoad, Regime, RigidTrain } from "./train.js";
