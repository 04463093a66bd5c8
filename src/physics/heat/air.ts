/**
 * Dry air as an ideal gas, for heat transfer at a film temperature.
 *
 *   mu = mu_0 (T/T_0)^(3/2) (T_0 + S)/(T + S),   k in the same form with constants of its own
 *
 * Valid for  170 to 1900 K within 2 % (mu) and 4 % (k); at 100 K, met only in the gap of an extension,
 *            k is 9 % low. Nitrogen and oxygen lie within 6 % of it.
 * Source     [white-2006, tables 1-2 and 1-3]; from memory
 */
import type { Conductivity, Density, Pressure, Temperature, Viscosity } from "../../quantity/index.js";

/** What a correlation needs of a gas. */
export interface AirProperties {
  readonly density: Density;
  readonly viscosity: Viscosity;
  readonly conductivity: Conductivity;
  readonly prandtl: number;
}

/** Specific gas constant [J/(kg K)] and specific heat at constant pressure near 250 K [J/(kg K)]. */
const gasConstant = 287.05;
export const airSpecificHeat = 1006;

/**
 * Boiling point of oxygen and dew point of air at one atmosphere [K]: between the two, air that condenses on
 * a surface is not met, yet liquid rich in oxygen stays. Source [schmidt-wagner-1985, boiling point]; the
 * dew point from memory.
 */
export const condensedAir = { oxygenBoils: 90.19, airCondenses: 81.7 } as const;

const reference = 273;
const viscosityLaw = { at: 1.716e-5, constant: 111 } as const;
const conductivityLaw = { at: 0.0241, constant: 194 } as const;

function sutherland({ at, constant }: typeof viscosityLaw | typeof conductivityLaw, T: number): number {
  const ratio = T / reference;
  return (at * ratio * Math.sqrt(ratio) * (reference + constant)) / (T + constant);
}

/** Conductivity of air at low pressure. @param T [K] */
export function airConductivity(T: Temperature): Conductivity {
  return sutherland(conductivityLaw, T) as Conductivity;
}

/** Air at a temperature [K] and pressure [Pa]. */
export function airAt(T: Temperature, p: Pressure): AirProperties {
  const viscosity = sutherland(viscosityLaw, T);
  const conductivity = airConductivity(T);
  return {
    density: (p / (gasConstant * T)) as Density,
    viscosity: viscosity as Viscosity,
    conductivity,
    prandtl: (viscosity * airSpecificHeat) / conductivity,
  };
}
