export { type Bounds, parseQuantity } from "./bounds.js";
export {
  type Constant,
  referenceWaterDensity,
  standardAtmosphere,
  standardGravity,
  stefanBoltzmann,
  vacuumPermeability,
  zeroCelsius,
} from "./constants.js";
export { type DeclaredOptions, parseDeclared } from "./declaration.js";
export { type Declared, isKnown, type NotKnown } from "./declared.js";
export { type Dimension, dimensions } from "./dimension.js";
export { requireAtLeastOne, requireNotNegative, requirePositive, requireShare } from "./domain.js";
export { unitNames } from "./grammar.js";
export { type Law, lawDeviation, lawInterval, type Origin, origins } from "./law.js";
export { readUnit, unitDimensions } from "./names.js";
export { formatNumber, type NumberStyle } from "./number.js";
export { formatQuantity, formatUncertain, preferredUnit, type QuantityStyle } from "./printing.js";
export type {
  Angle,
  AngularAcceleration,
  AngularDamping,
  AngularSpeed,
  AngularStiffness,
  Area,
  Conductivity,
  Current,
  Density,
  Energy,
  FlowCoefficient,
  Force,
  HeatCapacity,
  Inductance,
  Inertia,
  KinematicViscosity,
  Length,
  Mass,
  MassFlow,
  MolarDensity,
  Power,
  Pressure,
  PressureDifference,
  Resistance,
  Si,
  SpecificEnergy,
  SpecificEntropy,
  Speed,
  Stress,
  StressIntensity,
  SurfaceTension,
  Temperature,
  TemperatureDifference,
  ThermalResistance,
  Time,
  Torque,
  TorqueConstant,
  Viscosity,
  Voltage,
  Volume,
  VolumeFlow,
} from "./si.js";
export { fromSi, type ReadingOptions, toSi, type Unit } from "./unit.js";
export { type UnitRow, units } from "./units.js";
