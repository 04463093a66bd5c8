export type { MissingRow, PropertyGroup, PropertyRow, SubstanceAnswer } from "./answer.js";
export { thermalConductivity } from "./conductivity.js";
export { type Expansion, isentropicExpansion } from "./expansion.js";
export { type Fluid, fluid, fluidNames, isFluidName } from "./fluid.js";
export { fluidAnswer } from "./fluidAnswer.js";
export { type InletLiquid, type InletState, inletLiquid, inletNames } from "./inletLiquid.js";
export { type Isochore, type IsochorePoint, isochore } from "./isochore.js";
export { homogeneousPressure, type PressureWithDerivatives } from "./isotherm.js";
export { type CorrelatedLiquid, correlatedLiquid, liquidNames } from "./liquid.js";
export { liquidAnswer } from "./liquidAnswer.js";
export { readLiquidFile } from "./liquidFile.js";
export { type LiquidState, liquidEvenSuperheated, liquidSpinodal, type Spinodal } from "./metastable.js";
export { type Saturation, saturationAtPressure, saturationAtTemperature } from "./saturated.js";
export { saturationTemperature, vapourPressure } from "./saturation.js";
export { isSolidName, type Solid, solid, solidNames, solidOf } from "./solid.js";
export { solidAnswer } from "./solidAnswer.js";
export { readSolidFile, type SolidFile, solidFileIn, solidFileKeys } from "./solidFile.js";
export {
  contraction,
  contractionValue,
  propertyRange,
  type SolidQuantity,
  type SolidValue,
  solidDensity,
  solidIntegral,
  solidMean,
  solidProperty,
  solidQuantities,
} from "./solidProperty.js";
export type { FluidState, HomogeneousState, Phase, TwoPhaseState } from "./state.js";
export {
  liquidAtPressureTemperature,
  pressureAt,
  speedOfSound,
  stateAtPressureTemperature,
  stateAtTemperatureDensity,
} from "./stateAt.js";
export { stateAtPressureEnthalpy, stateAtPressureEntropy } from "./stateAtPressure.js";
export { substanceAnswer, type WantedCondition } from "./substanceAnswer.js";
export { surfaceTension } from "./surfaceTension.js";
export { FluidTable, fluidTable, type TableRange } from "./table.js";
export { viscosity } from "./viscosity.js";
