/** The orifice that a closed segment needs, by each published way of sizing it; the largest counts. */
import {
  boilOff,
  expansionFlow,
  gasReliefArea,
  isoDerating,
  liquidReliefArea,
  neededOpening,
} from "../physics/trapped/index.js";
import type { Area, Power, Pressure, SpecificEnergy, Temperature } from "../quantity/index.js";
import {
  type Fluid,
  homogeneousPressure,
  saturationAtPressure,
  stateAtPressureTemperature,
} from "../substance/index.js";

/** One way of sizing with its area. */
export interface ReliefSize {
  /** As it is spoken of: "API 520, liquid that expands". */
  readonly way: string;
  readonly source: string;
  readonly area: Area;
}

export interface ReliefSizes {
  readonly sizes: readonly ReliefSize[];
  readonly largest: ReliefSize;
  readonly relieving: Pressure;
}

/** What a relief device is sized for. */
export interface ReliefCase {
  readonly coldest: Temperature;
  readonly warmest: Temperature;
  readonly heat: Power;
  /** Pressure at which it is wide open [Pa]. */
  readonly relieving: Pressure;
  readonly behind: Pressure;
  /** Discharge coefficient of the certificate [-]. */
  readonly Kd: number;
}

/**
 * Sizes for one segment: expansion of the cold liquid, boil-off as vapour by both standards, and boiling
 * liquid that flashes in the orifice. Above the critical pressure nothing boils and the last one covers it.
 * Refuses  states outside the equation of state, and a cold fluid that is no liquid at the relieving pressure
 */
export function reliefSizes(
  fluid: Fluid,
  { coldest, warmest, heat, relieving, behind, Kd }: ReliefCase,
): ReliefSizes {
  const cold = stateAtPressureTemperature(fluid, relieving, coldest);
  const { dpdT, dpdrho } = homogeneousPressure(fluid, coldest, cold.rho);
  const beta = dpdT / (cold.rho * dpdrho);
  const flow = expansionFlow(heat, beta, cold.rho, cold.cp);
  const opening = neededOpening({ fluid, pressure: relieving, behind, coldest, warmest });
  const expansion: ReliefSize = {
    way: "API 520, liquid that expands",
    source: "api-520-1-2014, 5.8",
    area: liquidReliefArea(flow, cold.rho, relieving, behind, { Kd }),
  };
  const flashing: ReliefSize = {
    way: `homogeneous equilibrium, ${opening.of}`,
    source: "api-520-1-2014, annex C",
    area: ((opening.area_m2_W * heat) / Kd) as Area,
  };
  const sizes = [expansion, ...vapourSizes(fluid, { heat, relieving, behind, Kd, warmest }), flashing];
  const largest = sizes.reduce((most, one) => (one.area > most.area ? one : most));
  return { sizes, largest, relieving };
}

/**
 * Latent heat that counts at least [J/kg]: near the critical point it vanishes, and q / h_fg with it says nothing. There
 * the fluid that swells is followed by the homogeneous equilibrium. Source [api-521-2014, 50 Btu/lb, from memory].
 */
const leastLatentHeat = 116e3;

function vapourSizes(
  fluid: Fluid,
  { heat, relieving, behind, Kd, warmest }: Omit<ReliefCase, "coldest">,
): readonly ReliefSize[] {
  if (relieving >= fluid.critical.p) return [];
  const { T, vapour, latentHeat } = saturationAtPressure(fluid, relieving);
  if (T > warmest) return [];
  const W = boilOff(heat, Math.max(latentHeat, leastLatentHeat) as SpecificEnergy);
  const { specificGasConstant } = fluid;
  const gas = {
    p1: relieving,
    p2: behind,
    T,
    specificGasConstant,
    Z: relieving / (vapour.rho * specificGasConstant * T),
    k: idealRatio(fluid, T),
  };
  return [
    {
      way: "API 520, vapour that boils off",
      source: "api-520-1-2014, 5.6",
      area: gasReliefArea(W, gas, { Kd }),
    },
    {
      way: "ISO 4126, vapour that boils off",
      source: "iso-4126-1-2013, gas",
      area: gasReliefArea(W, gas, { Kd: isoDerating * Kd }),
    },
  ];
}

/** A pressure low enough for a gas to be ideal [Pa]. */
const thin = 1000;

/** Ratio of specific heats of the ideal gas, as the equations ask for [-]. */
function idealRatio(fluid: Fluid, T: Temperature): number {
  const { cp, cv } = stateAtPressureTemperature(fluid, thin as Pressure, T);
  return cp / cv;
}
