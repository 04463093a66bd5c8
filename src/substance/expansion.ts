/** Loss-free adiabatic expansion of a fluid at rest, as through a nozzle or a vent hole. */
import { refuse } from "../fault/index.js";
import type { Pressure, Speed } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { pressureText } from "./range.js";
import type { FluidState } from "./state.js";
import { stateAtPressureEntropy } from "./stateAtPressure.js";

/** What an expansion comes to. */
export interface Expansion {
  /** Where it ends: two-phase for a boiling liquid, in equilibrium. */
  readonly state: FluidState;
  /** Speed it reaches from rest [m/s]. */
  readonly speed: Speed;
  /** Mass flow over area there, rho times speed [kg/(m2 s)]. */
  readonly massFlux: number;
}

/**
 * Expansion at constant entropy from a state at rest to a lower pressure, phases in equilibrium and at
 * one speed throughout:
 *
 *   s2 = s1,   speed = sqrt(2 (h1 - h2)),   flux = rho2 speed
 *
 * The largest flux over all end pressures is that of a choked opening in this model.
 * Refuses  an end pressure that is not below the first; and as `stateAtPressureEntropy`
 * Source   energy equation of steady adiabatic flow; homogeneous equilibrium as in [api-520-1-2014, annex C]
 */
export function isentropicExpansion(fluid: Fluid, from: FluidState, to: Pressure): Expansion {
  if (!(to < from.p)) {
    refuse(
      "no-expansion",
      `${fluid.id} at ${pressureText(from.p)} does not expand to ${pressureText(to)}`,
      "An expansion ends at a lower pressure than it begins.",
      "Lower the pressure behind the opening.",
    );
  }
  const state = stateAtPressureEntropy(fluid, to, from.s);
  // Rounding alone can make the fall of enthalpy negative, over a step of pressure too small to matter.
  const speed = Math.sqrt(2 * Math.max(0, from.h - state.h)) as Speed;
  return { state, speed, massFlux: state.rho * speed };
}
