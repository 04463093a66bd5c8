/** States from a pressure and an enthalpy or entropy. */
import { refuse } from "../fault/index.js";
import { findRoot } from "../numerics/index.js";
import {
  formatNumber,
  type Pressure,
  type SpecificEnergy,
  type SpecificEntropy,
  type Temperature,
} from "../quantity/index.js";
import { type Branch, densityOnBranch } from "./density.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { coldestLiquid } from "./melting.js";
import { kelvin, pressureText, rangeNotices, requirePositive } from "./range.js";
import { saturationAtPressure } from "./saturated.js";
import { criticalPressure, equilibrium } from "./saturation.js";
import { type FluidState, type HomogeneousState, homogeneousState, twoPhaseState } from "./state.js";

/** A quantity that rises with temperature at constant pressure, also across boiling. */
interface Rising {
  readonly of: (state: FluidState) => number;
  readonly words: string;
  readonly unit: string;
}
const enthalpy: Rising = { of: (state) => state.h, words: "an enthalpy", unit: "J/kg" };
const entropy: Rising = { of: (state) => state.s, words: "an entropy", unit: "J/(kg K)" };

/**
 * State at a pressure and a specific enthalpy, as after a throttle.
 *
 * @param p  absolute pressure [Pa];  @param h  enthalpy on the fluid's own zero [J/kg]
 * Refuses   an enthalpy that the fluid has at no temperature of its range at this pressure, with the
 *           range; and as `rangeNotices`
 */
export function stateAtPressureEnthalpy(fluid: Fluid, p: Pressure, h: SpecificEnergy): FluidState {
  return stateAtPressureAnd(fluid, p, h, enthalpy);
}

/**
 * State at a pressure and a specific entropy, as after a loss-free adiabatic change.
 *
 * @param p  absolute pressure [Pa];  @param s  entropy on the fluid's own zero [J/(kg K)]
 * Refuses   an entropy that the fluid has at no temperature of its range at this pressure, with the
 *           range; and as `rangeNotices`
 */
export function stateAtPressureEntropy(fluid: Fluid, p: Pressure, s: SpecificEntropy): FluidState {
  return stateAtPressureAnd(fluid, p, s, entropy);
}

function stateAtPressureAnd(fluid: Fluid, p: Pressure, wanted: number, quantity: Rising): FluidState {
  requirePositive(fluid, p, "Pa");
  if (!Number.isFinite(wanted)) {
    refuse(
      "impossible-state",
      `${fluid.id} at ${pressureText(p)} with ${quantity.words} of ${wanted} ${quantity.unit}`,
      `A state has ${quantity.words} that is a number.`,
      `Give ${quantity.words} on the zero of this fluid's data file.`,
    );
  }
  const { triple, extrapolation } = fluid;
  const isotherm = new Isotherm(fluid);
  const cold = coldestLiquid(fluid, p) as Temperature;
  if (p >= criticalPressure(fluid, isotherm)) {
    return between(isotherm, p, wanted, quantity, "liquid", cold, extrapolation.TMax);
  }
  if (p <= equilibrium(fluid, triple.T, isotherm).p) {
    return between(isotherm, p, wanted, quantity, "gas", triple.T, extrapolation.TMax);
  }
  const { T, liquid, vapour } = saturationAtPressure(fluid, p);
  const ofLiquid = quantity.of(liquid);
  const ofVapour = quantity.of(vapour);
  if (wanted < ofLiquid) return between(isotherm, p, wanted, quantity, "liquid", cold, T);
  if (wanted > ofVapour) return between(isotherm, p, wanted, quantity, "gas", T, extrapolation.TMax);
  const quality = ofVapour > ofLiquid ? (wanted - ofLiquid) / (ofVapour - ofLiquid) : 0;
  return twoPhaseState(liquid, vapour, quality);
}

/** The homogeneous state with the wanted value, on one branch between two temperatures. */
function between(
  isotherm: Isotherm,
  p: Pressure,
  wanted: number,
  quantity: Rising,
  branch: Branch,
  coldest: Temperature,
  hottest: Temperature,
): HomogeneousState {
  const { fluid } = isotherm;
  const stateAt = (T: Temperature) =>
    homogeneousState(isotherm, densityOnBranch(isotherm, branch, T, p), p, []);
  const least = quantity.of(stateAt(coldest));
  const most = quantity.of(stateAt(hottest));
  if (wanted < least || wanted > most) {
    const { words, unit } = quantity;
    refuse(
      "fluid-out-of-reach",
      `${fluid.id} at ${pressureText(p)} with ${words} of ${wanted} ${unit}: ${wanted > most ? "hotter" : "colder"} than its range`,
      `From ${kelvin(coldest)} to ${kelvin(hottest)} it goes from ${formatNumber(least)} to ${formatNumber(most)} ${unit}.`,
      `Give ${words} in that range, on the zero of this fluid's data file.`,
    );
  }
  const T = findRoot((x) => quantity.of(stateAt(x as Temperature)) - wanted, coldest, hottest) as Temperature;
  const notices = rangeNotices(fluid, T, p);
  const { rho } = stateAt(T);
  return homogeneousState(isotherm, rho, p, notices);
}
