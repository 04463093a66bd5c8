/**
 * Convection in a passage without boiling, and in a mist: vapour that carries what is left of the liquid.
 * Nu = h D / k, Re = G D / mu with the mass flux G and the passage's hydraulic diameter D.
 */
import type { Length } from "../../quantity/index.js";

/** What carries the heat in a passage. */
export interface Carrier {
  readonly conductivity: number;
  readonly viscosity: number;
  readonly prandtl: number;
}

/** Nusselt number of slow flow in a round passage with one wall temperature. */
export const slowNusselt = 3.66;
/** Exponent of the Reynolds number in fast flow. */
export const reynoldsExponent = 0.8;

/**
 * Heat transfer coefficient of one phase in a passage [W/(m2 K)]:
 *
 *   Nu = max(0.023 Re^0.8 Pr^0.4, 3.66)
 *
 * @param G  mass flux [kg/(m2 s)]
 * Valid for  developed flow, Re > 10000, within 25 %; below 2300 the constant; between them the larger
 *            stands in. Entrances and bends raise it.
 * Source     [mcadams-1954, eq. 9-10a], after Dittus and Boelter; the constant [shah-london-1978]
 */
export function passageCoefficient(
  { conductivity, viscosity, prandtl }: Carrier,
  G: number,
  D: Length,
): number {
  const Re = (G * D) / viscosity;
  return (Math.max(0.023 * Re ** reynoldsExponent * prandtl ** 0.4, slowNusselt) * conductivity) / D;
}

/**
 * Mass flux of vapour that moves as fast as a mist of vapour and liquid [kg/(m2 s)]; with `passageCoefficient`
 * it gives the film boiling of dispersed flow.
 *
 *   G_v = G (x + (1 - x) rho_v / rho_l)
 *
 * @param x  share of vapour in the mass, 0 to 1;  @param densityRatio  rho_v / rho_l
 * Valid for  drops that move with the vapour; their own touch on the wall is not in it
 * Source     [dougall-rohsenow-1963]
 */
export function mistFlux(G: number, x: number, densityRatio: number): number {
  return G * (x + (1 - x) * densityRatio);
}
