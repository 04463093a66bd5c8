/** Holding a part opening: without power, after a loss of power, and under a position loop. */
export { type BackwardGears, backDriveTorque, turningShare } from "./backDriving.js";
export { type CoastingTrain, type CoastRegime, coastAngle } from "./coasting.js";
export { type HoldSettings, type Hunting, holdLoop, huntingOf } from "./holdLoop.js";
export { type ElasticLink, positionUncertainty, stiffnessAtStem } from "./position.js";
