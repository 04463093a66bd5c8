/**
 * Moisture of the air.
 *
 *   e_w = 6.112 hPa exp[17.62 t / (243.12 + t)]   over water,  t in degC, -45 to 60 degC
 *   e_i = 6.112 hPa exp[22.46 t / (272.62 + t)]   over ice,    -65 to 0 degC
 *
 * Source  [wmo-guide-8-2008, annex 4.B]; over ice from memory. Below -65 degC the pressure over ice is
 *         below 0.01 of that at 0 degC, and what the form says there does not matter.
 */
import { type Density, type Pressure, type Temperature, zeroCelsius } from "../../quantity/index.js";

/** Vapour pressure of water at 0 degC in these forms [Pa]. */
const atZero = 611.2;
const overWater = { a: 17.62, b: 243.12 } as const;
const overIce = { a: 22.46, b: 272.62 } as const;

/** Specific gas constant of water [J/(kg K)]. Source [iapws-r6-95, eq. 4]. */
const vapourGasConstant = 461.518_05;

/** Saturation pressure of moisture over water. @param T [K]; @returns [Pa] */
export function saturationOverWater(T: Temperature): Pressure {
  const t = T - zeroCelsius.value;
  return (atZero * Math.exp((overWater.a * t) / (overWater.b + t))) as Pressure;
}

/** Saturation pressure of moisture over ice. @param T <= 273.15 K; none below 50 K [Pa] */
export function saturationOverIce(T: Temperature): Pressure {
  const t = T - zeroCelsius.value;
  return (t > 50 - zeroCelsius.value ? atZero * Math.exp((overIce.a * t) / (overIce.b + t)) : 0) as Pressure;
}

/** Saturation pressure over what moisture settles as: water above 0 degC, ice below. */
export function saturationOn(T: Temperature): Pressure {
  return T < zeroCelsius.value ? saturationOverIce(T) : saturationOverWater(T);
}

/** Temperature at which moisture begins to settle: the dew point, or the frost point of a dew point below 0 degC. */
export function settlingPoint(dew: Temperature): Temperature {
  if (dew >= zeroCelsius.value) return dew;
  const x = Math.log(saturationOverWater(dew) / atZero);
  return (zeroCelsius.value + (overIce.b * x) / (overIce.a - x)) as Temperature;
}

/** Dew point of air. @param humidity over water, 0 < humidity <= 1 [-] */
export function dewPoint(T: Temperature, humidity: number): Temperature {
  const x = Math.log((humidity * saturationOverWater(T)) / atZero);
  return (zeroCelsius.value + (overWater.b * x) / (overWater.a - x)) as Temperature;
}

/** Density of moisture at its partial pressure. @returns [kg/m3] */
export function vapourDensity(e: Pressure, T: Temperature): Density {
  return (e / (vapourGasConstant * T)) as Density;
}
