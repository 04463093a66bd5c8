export { gapRemaining, interferenceRemaining, preloadRatio } from "./chain.js";
export { type BoltedJoint, boltForce, ringContactStress } from "./joint.js";
