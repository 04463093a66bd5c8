export { alignClocks } from "./align.js";
export { alignmentMethods, type ClockAlignment } from "./alignment.js";
export { joinLogs } from "./merge.js";
