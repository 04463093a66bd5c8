/**
 * A coolant that boils at one pressure while it cools a warm part: its properties, gathered once, and the heat
 * that it takes from a wall (docs/theory/cold.md, "The coolant").
 */
import { refuse } from "../../fault/index.js";
import {
  formatQuantity,
  type Pressure,
  type SpecificEnergy,
  type Temperature,
  type TemperatureDifference,
} from "../../quantity/index.js";
import {
  type Fluid,
  saturationAtPressure,
  stateAtPressureTemperature,
  surfaceTension,
  thermalConductivity,
  viscosity,
} from "../../substance/index.js";
import { type BoilingPair, criticalFlux, filmCoefficient, leastFilmFlux, nucleateFlux } from "./boiling.js";
import type { Carrier } from "./convection.js";

/** Steps of the film's coefficient between saturation and the warmest wall; times dT^(1/4) it is smooth. */
const FILM_STEPS = 5;

/** What a coolant at one pressure brings. Fluxes [W/m2], coefficients [W/(m2 K)]. */
export interface Coolant {
  readonly saturation: Temperature;
  /** Warmest wall that it is laid out for [K]. */
  readonly warmest: Temperature;
  /** Enthalpy of the boiling liquid and of its vapour; of the vapour the mean specific heat up to the warmest wall. */
  readonly liquidEnthalpy: SpecificEnergy;
  readonly vapourEnthalpy: SpecificEnergy;
  readonly vapourHeat: number;
  readonly liquidHeat: number;
  readonly densityRatio: number;
  readonly liquid: Carrier;
  readonly vapour: Carrier;
  /** Nucleate flux over the cube of the superheat [W/(m2 K3)]. */
  readonly nucleate: number;
  readonly critical: number;
  readonly leastFilm: number;
  /** Film coefficient times dT^(1/4) at equal steps of superheat, the first one step above zero [W/(m2 K^(3/4))]. */
  readonly filmStep: TemperatureDifference;
  readonly film: Float64Array;
}

/**
 * The coolant at a pressure, for walls up to a temperature.
 * Refuses  a pressure without boiling; a wall that is not hotter than the boiling liquid; a fluid without
 *          transport properties there
 */
export function coolantAt(fluid: Fluid, p: Pressure, warmest: Temperature): Coolant {
  const { T, liquid, vapour, latentHeat } = saturationAtPressure(fluid, p);
  if (!(warmest > T))
    return refuse(
      "coolant-too-warm",
      `${fluid.name} boils at ${formatQuantity(T, "temperature")} under ${formatQuantity(p, "pressure")}, not below the ${formatQuantity(warmest, "temperature")} of what it is to cool`,
      "A coolant cools what is warmer than its boiling point.",
      "Choose the case with the cold liquid, or correct valve.cold.cool_down.pressure or start.",
    );
  const pair: BoilingPair = {
    rhoLiquid: liquid.rho,
    rhoVapour: vapour.rho,
    latentHeat,
    surfaceTension: surfaceTension(fluid, T),
    liquid: {
      cp: liquid.cp,
      viscosity: viscosity(fluid, T, liquid.rho),
      conductivity: thermalConductivity(fluid, T, liquid.rho),
    },
  };
  const filmStep = ((warmest - T) / FILM_STEPS) as TemperatureDifference;
  const film = Float64Array.from({ length: FILM_STEPS }, (_, i) => {
    const dT = ((i + 1) * filmStep) as TemperatureDifference;
    const state = stateAtPressureTemperature(fluid, p, (T + dT / 2) as Temperature);
    const vapourThere = {
      rho: state.rho,
      cp: state.cp,
      viscosity: viscosity(fluid, state.T, state.rho),
      conductivity: thermalConductivity(fluid, state.T, state.rho),
    };
    return filmCoefficient(pair, vapourThere, dT) * dT ** 0.25;
  });
  const hottest = stateAtPressureTemperature(fluid, p, warmest);
  return {
    saturation: T,
    warmest,
    liquidEnthalpy: liquid.h,
    vapourEnthalpy: vapour.h,
    vapourHeat: (hottest.h - vapour.h) / (warmest - T),
    liquidHeat: liquid.cp,
    densityRatio: vapour.rho / liquid.rho,
    liquid: carrier(pair.liquid),
    vapour: carrier({
      cp: vapour.cp,
      viscosity: viscosity(fluid, T, vapour.rho),
      conductivity: thermalConductivity(fluid, T, vapour.rho),
    }),
    nucleate: nucleateFlux(pair, 1 as TemperatureDifference),
    critical: criticalFlux(pair),
    leastFilm: leastFilmFlux(pair),
    filmStep,
    film,
  };
}

function carrier({
  cp,
  viscosity: mu,
  conductivity,
}: {
  readonly cp: number;
  readonly viscosity: number;
  readonly conductivity: number;
}): Carrier {
  return { conductivity, viscosity: mu, prandtl: (mu * cp) / conductivity };
}

/** A coolant between two of one fluid, at the share of the way from the first to the second. */
export function coolantBetween(first: Coolant, second: Coolant, share: number): Coolant {
  const mix = (a: number, b: number) => a + (b - a) * share;
  const between = (key: NumberKey) => mix(first[key], second[key]);
  return {
    saturation: between("saturation") as Temperature,
    warmest: between("warmest") as Temperature,
    liquidEnthalpy: between("liquidEnthalpy") as SpecificEnergy,
    vapourEnthalpy: between("vapourEnthalpy") as SpecificEnergy,
    vapourHeat: between("vapourHeat"),
    liquidHeat: between("liquidHeat"),
    densityRatio: between("densityRatio"),
    liquid: carrierBetween(first.liquid, second.liquid, mix),
    vapour: carrierBetween(first.vapour, second.vapour, mix),
    nucleate: between("nucleate"),
    critical: between("critical"),
    leastFilm: between("leastFilm"),
    filmStep: between("filmStep") as TemperatureDifference,
    film: first.film.map((a, i) => mix(a, second.film[i] ?? Number.NaN)),
  };
}

type NumberKey = {
  [K in keyof Coolant]: Coolant[K] extends number ? K : never;
}[keyof Coolant];

function carrierBetween(a: Carrier, b: Carrier, mix: (a: number, b: number) => number): Carrier {
  return {
    conductivity: mix(a.conductivity, b.conductivity),
    viscosity: mix(a.viscosity, b.viscosity),
    prandtl: mix(a.prandtl, b.prandtl),
  };
}
