export {
  type AssembledTrain,
  assembleTrain,
  type Detail,
  type ElementKind,
  type StageParts,
  type TorqueElement,
  type TrainParts,
} from "./assemble.js";
export { energyPeak } from "./energyPeak.js";
export { type ChainEntryId, type ChainLedger, chainEntries } from "./ledger.js";
export type { LinkPeaks, ShockCause, TorquePeak } from "./record.js";
export { type ChainController, type ChainOrder, type ChainRun, type ChainState, runChain } from "./run.js";
export { startBound } from "./startBound.js";
export { type SteadyMotion, steadyState } from "./steady.js";
export { stemInertia, stemStiffness } from "./swing.js";
export type { Body, CompliantTrain, EndStop, Link, LoadCurves } from "./train.js";
