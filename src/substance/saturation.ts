/**
 * Boiling liquid and its vapour in equilibrium: at one temperature both have the same pressure and the
 * same Gibbs energy,
 *
 *   J(delta) = delta (1 + delta a_delta),   K(delta) = delta a_delta + a^r + ln(delta)
 *   J(delta') = J(delta''),   K(delta') = K(delta'')
 *
 * solved by Newton's method in both densities [akasaka-2008, eq. 8-13], from fits in the data file.
 * Derivation and the trouble near the critical point: docs/theory/fluids.md, "Saturation".
 */
import { refuse } from "../fault/index.js";
import { findRoot } from "../numerics/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import type { SaturationFit } from "./fluidFile.js";
import { Isotherm } from "./isotherm.js";
import { requireSaturationPressure, requireSaturationTemperature } from "./range.js";

/** Densities and pressure of boiling liquid and its vapour at one temperature. */
export interface Equilibrium {
  readonly T: Temperature;
  readonly p: Pressure;
  readonly rhoLiquid: Density;
  readonly rhoVapour: Density;
}

/** Above this share of the critical temperature the two phases are too alike for Newton's method in doubles. */
const NEWTON_LIMIT = 0.9998;
/** Longest relative step of the liquid density: further off lie the loops, from which no step returns. */
const LONGEST_LIQUID_STEP = 0.02;
/** Longest relative step of the vapour density. */
const LONGEST_VAPOUR_STEP = 0.1;
/** A relative step below this is rounding. */
const CONVERGED = 1e-13;
/** A relative step below this that no longer shrinks is rounding too: near the critical point it is larger. */
const NEARLY_CONVERGED = 1e-7;
const MOST_ITERATIONS = 60;

/**
 * Equilibrium at a temperature between triple and critical point [K].
 * @param isotherm  working storage; left at temperature T
 * Refuses  a temperature outside that range.
 */
export function equilibrium(fluid: Fluid, T: Temperature, isotherm = new Isotherm(fluid)): Equilibrium {
  requireSaturationTemperature(fluid, T);
  return T <= NEWTON_LIMIT * fluid.critical.T
    ? solvedEquilibrium(fluid, T, isotherm)
    : nearCriticalEquilibrium(fluid, T, isotherm);
}

/**
 * Vapour pressure of the boiling liquid [Pa], between triple and critical point.
 * Refuses  a temperature outside that range.
 */
export function vapourPressure(fluid: Fluid, T: Temperature): Pressure {
  return equilibrium(fluid, T).p;
}

/**
 * Boiling temperature at a pressure [K], between triple and critical point.
 * Refuses  a pressure outside that range.
 */
export function saturationTemperature(fluid: Fluid, p: Pressure): Temperature {
  const isotherm = new Isotherm(fluid);
  requireSaturationPressure(fluid, p, criticalPressure(fluid, isotherm));
  const { triple, critical } = fluid;
  const excess = (T: number) => Math.log(equilibrium(fluid, T as Temperature, isotherm).p / p);
  if (excess(triple.T) >= 0) return triple.T;
  if (excess(critical.T) <= 0) return critical.T;
  // ln p is nearly a straight line in 1/T; the inverse of an inverse may pass the ends by rounding.
  const within = (T: number) => Math.min(critical.T, Math.max(triple.T, T));
  const inverse = findRoot((x) => excess(within(1 / x)), 1 / critical.T, 1 / triple.T);
  return within(1 / inverse) as Temperature;
}

/** Pressure of the equation at its critical temperature and density [Pa]; differs from the listed one by rounding. */
export function criticalPressure(fluid: Fluid, isotherm = new Isotherm(fluid)): Pressure {
  return isotherm.setTemperature(fluid.critical.T).pressure(fluid.critical.rho) as Pressure;
}

