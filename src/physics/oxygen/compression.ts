/** Temperature of gas that an opening valve compresses, and the ignition of what it meets. */
import type { Pressure, Temperature } from "../../quantity/index.js";
import { type Fluid, stateAtPressureEntropy, stateAtPressureTemperature } from "../../substance/index.js";

/**
 * Temperature of gas that is compressed without loss of heat, by the equation of state:
 *
 *   s(p2, T2) = s(p1, T1)
 *
 * Nothing flows off to the walls, which takes milliseconds in a small passage: what is found is what
 * cannot be exceeded from this start.
 *
 * @param p1, T1  of the gas before [Pa], [K];  @param p2  after, above p1 [Pa]
 * Refuses        states that the fluid does not have, and temperatures beyond its range
 * Source         [astm-g88-2021, pneumatic impact]; for real gas the equation of state [schmidt-wagner-1985]
 */
export function compressionTemperature(
  fluid: Fluid,
  p1: Pressure,
  T1: Temperature,
  p2: Pressure,
): Temperature {
  return stateAtPressureEntropy(fluid, p2, stateAtPressureTemperature(fluid, p1, T1).s).T;
}

/**
 * The same of an ideal gas of constant heat capacities, as the published tables have it:
 *
 *   T2 = T1 (p2/p1)^((k-1)/k)
 *
 * @param k  ratio of the heat capacities, > 1 [-]; 1.4 for warm oxygen lies above the real gas when hot
 * Source    [astm-g88-2021, table of final temperatures]
 */
export function idealCompressionTemperature(T1: Temperature, ratio: number, k: number): Temperature {
  return (T1 * ratio ** ((k - 1) / k)) as Temperature;
}

/** An autoignition temperature with the oxygen pressure at which it was found. */
export interface Ignition {
  readonly T: Temperature;
  readonly p: Pressure;
}

/**
 * The autoignition temperature that may be used at a pressure: that of a test at this pressure or a higher
 * one, because a higher pressure lowers it.
 *
 * @param p  oxygen pressure [Pa]
 * @returns  undefined where the test does not reach the pressure
 * Source    [astm-g63-2015], from memory
 */
export function usableAutoignition(test: Ignition, p: Pressure): Temperature | undefined {
  return test.p >= p ? test.T : undefined;
}
