export { burntAtOnce, type Chamber, fillingTime, throatFunction } from "./chamber.js";
export { type Engine, type EngineRun, type EngineTrace, followEngine, type SideRun } from "./run.js";
export type { OpeningTrace, Pressurant, StartSide } from "./side.js";
