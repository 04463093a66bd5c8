/** Friction of journal bearings: trunnions under the drop, and bearings with a constant load. */
import type { Force, Length, Torque } from "../../quantity/index.js";
import { requireNotNegative, requirePositive } from "../../quantity/index.js";
import { trunnionArea } from "./load.js";
import { noLoad, type TurningTerm } from "./term.js";

/**
 * Friction torque of a journal bearing, T = mu F d / 2.
 *
 * @param mu  friction coefficient, >= 0 [-]
 * @param F   radial load, >= 0 [N]
 * @param d   journal diameter, > 0 [m]
 * @returns   magnitude; opposes motion [N m]
 * Source     textbook statics [budynas-nisbett-2011], from memory.
 */
export function bearingTorque(mu: number, F: Force, d: Length): Torque {
  requireNotNegative(mu, "bearing friction coefficient", "ratio", "Friction opposes motion.");
  requireNotNegative(F, "bearing load", "force", "Give its magnitude.");
  requirePositive(d, "journal diameter", "length", "It is a length.");
  return ((mu * F * d) / 2) as Torque;
}

/** Friction of the trunnions under the pressure drop; none for a floating ball. */
export const trunnionTerm: TurningTerm = {
  id: "trunnion",
  name: "trunnion bearings",
  character: "friction",
  breakaway: { ratio: "bearing", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: ({ support }) => {
    if (support.kind === "floating") return noLoad;
    const perPascal = trunnionArea(support) as Force;
    return { ...noLoad, perDrop: bearingTorque(support.journalFriction, perPascal, support.journalDiameter) };
  },
};

/** Friction of bearings whose load does not follow the pressure. */
export const bearingTerm: TurningTerm = {
  id: "bearings",
  name: "stem bearings",
  character: "friction",
  breakaway: { ratio: "bearing", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: ({ bearings }) => {
    let constant = 0;
    for (const bearing of bearings)
      constant += bearingTorque(bearing.friction, bearing.load, bearing.diameter);
    return { ...noLoad, constant };
  },
};
