export {
  compressionTemperature,
  type Ignition,
  idealCompressionTemperature,
  usableAutoignition,
} from "./compression.js";
export { type Kindling, meltedShare } from "./kindling.js";
export {
  type Condition,
  electricalArc,
  type Fact,
  friction,
  type Mechanism,
  mechanicalImpact,
  type Outcome,
  particleImpact,
  pneumaticCompression,
  promotedCombustion,
  resonance,
  screened,
  staticDischarge,
} from "./mechanism.js";
export { soundingSpeeds } from "./resonance.js";
export { collarPressure, pressureSpeed } from "./rubbing.js";
export {
  type Exemption,
  exemptionPressure,
  fastestJet,
  type LimitStretch,
  type OxygenJet,
  velocityLimit,
} from "./velocity.js";
