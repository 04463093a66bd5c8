export { alignClocks, type ClockAlignment, joinLogs } from "./clock/index.js";
export type { DetectedEvent } from "./event/index.js";
export {
  blankNotices,
  type Calibration,
  type ChannelFacts,
  type ChannelMapping,
  type Conversion,
  calibrationNotices,
  canFall,
  cellsIn,
  channelHead,
  channelUncertainties,
  dateOf,
  decodeText,
  delimiters,
  doubtedSense,
  doubtsFrom,
  doubtsOf,
  endPart,
  evenTime,
  evenWithin,
  fewestEven,
  groupNotices,
  type Inspection,
  inspectLines,
  inspectLog,
  isKnown,
  isOddRun,
  judgedSense,
  knownBehind,
  type Log,
  type LogPlan,
  layTable,
  levelOf,
  linesOf,
  lively,
  type Mapping,
  type Moves,
  missingReason,
  movesOf,
  oddColumnsIn,
  type PlannedChannel,
  plainCell,
  planLog,
  planNotices,
  type Rejected as RejectedCell,
  type RoleId,
  readCalibration,
  readingBehind,
  readingInSi,
  readLog,
  readMapping,
  readReading,
  roleIds,
  type SensedMapping,
  type StoredHead,
  sentinelNotice,
  sentinelsBeyond,
  settleRows,
  sourceDifferences,
  sourceOf,
  sourceWords,
  stillFrom,
  timeReason,
  widthReason,
} from "./log/index.js";
export {
  type BenchTest,
  type BenchValue,
  benchTest,
  type NextTests,
  nextTests,
  type RatedTest,
} from "./next/index.js";
export {
  type Comparison,
  compare,
  coverageFactor,
  type Finding,
  numericalShare,
  uselessShare,
} from "./reconcile/compare.js";
export { findingAgainst } from "./reconcile/finding.js";
export { beforeFits, fittedTo, fittedWithoutStanding } from "./reconcile/fitted.js";
export { grantedWords } from "./reconcile/granted.js";
export {
  changedFieldsWords,
  type HeldAsTested,
  type HeldPrediction,
  heldFromBand,
} from "./reconcile/held.js";
export type { OpenDirection } from "./reconcile/identify.js";
export {
  type JointInput,
  type JointReconciliation,
  type JointRun,
  jointRefusals,
  reconcileJointly,
  updateJointly,
} from "./reconcile/joint.js";
export {
  historyPoints,
  type LoggedChannel,
  type MeasuredHistory,
  type MeasuredStroke,
  type MeasuredTime,
  thinned,
} from "./reconcile/measured.js";
export type { HistoryOverlay } from "./reconcile/overlay.js";
export type { FittedRun } from "./reconcile/parameters.js";
export {
  type ChainAnswer,
  type ChainRequest,
  ChainRunner,
  type ChainsRunner,
  mostChainSteps,
  type PosteriorProblem,
  samplePosterior,
} from "./reconcile/posterior.js";
export type { PosteriorSummary } from "./reconcile/posteriorSummary.js";
export { type Proposal, proposalsFor, proposalsOf } from "./reconcile/proposal.js";
export { type Reconciliation, reconcile } from "./reconcile/reconcile.js";
export type { LedgerLine, TimeLedger } from "./reconcile/share.js";
export {
  type DeclaredRank,
  type FittedCorrelation,
  fittedCorrelations,
  isPair,
  togetherIn,
} from "./reconcile/together.js";
export { type ConfusedPair, type UpdatedInput, untouchedNarrowing } from "./reconcile/updated.js";
export {
  type FrictionSplit,
  leakReference,
  type Reduced,
  type ReducedQuantity,
  type Reduction,
  reduceRun,
  type TorqueComparison,
} from "./reduce/index.js";
export { atRest } from "./run/atRest.js";
export { type ChannelLog, strokeChannels } from "./run/channels.js";
export { measureStroke, type StrokeChannels, type StrokeMeasurement } from "./run/measure.js";
export { withMove } from "./run/moveInRun.js";
export {
  clocksOf,
  type FurtherFile,
  type OriginalFile,
  originalsOf,
  type RunRecord,
  readRun,
  runText,
} from "./run/runFile.js";
export {
  atTestedConditions,
  type TestedCondition,
  type TestedLog,
} from "./run/testedConditions.js";
export {
  type ScheduleForm,
  type ScheduleTable,
  scheduleTable,
  scheduleText,
  type VerifiedSchedule,
  verifySchedule,
} from "./schedule/index.js";
export { historyOf, type PastEvent, type PastRun } from "./seal/history.js";
export {
  canonicalJson,
  changedSince,
  heldFromSeal,
  newestBefore,
  openSealed,
  type SealedContent,
  type SealedInput,
  type SealedPrediction,
  type SealedStroke,
  type Sha256,
  sealedText,
  sealPrediction,
} from "./seal/seal.js";
export { type SealedFinding, sealedFindingOf } from "./seal/sealedFinding.js";
export { isNestedDeeply } from "./seal/sealedShape.js";
export { withSealedValues } from "./seal/sealedValues.js";
export { type Series, type SeriesReport, seriesOf } from "./series/index.js";
