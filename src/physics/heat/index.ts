export { airAt, condensedAir } from "./air.js";
export {
  airCoefficient,
  crossFlowNusselt,
  horizontalCylinderNusselt,
  verticalPlateNusselt,
} from "./convection.js";
export { TemperatureCurve } from "./curve.js";
export {
  type ExtensionDesign,
  type ExtensionState,
  extensionAfter,
  type HeatAt,
  steadyExtension,
} from "./extension.js";
export { dewPoint, saturationOverIce, saturationOverWater, settlingPoint } from "./humidity.js";
export { LayeredTube, type Layers, type Surroundings, surfaceFlux } from "./surface.js";
export { type Pair, pairAfter, steadyPair, type TwoNodes } from "./twoNodes.js";
