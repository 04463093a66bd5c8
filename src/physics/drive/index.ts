export {
  backEfficiency,
  type GearRegime,
  type GearStage,
  type GearTrain,
  gearTrain,
  isSelfLocking,
  lowestRatioFactor,
  optimumRatio,
} from "./gears.js";
export {
  availableMotorTorque,
  type LinearRunUp,
  type MotorSupply,
  runUpConstants,
  standstillCurrent,
  torqueConstantAt,
  windingGrowth,
  windingLawRange,
  windingReference,
  windingResistance,
} from "./motor.js";
export {
  type HeatingDuty,
  type MotorTemperatures,
  type MotorThermal,
  peakWindingTemperature,
  temperaturesAfter,
} from "./thermal.js";
