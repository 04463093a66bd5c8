/** For `src/node`; what others import of the library is coldturn.ts. */
export type { ValvePrediction } from "./answer.js";
export type { PredictingManner } from "./manner.js";
export { OpenValve } from "./openValve.js";
export { optionsOf } from "./options.js";
export { toldPrediction } from "./told.js";
export type { Valve } from "./valve.js";
