export {
  type EventId,
  eventIds,
  type TimeDefinition,
  type TimeDefinitionId,
  timeDefinitions,
} from "./definitions.js";
export { type EnergyLedger, type LedgerEntryId, ledgerEntries } from "./ledger.js";
export { angleLoad, loadAt, nodeValue } from "./load.js";
export { StrokePath } from "./path.js";
export {
  type LoopSettings,
  leastMoveTime,
  type ProfileKind,
  positionController,
  profilePoint,
  type SetPoint,
} from "./profile.js";
export {
  arrivalBand,
  type CurrentController,
  runStroke,
  type Stall,
  type Stroke,
  type StrokeOrder,
} from "./stroke.js";
export { batteryCurrent } from "./supply.js";
export type { AngleLoad, Regime, RigidTrain } from "./train.js";
