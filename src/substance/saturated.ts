/** Boiling liquid and its vapour with all their properties. */
import type { Pressure, SpecificEnergy, Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { type Equilibrium, equilibrium, saturationTemperature } from "./saturation.js";
import { type HomogeneousState, homogeneousState } from "./state.js";

/** Boiling liquid and its vapour at one temperature and pressure. */
export interface Saturation {
  readonly T: Temperature;
  readonly p: Pressure;
  readonly liquid: HomogeneousState;
  readonly vapour: HomogeneousState;
  /** Heat that boils a kilogram away at constant pressure: h'' - h' [J/kg]. */
  readonly latentHeat: SpecificEnergy;
  /** Slope of the vapour-pressure curve, (s'' - s') / (1/rho'' - 1/rho') [Pa/K] (Clapeyron). */
  readonly slope: number;
}

/**
 * Boiling liquid and vapour at a temperature between triple and critical point.
 * Refuses  a temperature outside that range, with the bound.
 */
export function saturationAtTemperature(fluid: Fluid, T: Temperature): Saturation {
  const isotherm = new Isotherm(fluid);
  return saturationOf(isotherm, equilibrium(fluid, T, isotherm));
}

/**
 * Boiling liquid and vapour at a pressure between triple and critical point.
 * Refuses  a pressure outside that range, with the bound.
 */
export function saturationAtPressure(fluid: Fluid, p: Pressure): Saturation {
  const T = saturationTemperature(fluid, p);
  const isotherm = new Isotherm(fluid);
  return saturationOf(isotherm, { ...equilibrium(fluid, T, isotherm), p });
}

/** All properties of an equilibrium. */
export function saturationOf(isotherm: Isotherm, { T, p, rhoLiquid, rhoVapour }: Equilibrium): Saturation {
  isotherm.setTemperature(T);
  const liquid = homogeneousState(isotherm, rhoLiquid, p, []);
  const vapour = homogeneousState(isotherm, rhoVapour, p, []);
  const latentHeat = (vapour.h - liquid.h) as SpecificEnergy;
  const swelling = 1 / vapour.rho - 1 / liquid.rho;
  const slope = swelling > 0 ? (vapour.s - liquid.s) / swelling : isotherm.dpdT;
  return { T, p, liquid, vapour, latentHeat, slope };
}
