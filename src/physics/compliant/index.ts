export { energyPeak } from "./energyPeak.js";
export { type ChainEntryId, type ChainLedger, chainEntries } from "./ledger.js";
export type { LinkPeaks, ShockCause, TorquePeak } from "./record.js";
export { type ChainController, type ChainOrder, type ChainRun, type ChainState, runChain } from "./run.js";
export { stemInertia, stemRatio, stemStiffness } from "./swing.js";
export type { Body, CompliantTrain, EndStop, Link, LoadCurves } from "./train.js";
