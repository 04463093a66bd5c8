/** States from two of their quantities; where the dome has them, two-phase states with quality. */
import { type Notice, refuse } from "../fault/index.js";
import {
  type Density,
  formatNumber,
  formatQuantity,
  type Pressure,
  type Speed,
  type Temperature,
} from "../quantity/index.js";
import { densityOnBranch } from "./density.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import {
  kelvin,
  pressureText,
  rangeNotices,
  requirePositive,
  requireTemperature,
  stateText,
} from "./range.js";
import { saturationOf } from "./saturated.js";
import { type Equilibrium, equilibrium, vapourPressure } from "./saturation.js";
import { type FluidState, type HomogeneousState, homogeneousState, twoPhaseState } from "./state.js";

/** A pressure this close to the vapour pressure does not tell liquid from gas [-]. */
const ON_BOILING_LINE = 1e-7;

/**
 * State at a temperature and a density; two-phase where the density lies between those of boiling
 * liquid and vapour.
 *
 * @param T  [K];  @param rho  mass over volume, of both phases together [kg/m3]
 * Refuses   see `rangeNotices`: below the triple point, solid, beyond the limits of extrapolation
 */
export function stateAtTemperatureDensity(fluid: Fluid, T: Temperature, rho: Density): FluidState {
  const isotherm = new Isotherm(fluid);
  const edge = domeAround(isotherm, T, rho);
  if (edge !== undefined) {
    const { liquid, vapour } = saturationOf(isotherm, edge);
    const quality = (1 / rho - 1 / liquid.rho) / (1 / vapour.rho - 1 / liquid.rho);
    return { ...twoPhaseState(liquid, vapour, quality), rho };
  }
  const p = isotherm.setTemperature(T).pressure(rho) as Pressure;
  return homogeneousState(isotherm, rho, p, rangeNotices(fluid, T, p));
}

/**
 * Pressure at a temperature and a density [Pa]; the vapour pressure inside the dome. Whether it is
 * extrapolated is told by `stateAtTemperatureDensity`.
 * Refuses  as `stateAtTemperatureDensity`
 */
export function pressureAt(fluid: Fluid, T: Temperature, rho: Density): Pressure {
  const isotherm = new Isotherm(fluid);
  const edge = domeAround(isotherm, T, rho);
  if (edge !== undefined) return edge.p;
  const p = isotherm.setTemperature(T).pressure(rho) as Pressure;
  rangeNotices(fluid, T, p);
  return p;
}

/**
 * Speed of sound of a homogeneous fluid [m/s].
 * Refuses  a two-phase state, whose speed of sound depends on how the phases are mixed; and as
 *          `stateAtTemperatureDensity`
 */
export function speedOfSound(fluid: Fluid, T: Temperature, rho: Density): Speed {
  const state = stateAtTemperatureDensity(fluid, T, rho);
  if (state.phase !== "two-phase") return state.w;
  return refuse(
    "two-phase",
    `${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho, "density")}: ${formatNumber(100 * state.quality)} % of its mass is vapour`,
    "Boiling liquid with vapour has no one speed of sound: it depends on how the phases are mixed.",
    "Ask for the speed of sound of the liquid or of the vapour.",
  );
}

/**
 * State at a pressure and a temperature. Exactly on the boiling line the two do not tell how much has
 * boiled; the liquid is returned, with a notice.
 *
 * @param p  absolute pressure [Pa];  @param T  [K]
 * Refuses   see `rangeNotices`
 */
export function stateAtPressureTemperature(fluid: Fluid, p: Pressure, T: Temperature): HomogeneousState {
  const notices = rangeNotices(fluid, T, p);
  const isotherm = new Isotherm(fluid);
  if (T > fluid.critical.T || T < fluid.triple.T) {
    const branch = T > fluid.critical.T ? "supercritical" : "liquid";
    return homogeneousState(isotherm, densityOnBranch(isotherm, branch, T, p), p, notices);
  }
  const edge = equilibrium(fluid, T, isotherm);
  const isOnLine = Math.abs(p / edge.p - 1) < ON_BOILING_LINE;
  const branch = isOnLine || p > edge.p ? "liquid" : "gas";
  const rho = densityOnBranch(isotherm, branch, T, p, edge);
  return homogeneousState(isotherm, rho, p, isOnLine ? [...notices, onLineNotice(fluid, T, p)] : notices);
}

/**
 * State of the liquid at a pressure and a temperature.
 * Refuses  a state that is not liquid: "liquid oxygen at 62 bar(a) and 165 K: above the critical
 *          temperature 154.6 K"; and as `rangeNotices`
 */
export function liquidAtPressureTemperature(fluid: Fluid, p: Pressure, T: Temperature): HomogeneousState {
  const { critical, triple } = fluid;
  rangeNotices(fluid, T, p, "liquid");
  if (T > critical.T) {
    refuse(
      "not-liquid",
      `${stateText(fluid, T, p, "liquid")}: above the critical temperature ${kelvin(critical.T)}`,
      `${fluid.name} has no liquid above its critical temperature, whatever the pressure.`,
      `Lower the temperature below ${kelvin(critical.T)}.`,
    );
  }
  if (T >= triple.T && p < vapourPressure(fluid, T) * (1 - ON_BOILING_LINE)) {
    refuse(
      "not-liquid",
      `${stateText(fluid, T, p, "liquid")}: a gas, below its vapour pressure of ${pressureText(vapourPressure(fluid, T))}`,
      `At ${kelvin(T)} ${fluid.id} is liquid only above its vapour pressure.`,
      "Raise the pressure or lower the temperature.",
    );
  }
  return stateAtPressureTemperature(fluid, p, T);
}

/** The equilibrium at T if the density lies between its two; undefined for a homogeneous fluid. */
function domeAround(isotherm: Isotherm, T: Temperature, rho: Density): Equilibrium | undefined {
  const { fluid } = isotherm;
  requirePositive(fluid, T, "K");
  requirePositive(fluid, rho, "kg/m3");
  requireTemperature(fluid, T, () => `${fluid.id} at ${formatQuantity(rho, "density")}`);
  if (T > fluid.critical.T || T < fluid.triple.T) return undefined;
  const edge = equilibrium(fluid, T, isotherm);
  return rho > edge.rhoVapour && rho < edge.rhoLiquid ? edge : undefined;
}

function onLineNotice(fluid: Fluid, T: number, p: number): Notice {
  return {
    code: "on-boiling-line",
    text: `${stateText(fluid, T, p)} lies on the boiling line; pressure and temperature do not tell how much of it is vapour, and it is taken as liquid`,
  };
}
