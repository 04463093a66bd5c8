export { bearingTorque } from "./bearing.js";
export { type DwellPoint, dwellFactor } from "./dwell.js";
export {
  hydrodynamicTorque,
  type TorqueCoefficientPoint,
  torqueCoefficientCurve,
  torqueCoefficientsOverAngles,
} from "./hydrodynamic.js";
export { floatingSeatLoads, type SeatLoads, trunnionLoad, trunnionSeatLoads } from "./load.js";
export {
  type MarginFactors,
  type MotorisationFactors,
  type MotorisationTorques,
  motorisationMargin,
  motorisationTorque,
  motorisationTorques,
  type ResistingTorque,
  resistingTorque,
  type TorqueMargin,
  torqueMargin,
} from "./margin.js";
export { packingRadialStress, packingTorque } from "./packing.js";
export { type AxialStiffness, seatPreload } from "./preload.js";
export { angularSpeedOfSliding, handbookSeatTorque, ringLever, ringSeatTorque } from "./ring.js";
export { type DirectionSplit, directionSplit } from "./split.js";
export { frictionAtSpeed, stribeckFactor } from "./stribeck.js";
export type {
  FloatingSupport,
  FlowOnBall,
  JournalBearing,
  MeasuredPacking,
  MotorisationClass,
  PackingRings,
  StribeckFall,
  TermLoad,
  ThrustCollar,
  TorqueCoefficientCurve,
  TrunnionSupport,
  TurningInputs,
  TurningState,
  TurningTerm,
} from "./term.js";
export { turningTerms } from "./terms.js";
export { collarFrictionRadius, stemForce, thrustTorque } from "./thrust.js";
export {
  breakawayRatioOf,
  type TurningContribution,
  type TurningMotion,
  type TurningTorque,
  type TurningTorqueArrays,
  turningTorque,
  turningTorqueOverAngles,
} from "./turning.js";
