/** Schedules: from a wanted history of the flow to openings that a drive can follow. */
export { brakedSpeed, type FollowLimits, type FollowSense, followed, type Missed, missedRows } from "./follow.js";
export { type FlowMove, historyOf, historyThrough, type MoveShape, moveShare, type WantedHistory } from "./history.js";
export { type FlowTable, flowAtOpening, openingForFlow } from "./linearise.js";
