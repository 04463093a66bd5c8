/** Speed-proportional resistance at the stem, T = b |w|. */
import { requireNotNegative } from "../../quantity/index.js";
import { noLoad, type TurningTerm } from "./term.js";

/** Viscous resistance, as declared. */
export const viscousTerm: TurningTerm = {
  id: "viscous",
  name: "viscous resistance",
  character: "viscous",
  breakaway: { ratio: "none", dwell: false },
  marginClass: "variable",
  motorisationClass: "friction",
  load: ({ viscousDamping }) => {
    requireNotNegative(
      viscousDamping,
      "viscous damping",
      "angular damping",
      "Viscous torque opposes motion.",
    );
    return { ...noLoad, perSpeed: viscousDamping };
  },
};
