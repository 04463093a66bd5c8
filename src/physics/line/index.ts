/** Water hammer: waves in a branched line, and an empty one that fills. */
export { shearDecay, unsteadyCoefficient } from "./friction.js";
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
export {
  type EmptyPipe,
  type Filled,
  type Filling,
  fill,
  flashed,
  type GasAhead,
  nozzleFlow,
} from "./priming.js";
export { type LineHistory, type LineOrder, type LineRun, LineWaves, runLine, type ValveLaw } from "./run.js";
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
