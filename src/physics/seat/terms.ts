/** The contributions to the turning torque, in the order of the ledger. The contract is in term.ts. */
import { bearingTerm, trunnionTerm } from "./bearing.js";
import { hydrodynamicTerm } from "./hydrodynamic.js";
import { iceTerm } from "./ice.js";
import { seatPreloadTerm, seatPressureTerm } from "./load.js";
import { packingTerm } from "./packing.js";
import type { TurningTerm } from "./term.js";
import { thrustTerm } from "./thrust.js";
import { viscousTerm } from "./viscous.js";

/** Every contribution that is counted. */
export const turningTerms: readonly TurningTerm[] = [
  seatPreloadTerm,
  seatPressureTerm,
  packingTerm,
  thrustTerm,
  trunnionTerm,
  bearingTerm,
  hydrodynamicTerm,
  iceTerm,
  viscousTerm,
];
