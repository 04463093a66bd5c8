export type { FrictionPoint, FrictionSplit } from "./friction.js";
export { leakReference } from "./leak.js";
export type { Reduced, ReducedQuantity } from "./reduced.js";
export { type Reduction, type ReductionInput, reduceRun, type TorqueComparison } from "./reduceRun.js";
