export { alignmentMethods, type ClockAlignment, onRunClock } from "./alignment.js";
