/** Water hammer: waves in a branched line, and an empty one that fills. */

export { shearDecay, unsteadyCoefficient } from "./friction.js";
export { type EmptyLine, type EmptyPipe, nozzleFlow } from "./front.js";
export {
  areaOf,
  asOnePipe,
  type Fitting,
  gridWith,
  impedance,
  type LineGrid,
  type LineLiquid,
  type LineLoss,
  type LineNetwork,
  type LinePipe,
  type LineValve,
  lineGrid,
  pipeResistance,
} from "./network.js";
export { type Filled, type Filling, fill, flashed } from "./priming.js";
export {
  type EmptyBehind,
  type LineHistory,
  type LineOrder,
  type LineRun,
  type LineStation,
  LineWaves,
  runLine,
  type ValveLaw,
} from "./run.js";
export type { CavityModel } from "./sections.js";
export { type SteadyLine, steadyLine } from "./steady.js";
export { sweep } from "./sweep.js";
export {
  criticalTime,
  type FreeGas,
  joukowskyRise,
  type PipeWall,
  type Reach,
  type Restraint,
  restraints,
  waveSpeed,
} from "./waveSpeed.js";
