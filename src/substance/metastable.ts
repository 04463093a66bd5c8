/**
 * Liquid that is superheated: hotter than its boiling temperature, or below its vapour pressure, and not
 * yet boiling. It lasts for moments only, but a vent or an orifice passes it in less. Its limit is the
 * spinodal, where the equation of state has dp/drho = 0 and the liquid falls apart by itself; bubbles on
 * walls and in dirty liquid come long before (docs/theory/fluids.md, "Superheated liquid").
 */
import { type Notice, refuse } from "../fault/index.js";
import { findRoot } from "../numerics/index.js";
import { type Density, formatQuantity, type Pressure, type Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { idealPart } from "./ideal.js";
import { Isotherm } from "./isotherm.js";
import { kelvin, pressureText, rangeNotices, requireSaturationTemperature, stateText } from "./range.js";
import { equilibrium, saturationTemperature } from "./saturation.js";
import { type HomogeneousState, homogeneousState } from "./state.js";
import { liquidAtPressureTemperature } from "./stateAt.js";

/** Where a superheated liquid can no longer exist. */
export interface Spinodal {
  readonly T: Temperature;
  /** Pressure there [Pa]; below zero for a cold liquid, which can then be stretched. */
  readonly p: number;
  readonly rho: Density;
}

/** A liquid, superheated or not. */
export interface LiquidState extends HomogeneousState {
  /** True below its vapour pressure: it boils as soon as it can. */
  readonly isMetastable: boolean;
}

/** Step in which the density is lowered in search of the spinodal, in densities of the boiling liquid [-]. */
const SEARCH_STEP = 0.005;
/** Halvings of one step: to the last digit. */
const BISECTIONS = 48;

/**
 * The spinodal of the liquid at a temperature: where dp/drho or cv of the equation, going down the
 * isotherm from the boiling liquid, is no longer positive. Of some equations cv gives out first.
 * Refuses  a temperature outside triple to critical point
 * Source   limits of mechanical and thermal stability (thermodynamics)
 */
export function liquidSpinodal(fluid: Fluid, T: Temperature): Spinodal {
  requireSaturationTemperature(fluid, T);
  const isotherm = new Isotherm(fluid);
  const { rhoLiquid } = equilibrium(fluid, T, isotherm);
  isotherm.setTemperature(T);
  const { ideal } = fluid.file.equation_of_state;
  const { aTT } = idealPart(ideal, fluid.reducing.T / T);
  const isStable = (rho: number) => {
    isotherm.pressure(rho);
    return isotherm.dpdrho > 0 && -(aTT + isotherm.residual.aTT) > 0;
  };
  let stable: number = rhoLiquid;
  let unstable = stable;
  while (isStable(unstable) && unstable > fluid.critical.rho) {
    stable = unstable;
    unstable -= SEARCH_STEP * rhoLiquid;
  }
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (stable + unstable) / 2;
    if (isStable(middle)) stable = middle;
    else unstable = middle;
  }
  return { T, p: isotherm.pressure(stable), rho: stable as Density };
}

/**
 * State of the liquid at a pressure and a temperature, also where it should boil; `isMetastable` and a
 * notice tell. @param p  absolute, > 0 [Pa];  @param T  [K]
 * Refuses  a pressure below the spinodal's, with it; what is not liquid above the critical temperature;
 *          and as `rangeNotices`
 */
export function liquidEvenSuperheated(fluid: Fluid, p: Pressure, T: Temperature): LiquidState {
  const notices = rangeNotices(fluid, T, p, "liquid");
  const isotherm = new Isotherm(fluid);
  const edge = T >= fluid.triple.T && T < fluid.critical.T ? equilibrium(fluid, T, isotherm) : undefined;
  if (edge === undefined || p >= edge.p) {
    return { ...liquidAtPressureTemperature(fluid, p, T), isMetastable: false };
  }
  const spinodal = liquidSpinodal(fluid, T);
  if (p <= spinodal.p) {
    refuse(
      "beyond-spinodal",
      `${stateText(fluid, T, p, "superheated liquid")}: below the ${pressureText(spinodal.p)} at which it falls apart by itself`,
      `At ${kelvin(T)} no liquid ${fluid.id} exists below its spinodal; it boils from ${pressureText(edge.p)} down where it has time.`,
      "Raise the pressure, lower the temperature, or ask for the boiling mixture.",
    );
  }
  isotherm.setTemperature(T);
  const rho = findRoot((x) => isotherm.pressure(x) - p, spinodal.rho, edge.rhoLiquid) as Density;
  const state = homogeneousState(isotherm, rho, p, [...notices, superheatNotice(fluid, p, T, edge.p)]);
  return { ...state, isMetastable: true };
}

function superheatNotice(fluid: Fluid, p: Pressure, T: Temperature, boilingPressure: number): Notice {
  const boils = p >= fluid.triple.p ? saturationTemperature(fluid, p) : undefined;
  const superheat =
    boils === undefined
      ? ""
      : `, ${formatQuantity(T - boils, "temperature difference")} above its boiling temperature ${kelvin(boils)}`;
  return {
    code: "superheated-liquid",
    text: `${stateText(fluid, T, p, "liquid")} is superheated: below its vapour pressure ${pressureText(boilingPressure)}${superheat}; it lasts for moments only, and boils at the first bubble`,
  };
}
