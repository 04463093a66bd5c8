/** Friction of the collar that keeps the stem in the body: pressure blows the stem out. */
import { refuse } from "../../fault/index.js";
import {
  type Force,
  formatQuantity,
  type Length,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
  type Torque,
} from "../../quantity/index.js";
import { noLoad, type ThrustCollar, type TurningTerm } from "./term.js";

/** Force of the body pressure on the stem, (pi/4) d^2 p [N]. @param d sealed stem diameter [m] @param p gauge pressure in the body [Pa]; no force below zero */
export function stemForce(d: Length, p: PressureDifference): Force {
  requirePositive(d, "stem diameter", "length", "It is a length.");
  return ((Math.PI / 4) * d * d * Math.max(0, p)) as Force;
}

/**
 * Friction radius of a flat collar.
 *
 *   new   (2/3) (ro^3 - ri^3) / (ro^2 - ri^2)     even pressure
 *   worn  (ro + ri) / 2                           even wear
 *
 * @param collar  radii 0 <= ri < ro [m]
 * @returns       radius at which the friction force acts [m]
 * Source         [budynas-nisbett-2011, clutches and brakes: disc friction, eq. 16-23 to 16-31], from memory.
 */
export function collarFrictionRadius(
  collar: Pick<ThrustCollar, "outerRadius" | "innerRadius" | "condition">,
): Length {
  const { outerRadius: ro, innerRadius: ri } = collar;
  requirePositive(ro, "collar outer radius", "length", "It is a length.");
  requireNotNegative(ri, "collar inner radius", "length", "It is a length.");
  if (!(ri < ro)) {
    refuse(
      "geometry-contradicts",
      `collar inner radius ${formatQuantity(ri, "length")} is not below its outer radius ${formatQuantity(ro, "length")}`,
      "A collar is a ring.",
      "Exchange the two if they are swapped.",
    );
  }
  const radius =
    collar.condition === "worn" ? (ro + ri) / 2 : ((2 / 3) * (ro ** 3 - ri ** 3)) / (ro ** 2 - ri ** 2);
  return radius as Length;
}

/**
 * Friction torque of the thrust collar, T = mu (pi/4) d^2 p r_f.
 *
 * @param collar  the collar
 * @param p       gauge pressure in the body [Pa]
 * @returns       magnitude; opposes motion [N m]
 * Source         [budynas-nisbett-2011, disc friction], from memory.
 */
export function thrustTorque(collar: ThrustCollar, p: PressureDifference): Torque {
  requireNotNegative(collar.friction, "collar friction coefficient", "ratio", "Friction opposes motion.");
  return (collar.friction * stemForce(collar.stemDiameter, p) * collarFrictionRadius(collar)) as Torque;
}

/** Collar friction by the body pressure. */
export const thrustTerm: TurningTerm = {
  id: "stem-thrust",
  name: "stem thrust collar",
  character: "friction",
  breakaway: { ratio: "collar", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: ({ thrustCollar }) => {
    if (thrustCollar === "none") return noLoad;
    return { ...noLoad, perBodyPressure: thrustTorque(thrustCollar, 1 as PressureDifference) };
  },
};
