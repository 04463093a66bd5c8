/**
 * Friction of a flow that changes: the part of the steady flow, and what the change of the profile adds.
 *
 *   dp/dx = f rho v|v| / (2 D) + (k/2) rho ( dv/dt + a sign(v) |dv/dx| )
 *
 * Source  [bergant-2001], model of Brunone in the form that holds for waves of both senses; from memory
 */
import { requirePositive } from "../../quantity/index.js";

/** Reynolds number up to which the flow counts as laminar [-]. */
const laminarUpTo = 2300;
/** Shear decay coefficient of laminar flow [-]. */
const laminarDecay = 0.00476;

/**
 * Shear decay coefficient,
 *
 *   C* = 0.00476 laminar,   C* = 7.41 / Re^kappa turbulent,   kappa = log10(14.3 / Re^0.05)
 *
 * @param Re  Reynolds number of the flow before the change, > 0 [-]
 * Valid for  smooth pipes, Re up to 10^8
 * Source     [vardy-brown-1996], from memory
 */
export function shearDecay(Re: number): number {
  requirePositive(Re, "Reynolds number", "ratio", "Friction is defined for a moving fluid.");
  if (Re <= laminarUpTo) return laminarDecay;
  return 7.41 / Re ** Math.log10(14.3 / Re ** 0.05);
}

/**
 * Coefficient of unsteady friction, k = sqrt(C*) / 2 [-].
 * Source  [bergant-2001, eq. 9], from memory
 */
export function unsteadyCoefficient(Re: number): number {
  return Math.sqrt(shearDecay(Re)) / 2;
}
