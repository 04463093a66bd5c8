/**
 * The library: what `import ... from "coldturn"` gives, in Node and in a browser. Small on purpose: what
 * stands here keeps its meaning as docs/releases.md promises, whatever moves behind it.
 */
export type {
  Answer,
  Check,
  CheckFrame,
  Driver,
  FailedCheck,
  Gap,
  KnownCheck,
  Limit,
  Probability,
  Table,
  UnknownCheck,
  UsedDefault,
  ValvePrediction,
  Verdict,
} from "./answer.js";
export { type Fault, faultText, isRefusal, type Notice, type Place, type RefusedInput } from "./fault.js";
export {
  type LoggedChannel,
  type LoggedStroke,
  readStroke,
  type StrokeEvent,
  type StrokeTime,
} from "./log.js";
export type { PredictingManner } from "./manner.js";
export { modelVersion } from "./model.js";
export type { Picture } from "./picture.js";
export { predictValve } from "./predict.js";
export {
  type Condition,
  type Property,
  type PropertyGroup,
  properties,
  type SubstanceProperties,
} from "./property.js";
export { dimensionNames, type PrintingManner, quantityText, type ReadingManner, toSi } from "./quantity.js";
export {
  blankValveFile,
  editValveFile,
  readValve,
  type ValueEdit,
  type Valve,
  type ValveSurroundings,
  valveFileSchema,
} from "./valve.js";
