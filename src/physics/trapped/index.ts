export {
  type ClosedVolume,
  type TrappedFluid,
  type TrappedState,
  timeToPressure,
  trappedFluid,
  trappedStateAt,
  type WarmedPressure,
  warmedPressure,
} from "./closedVolume.js";
export {
  equilibriumFlux,
  type NeededOpening,
  neededOpening,
  type Venting,
  ventedRise,
} from "./outflow.js";
export {
  boilOff,
  expansionFlow,
  gasReliefArea,
  isoDerating,
  liquidReliefArea,
  nozzleFunction,
  type ReliefCoefficients,
  type ReliefGas,
} from "./relief.js";
