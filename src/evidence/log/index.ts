export { type Calibration, calibrationNotices, readCalibration, type ScalePoint } from "./calibration.js";
export { doubtsFrom, doubtsOf } from "./doubt.js";
export { dateOf } from "./epoch.js";
export { type ChannelFacts, endPart, isOddRun, levelOf, lively, stillFrom } from "./facts.js";
export {
  doubtedSense,
  doubtsIn,
  type Inspection,
  inspectLines,
  inspectLog,
  sentinelNotice,
} from "./inspect.js";
export { cellsOf as cellsIn, type Delimiter, delimiters, linesOf } from "./lines.js";
export {
  type ChannelMapping,
  type ColumnRef,
  type Mapping,
  readMapping,
  type TimeMapping,
} from "./mapping.js";
export {
  blankNotices,
  channelHead,
  channelUncertainties,
  groupNotices,
  type Log,
  type LogChannel,
  type LogPlan,
  missingReason,
  oddColumnsIn,
  type PlannedChannel,
  plainCell,
  planLog,
  planNotices,
  type Rejected,
  readLog,
  readReading,
  type StoredHead,
  settleRows,
  timeReason,
  widthReason,
} from "./read.js";
export { type RoleId, roleIds } from "./roles.js";
export { type Conversion, readingInSi } from "./scale.js";
export { canFall, judgedSense, type Moves, movesOf, type SensedMapping } from "./sense.js";
export { isKnown, knownBehind, readingBehind, sentinelsBeyond } from "./sentinel.js";
export { type LogSource, sourceDifferences, sourceOf, sourceWords } from "./source.js";
export { type Column, type Dialect, layTable, type MetadataLine } from "./table.js";
export { type DecodedText, decodeText } from "./text.js";
export { evenTime, evenWithin, fewestEven, type Occurrence, type TimeFacts } from "./timeBase.js";
