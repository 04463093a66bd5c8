/**
 * Declared extra friction of ice or stiff grease. Nothing predicts it: it is declared, or excluded
 * by a dry purge and written as zero. It counts in full at rest and in motion, without ratio.
 */
import { requireNotNegative } from "../../quantity/index.js";
import { noLoad, type TurningTerm } from "./term.js";

/** Extra friction torque of ice or stiff grease, as declared. */
export const iceTerm: TurningTerm = {
  id: "ice",
  name: "ice or stiff grease, declared",
  character: "friction",
  breakaway: { ratio: "none", dwell: false },
  marginClass: "variable",
  motorisationClass: "adhesion",
  load: ({ iceTorque }) => {
    requireNotNegative(iceTorque, "ice torque", "torque", "Friction opposes motion.");
    return { ...noLoad, constant: iceTorque };
  },
};
