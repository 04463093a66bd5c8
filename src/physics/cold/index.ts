export { gapRemaining, interferenceRemaining, preloadRatio } from "./chain.js";
export { type Coolant, coolantAt, coolantBetween } from "./coolant.js";
export {
  type CoolDownCase,
  type CoolDownMoment,
  type CoolingLink,
  type CoolingPart,
  coolDown,
} from "./coolDown.js";
export { type BoltedJoint, boltForce, ringContactStress } from "./joint.js";
export { SolidHeat } from "./solidHeat.js";
export { asPublished, type CorrelationFactors } from "./wettedWall.js";
