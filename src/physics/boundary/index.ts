/** The pressure boundary: walls, flange bolts, and what keeps the stem in. */
export { type BoltedFlange, endLoadPerBolt, loadedBolt } from "./bolts.js";
export { ejectionForce, type Shoulder, shoulderStress } from "./retention.js";
export {
  allowedStress,
  boreStress,
  burstPressure,
  coverStress,
  neededCover,
  neededTubeWall,
  type Tube,
  wallLeft,
} from "./wall.js";
