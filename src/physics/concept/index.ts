/** Other ways to open a valve than a motor, each by its textbook equation. */
export { chargeMass, domeThickness, plateThickness, shearWork } from "./oneShot.js";
export { gasOfStroke, sweptVolume } from "./pneumatic.js";
export { circle, fullLift, poppetForce, releaseTime } from "./poppet.js";
export { type CoilMaterial, poleForce, type Solenoid, solenoidFor } from "./solenoid.js";
