/**
 * Density at a given temperature and pressure. The root is chosen by phase, never by least Gibbs
 * energy: between boiling liquid and vapour these equations have further loops, with roots that look
 * stable and have a lower Gibbs energy than the real phase (docs/theory/fluids.md, "Inside the dome").
 * So liquid is sought upward from the boiling liquid, gas downward from its vapour, and above the
 * critical temperature, where the isotherm rises throughout, on the side of the critical density
 * that the pressure tells.
 */
import { refuse } from "../fault/index.js";
import { findRoot } from "../numerics/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { Isotherm } from "./isotherm.js";
import { stateText } from "./range.js";
import { type Equilibrium, equilibrium } from "./saturation.js";

/** The two sides of the dome, and what lies above the critical temperature. */
export type Branch = "liquid" | "gas" | "supercritical";

/** Growth of the upper end of a bracket in one step [-]. */
const BRACKET_GROWTH = 1.04;
/** Highest density tried, in densities of the liquid at its triple point: helium at 2 GPa has four of them. */
const DENSEST = 6;
/** Least density of water below its triple point, as a share of that at it: well on the stretched side. */
const LOOSEST_COLD_LIQUID = 0.93;

/**
 * Density on a branch [kg/m3]. Below the critical temperature "liquid" and "gas" are the two sides of
 * the dome; at pressures that belong to the other side the value at the dome's edge is returned.
 *
 * @param atT  equilibrium at T where the caller has it already
 */
export function densityOnBranch(
  isotherm: Isotherm,
  branch: Branch,
  T: Temperature,
  p: Pressure,
  atT?: Equilibrium,
): Density {
  const { fluid } = isotherm;
  if (T > fluid.critical.T || branch === "supercritical") {
    isotherm.setTemperature(T);
    return isotherm.pressure(fluid.critical.rho) < p
      ? densityAbove(isotherm, fluid.critical.rho, p)
      : densityBelow(isotherm, fluid.critical.rho, p);
  }
  if (T < fluid.triple.T) {
    isotherm.setTemperature(T);
    return densityAbove(isotherm, LOOSEST_COLD_LIQUID * fluid.triple.rhoLiquid, p);
  }
  const edge = atT ?? equilibrium(fluid, T, isotherm);
  isotherm.setTemperature(T);
  return branch === "liquid"
    ? densityAbove(isotherm, edge.rhoLiquid, p)
    : densityBelow(isotherm, edge.rhoVapour, p);
}

function densityBelow(isotherm: Isotherm, edge: number, p: number): Density {
  if (isotherm.pressure(edge) <= p) return edge as Density;
  return findRoot((rho) => isotherm.pressure(rho) - p, 0, edge) as Density;
}

function densityAbove(isotherm: Isotherm, edge: number, p: number): Density {
  const { fluid } = isotherm;
  if (isotherm.pressure(edge) >= p) return edge as Density;
  const densest = DENSEST * fluid.triple.rhoLiquid;
  let low = edge;
  let high = edge * BRACKET_GROWTH;
  while (isotherm.pressure(high) < p) {
    if (high > densest) {
      refuse(
        "no-density",
        `${stateText(fluid, isotherm.T, p)}: no density of the equation of state up to ${DENSEST} times that of its densest boiling liquid has this pressure`,
        "Pressures of the equation of state.",
        "Lower the pressure.",
      );
    }
    low = high;
    high *= BRACKET_GROWTH;
  }
  return findRoot((rho) => isotherm.pressure(rho) - p, low, high) as Density;
}
