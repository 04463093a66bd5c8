/** Strength of what carries torque: sections, notches, joints, fatigue and flaws. */
export { allowedShear, leastDuctile, shearMargin, shearYield, ultimateInTorsion } from "./allowable.js";
export {
  holeConcentration,
  holedShare,
  keywayConcentration,
  shoulderConcentration,
  splineConcentration,
} from "./concentration.js";
export { type SurfaceFlaw, stressIntensity } from "./crack.js";
export {
  enduranceRatio,
  fatigueStrength,
  goodmanFactor,
  type Surface,
  sizeFactor,
  surfaceFactor,
  surfaces,
  swing,
} from "./fatigue.js";
export {
  type JointResistance,
  keyJoint,
  type ParallelKey,
  pinJoint,
  type Spline,
  setScrewTorque,
  splineJoint,
  squareJoint,
  tongueJoint,
  twoFlatsJoint,
} from "./joints.js";
export { type SectionSize, type ShapeName, sectionShape, shapeNames } from "./shapes.js";
export {
  keyedSection,
  oneFlatSection,
  rectangleSection,
  roundSection,
  shearModulus,
  squareSection,
  type TorsionSection,
  torsionStiffness,
  torsionStress,
  tubeSection,
  twoFlatsSection,
} from "./torsion.js";
