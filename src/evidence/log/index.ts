export { type Calibration, calibrationNotices, readCalibration, type ScalePoint } from "./calibration.js";
export { doubtedSense, type Inspection, inspectLog } from "./inspect.js";
export type { Delimiter } from "./lines.js";
export {
  type ChannelMapping,
  type ColumnRef,
  type Mapping,
  readMapping,
  type TimeMapping,
} from "./mapping.js";
export { type Log, type LogChannel, type Rejected, readLog } from "./read.js";
export { type RoleId, roleIds } from "./roles.js";
export type { Column, Dialect, MetadataLine } from "./table.js";
export { type DecodedText, decodeText } from "./text.js";
export type { Occurrence, TimeFacts } from "./timeBase.js";
