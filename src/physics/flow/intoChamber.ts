/**
 * The installed flow against a back pressure that rises in proportion to the flow, as in a burning chamber with a choked
 * throat at one mixture ratio, p_b = p_0 + s W [nasa-sp-125]. With g = rho C^2,
 *
 *   unchoked   W^2 (1/g + R_u + R_d) + s W = p_s - p_0
 *   choked     as without a chamber, W^2 = g FL^2 (p_s - FF p_v) / (1 + g FL^2 R_u)
 *
 * and the smaller one rules; s = 0 is the constant back pressure of `installedFlow`.
 */

import type { InstalledSystem } from "./installed.js";
import { criticalPressureRatioFactor } from "./liquid.js";

/**
 * Mass flow, forward alone.
 * @param system  its back pressure is p_0, that without flow
 * @param slope   s >= 0 [Pa s/kg]
 * @param C       flow coefficient, >= 0 [m2];  @param FL  recovery factor [-]
 * @returns       none where the supply is not above p_0 [kg/s]
 * Source         [iec60534-2-1, clause 5.1]; the quadratic derived here
 */
export function flowIntoChamber(system: InstalledSystem, slope: number, C: number, FL: number): number {
  const { supplyPressure, backPressure, upstream, downstream, liquid } = system;
  const left = supplyPressure - backPressure;
  if (!(C > 0 && left > 0)) return 0;
  const g = liquid.density * C * C;
  const R = 1 / g + upstream + downstream;
  const free = (2 * left) / (slope + Math.sqrt(slope * slope + 4 * left * R));
  const h = g * FL * FL;
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  const choked = (h * Math.max(supplyPressure - FF * liquid.vapourPressure, 0)) / (1 + h * upstream);
  return Math.min(free, Math.sqrt(choked));
}
