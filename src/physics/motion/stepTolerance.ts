/** Errors that the steps of a stroke may make, from one relative tolerance and the scales of the stroke. */
import type { AngularSpeed, Current } from "../../quantity/index.js";
import type { StrokeOrder } from "./order.js";
import type { StepTolerance } from "./slip.js";
import type { RigidTrain } from "./train.js";

/**
 * A slow stroke needs its small speed as exactly as a fast one: the error allowed is relative down to
 * this share of the no-load speed, or of the speed over which friction falls if that is less.
 */
const slowShare = 0.1;
const fadingShare = 3;
/** Share of travel below which a way does not set the scale of its error. */
const leastWay = 0.01;
/** Nodes of the load a step may pass: its stages and points of account then lie no more than two apart. */
const nodesPassed = 6;
/** Share of travel a step may pass: the path inside a longer one is not good enough for the marks. */
const sharePassed = 0.1;
/** A current that tolerances refer to does not vanish with the voltage [A]. */
const leastCurrentScale = 1e-3;

/**
 * @param tolerance relative, of one step [-]
 * @param scale     no-load speed at the stem, and the greatest steady current
 * @returns         errors in the units of each state
 */
export function stepToleranceOf(
  train: RigidTrain,
  order: StrokeOrder,
  tolerance: number,
  scale: { readonly speed: AngularSpeed; readonly current: Current },
): StepTolerance {
  const { travel, load, stribeckSpeed } = train;
  const way = order.sense > 0 ? travel - order.start : order.start;
  return {
    angle: tolerance * Math.max(way, leastWay * travel),
    speed: tolerance * Math.min(slowShare * scale.speed, fadingShare * stribeckSpeed),
    perSpeed: tolerance,
    advance: Math.min(nodesPassed * load.step, sharePassed * travel),
    current: tolerance * Math.max(scale.current, leastCurrentScale),
  };
}
