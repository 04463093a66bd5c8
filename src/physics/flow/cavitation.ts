/** How close a flowing valve is to boiling in its vena contracta. */
import type { Pressure } from "../../quantity/index.js";

/** Pressure drop held against the distance to the vapour pressure, in both usual forms. */
export interface CavitationState {
  /** x_F = (p1 - p2)/(p1 - pv) [-]; undefined where the inlet is not above the vapour pressure. */
  readonly ratio: number | undefined;
  /** sigma = (p1 - pv)/(p1 - p2) = 1/x_F [-]; undefined without a drop. */
  readonly sigma: number | undefined;
}

/**
 * Differential pressure ratio x_F and cavitation number sigma.
 *
 *   x_F = (p1 - p2) / (p1 - pv),   sigma = 1 / x_F
 *
 * Cavitation begins at x_F = x_Fz (a property of valve and opening) and flow chokes at
 * x_F = FL^2 (p1 - FF pv)/(p1 - pv).
 *
 * @param p1  pressure where the liquid enters the valve [Pa, absolute]
 * @param p2  pressure where it leaves, <= p1 [Pa, absolute]
 * @param pv  vapour pressure at inlet temperature [Pa, absolute]
 * Source     [iec60534-8-4], [isa-rp75.23], from memory.
 */
export function cavitationState(p1: Pressure, p2: Pressure, pv: Pressure): CavitationState {
  const reserve = p1 - pv;
  const drop = p1 - p2;
  return {
    ratio: reserve > 0 ? drop / reserve : undefined,
    sigma: drop > 0 && reserve > 0 ? reserve / drop : undefined,
  };
}
