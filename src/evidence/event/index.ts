export { type Clock, type Detection, detectEvents, type EventChannels, type EventOptions } from "./detect.js";
export type { DetectedEvent, EventChannel, FoundEvent, MissingEvent, MovedByHand } from "./event.js";
export type { Instant } from "./instant.js";
export { type EventMove, moveEvent } from "./move.js";
export { type StrokeWindow, strokeWindows } from "./split.js";
export { openingTimes, type StrokeTime } from "./times.js";
