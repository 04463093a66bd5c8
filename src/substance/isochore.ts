/**
 * A fluid shut in at constant density: pressure against temperature, on the boiling line as long as
 * vapour is left, then steeply up (liquid-full) or gently (all vapour).
 */
import type { Notice } from "../fault/index.js";
import { findRoot } from "../numerics/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { homogeneousPressure } from "./isotherm.js";
import { requirePositive } from "./range.js";
import { saturationAtTemperature } from "./saturated.js";
import { equilibrium } from "./saturation.js";
import { stateAtTemperatureDensity } from "./stateAt.js";

/** One point of an isochore. */
export interface IsochorePoint {
  readonly T: Temperature;
  readonly p: Pressure;
  /** Slope of the pressure along the isochore [Pa/K]; of the vapour-pressure curve while two-phase. */
  readonly dpdT: number;
  readonly isTwoPhase: boolean;
  readonly notices: readonly Notice[];
}

/** A closed rigid volume of fluid. */
export interface Isochore {
  readonly rho: Density;
  /** Temperature from which the fluid is homogeneous: liquid-full if denser than at the critical point,
   * else all vapour. Undefined where it is homogeneous from the triple point up. */
  readonly fullAt: Temperature | undefined;
  /** The point at a temperature. Refuses as `stateAtTemperatureDensity`. */
  readonly at: (T: Temperature) => IsochorePoint;
}

/** Share of the way from triple to critical point within which water's boiling liquid is densest, at 277 K. */
const DENSEST_WITHIN = 0.1;
/** Steps of the search for it; each takes a third off. */
const DENSEST_STEPS = 40;

/**
 * The isochore of a density.
 * @param rho  mass over volume of the closed space, both phases together, > 0 [kg/m3]
 * Refuses     a density that is not positive; its points refuse as `stateAtTemperatureDensity`
 */
export function isochore(fluid: Fluid, rho: Density): Isochore {
  requirePositive(fluid, rho, "kg/m3");
  return { rho, fullAt: fullTemperature(fluid, rho), at: (T) => pointAt(fluid, rho, T) };
}

function pointAt(fluid: Fluid, rho: Density, T: Temperature): IsochorePoint {
  const state = stateAtTemperatureDensity(fluid, T, rho);
  const isTwoPhase = state.phase === "two-phase";
  const dpdT = isTwoPhase ? saturationAtTemperature(fluid, T).slope : homogeneousPressure(fluid, T, rho).dpdT;
  return { T, p: state.p, dpdT, isTwoPhase, notices: state.notices };
}

/** Highest temperature at which the edge of the dome has this density. */
function fullTemperature(fluid: Fluid, rho: Density): Temperature | undefined {
  const { triple, critical } = fluid;
  const isDense = rho > critical.rho;
  const inside = (T: number) => {
    const edge = equilibrium(fluid, T as Temperature);
    return isDense ? edge.rhoLiquid - rho : rho - edge.rhoVapour;
  };
  if (inside(triple.T) >= 0) return findRoot(inside, triple.T, critical.T) as Temperature;
  if (!isDense) return undefined;
  const densest = densestBoilingLiquid(fluid);
  return inside(densest) > 0 ? (findRoot(inside, densest, critical.T) as Temperature) : undefined;
}

/** Temperature at which the boiling liquid is densest [K]: the triple point's, but for water. */
function densestBoilingLiquid(fluid: Fluid): number {
  const { triple, critical } = fluid;
  const density = (T: number) => equilibrium(fluid, T as Temperature).rhoLiquid;
  let low: number = triple.T;
  let high = triple.T + DENSEST_WITHIN * (critical.T - triple.T);
  for (let step = 0; step < DENSEST_STEPS; step++) {
    const third = (high - low) / 3;
    if (density(low + third) < density(high - third)) low += third;
    else high -= third;
  }
  return low;
}
