export { alignClocks } from "./align.js";
export { alignmentMethods, type ClockAlignment, onRunClock } from "./alignment.js";
export { joinLogs } from "./merge.js";
