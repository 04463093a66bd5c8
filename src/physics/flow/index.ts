export { type CavitationState, cavitationState } from "./cavitation.js";
export {
  type CharacteristicPoint,
  characteristicNotices,
  coefficientsOverAngles,
  type GeometricCharacteristic,
  geometricCharacteristic,
  geometricCoefficientsOverAngles,
  type InherentCharacteristic,
  tableCharacteristic,
  throatRatiosOverAngles,
} from "./characteristic.js";
export {
  type FlowSlope,
  flowStep,
  type InstalledValve,
  installedFlowSlope,
  installedMassFlow,
} from "./controllability.js";
export {
  combinedRecoveryFactor,
  concentricReducers,
  noFittings,
  type PipingFactors,
  pipingGeometryFactor,
} from "./fittings.js";
export { type GasFlowState, gasFlow } from "./gas.js";
export {
  type InstalledFlow,
  type InstalledSystem,
  installedFlow,
  installedFlowOverAngles,
  withRisingBackPressure,
} from "./installed.js";
export { flowIntoChamber } from "./intoChamber.js";
export {
  chokedDrop,
  criticalPressureRatioFactor,
  type Liquid,
  type LiquidFlow,
  type LiquidFlowState,
  liquidFlow,
  type RequiredFlow,
  requiredFlowCoefficient,
} from "./liquid.js";
export {
  areaSeenAlongPipe,
  firstOpeningAngle,
  flatLensArea,
  type PortGeometry,
  sphericalLensArea,
  throatArea,
} from "./port.js";
export { type RecoveryCurve, type RecoveryPoint, recoveryCurve } from "./recovery.js";
export {
  boreVelocity,
  circleArea,
  darcyFrictionFactor,
  flowCoefficientOfLoss,
  lossOfFlowCoefficient,
  type MassFlowResistance,
  openBallLoss,
  pipeLoss,
  reducedBoreLoss,
  resistanceAtDensity,
  resistanceOfDrop,
  resistanceOfLoss,
  type TurbulentFrictionRow,
} from "./resistance.js";
export { turbulenceNotices, valveReynoldsNumber } from "./reynolds.js";
