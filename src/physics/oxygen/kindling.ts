/** What burns beside a metal, against the heat that would melt the metal. */
import type { Mass } from "../../quantity/index.js";

/** A part that can burn: its mass and heat of combustion [J/kg]. */
export interface Kindling {
  readonly mass: Mass;
  readonly heat: number;
}

/**
 * Share of a metal part that the burning of what touches it could melt, all of its heat taken up:
 *
 *   x = sum(m_i dh_i) / (m q_melt)
 *
 * It ranks; a metal burns on from a spot that melts, so a small share is no limit.
 *
 * @param mass    of the metal part, > 0 [kg];  @param melt  heat that melts it from the cold, > 0 [J/kg]
 * @returns       [-], may exceed 1
 * Source         [astm-mnl-36-2007, kindling chain]; the share: derived in docs/theory/oxygen.md
 */
export function meltedShare(kindling: readonly Kindling[], mass: Mass, melt: number): number {
  return kindling.reduce((sum, one) => sum + one.mass * one.heat, 0) / (mass * melt);
}