function solvedEquilibrium(fluid: Fluid, T: Temperature, isotherm: Isotherm): Equilibrium {
  const { residual } = isotherm.setTemperature(T);
  const start = fluid.file.saturation_start;
  const reducing = fluid.file.equation_of_state.reducing.rho_mol_m3;
  let liquid = startingValue(start.rho_liquid_mol_m3, T) / reducing;
  let vapour = startingValue(start.rho_vapour_mol_m3, T) / reducing;
  let step = Number.POSITIVE_INFINITY;
  for (let iteration = 0; !(step <= CONVERGED); iteration++) {
    if (iteration === MOST_ITERATIONS) refuseUnconverged(fluid, T, step);
    residual.evaluate(liquid);
    const J1 = liquid * (1 + residual.aD);
    const K1 = residual.aD + residual.a + Math.log(liquid);
    const slope1 = 1 + 2 * residual.aD + residual.aDD;
    residual.evaluate(vapour);
    const J2 = vapour * (1 + residual.aD);
    const K2 = residual.aD + residual.a + Math.log(vapour);
    const slope2 = 1 + 2 * residual.aD + residual.aDD;
    // dK/ddelta is dJ/ddelta over delta, which makes the determinant this simple.
    const determinant = slope1 * slope2 * (1 / liquid - 1 / vapour);
    const liquidStep = ((J1 - J2) * (slope2 / vapour) + slope2 * (K2 - K1)) / determinant;
    const vapourStep = (slope1 * (K2 - K1) + (slope1 / liquid) * (J1 - J2)) / determinant;
    liquid += clamp(liquidStep, LONGEST_LIQUID_STEP * liquid);
    vapour += clamp(vapourStep, LONGEST_VAPOUR_STEP * vapour);
    const before = step;
    step = Math.max(Math.abs(liquidStep / liquid), Math.abs(vapourStep / vapour));
    if (step < NEARLY_CONVERGED && step >= before / 2) break;
  }
  const rhoVapour = (vapour * fluid.reducing.rho) as Density;
  // Near the triple point the pressure of the liquid side is lost in rounding; the vapour's is not.
  const p = isotherm.pressure(rhoVapour) as Pressure;
  return { T, p, rhoLiquid: (liquid * fluid.reducing.rho) as Density, rhoVapour };
}

/**
 * Equilibrium in the last 0.02 % below the critical temperature: densities close on the critical one
 * by a square root of the distance, the pressure on that of the critical isochore by its square.
 */
function nearCriticalEquilibrium(fluid: Fluid, T: Temperature, isotherm: Isotherm): Equilibrium {
  const { critical } = fluid;
  const edge = (NEWTON_LIMIT * critical.T) as Temperature;
  const atEdge = solvedEquilibrium(fluid, edge, isotherm);
  const offIsochore = atEdge.p - isotherm.pressure(critical.rho);
  const closeness = Math.sqrt((critical.T - T) / (critical.T - edge));
  const p = isotherm.setTemperature(T).pressure(critical.rho) + offIsochore * closeness ** 4;
  const density = (edgeDensity: number) =>
    (critical.rho + (edgeDensity - critical.rho) * closeness) as Density;
  return {
    T,
    p: p as Pressure,
    rhoLiquid: density(atEdge.rhoLiquid),
    rhoVapour: density(atEdge.rhoVapour),
  };
}

/** Fit that starts the iteration, in the unit of its file entry. */
function startingValue(fit: SaturationFit, T: number): number {
  const distance = 1 - T / fit.T_r_K;
  let sum = 0;
  for (const { n, t } of fit.terms) sum += n * distance ** t;
  return fit.form === "linear" ? fit.value_r * (1 + sum) : fit.value_r * Math.exp((sum * fit.T_r_K) / T);
}

function clamp(step: number, longest: number): number {
  return Math.min(longest, Math.max(-longest, step));
}

function refuseUnconverged(fluid: Fluid, T: number, step: number): never {
  return refuse(
    "saturation-not-converged",
    `the boiling densities of ${fluid.id} at ${T} K were not found: the last relative step was ${step}`,
    `Equal pressure and Gibbs energy of both phases within ${MOST_ITERATIONS} steps.`,
    "Choose another temperature.",
  );
}
