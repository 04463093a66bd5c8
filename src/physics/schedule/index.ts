/** Schedules: from a wanted history of the flow to openings that a drive can follow. */
export { type FlowMove, historyOf, historyThrough, type WantedHistory } from "./history.js";
export {
  type Demand,
  type DriveLimits,
  demandOf,
  type NoSchedule,
  type Schedule,
  type SenseLimits,
  scheduleOf,
} from "./limit.js";
export { type FlowTable, flowAtOpening, openingForFlow } from "./linearise.js";
