/**
 * The state of a fluid: what a state record holds, and its values from the equation of state.
 *
 *   u  = R T (a0_t + ar_t)            h = u + p / rho           s = R (a0_t + ar_t - a0 - ar)
 *   cv = -R (a0_tt + ar_tt)           cp = cv + R (1 + ar_d - ar_dt)^2 / (1 + 2 ar_d + ar_dd)
 *   w^2 = dp/drho|T + T (dp/dT|rho)^2 / (rho^2 cv)
 *
 * R is the specific gas constant; a0_t is tau times the derivative of the ideal part, and so on.
 * Source  [span-2000, table 26], [iapws-r6-95, table 3]
 */
import type { Notice } from "../fault/index.js";
import {
  type Density,
  formatQuantity,
  type Pressure,
  type SpecificEnergy,
  type SpecificEntropy,
  type Speed,
  type Temperature,
} from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { idealPart } from "./ideal.js";
import type { Isotherm } from "./isotherm.js";
import { kelvin } from "./range.js";

/** Phase of a homogeneous fluid. Supercritical: both temperature and pressure above the critical point's. */
export type Phase = "liquid" | "gas" | "supercritical";

/** What homogeneous and two-phase states share. The zero of h, s and u is the fluid's own: use differences. */
interface StateValues {
  /** Temperature [K]. */
  readonly T: Temperature;
  /** Absolute pressure [Pa]. */
  readonly p: Pressure;
  /** Density [kg/m3]; of the mixture in a two-phase state, as are h, s and u. */
  readonly rho: Density;
  /** Specific enthalpy [J/kg]. */
  readonly h: SpecificEnergy;
  /** Specific entropy [J/(kg K)]. */
  readonly s: SpecificEntropy;
  /** Specific internal energy [J/kg]. */
  readonly u: SpecificEnergy;
  /** Caveats: extrapolation and closeness to the critical point; empty when there is none. */
  readonly notices: readonly Notice[];
}

/** State of a homogeneous fluid. */
export interface HomogeneousState extends StateValues {
  readonly phase: Phase;
  /** Heat capacity at constant volume [J/(kg K)]. */
  readonly cv: SpecificEntropy;
  /** Heat capacity at constant pressure [J/(kg K)]; infinite at the critical point. */
  readonly cp: SpecificEntropy;
  /** Speed of sound [m/s]. */
  readonly w: Speed;
}

/** Boiling liquid and its vapour together, at rest and in equilibrium. It has no cp and no one speed of sound. */
export interface TwoPhaseState extends StateValues {
  readonly phase: "two-phase";
  /** Mass share of vapour, 0 to 1 [-]. */
  readonly quality: number;
  readonly liquid: HomogeneousState;
  readonly vapour: HomogeneousState;
}

export type FluidState = HomogeneousState | TwoPhaseState;

/** Within these relative distances of the critical point a notice is given. Estimate, no source. */
const NEAR_CRITICAL_TEMPERATURE = 1e-3;
const NEAR_CRITICAL_DENSITY = 0.25;

/**
 * State of a homogeneous fluid on an isotherm.
 * @param p  pressure where it is known better than the density gives it: that of a liquid near the
 *           triple point is lost in rounding [Pa]
 */
export function homogeneousState(
  isotherm: Isotherm,
  rho: Density,
  p: Pressure,
  notices: readonly Notice[],
): HomogeneousState {
  const { fluid, residual, T, RT } = isotherm;
  isotherm.pressure(rho);
  const R = fluid.specificGasConstant;
  const ideal = idealPart(fluid.file.equation_of_state.ideal, fluid.reducing.T / T);
  const { dpdT, dpdrho } = isotherm;
  const u = RT * (ideal.aT + residual.aT);
  const s = R * (ideal.aT + residual.aT - ideal.a - Math.log(rho / fluid.reducing.rho) - residual.a);
  const cv = -R * (ideal.aTT + residual.aTT);
  const heatOfExpansion = (T * dpdT * dpdT) / (rho * rho);
  const cp = dpdrho > 0 ? cv + heatOfExpansion / dpdrho : Number.POSITIVE_INFINITY;
  const w = Math.sqrt(dpdrho + heatOfExpansion / cv);
  return {
    phase: phaseOf(fluid, T, p, rho),
    T: T as Temperature,
    p,
    rho,
    h: (u + p / rho) as SpecificEnergy,
    s: s as SpecificEntropy,
    u: u as SpecificEnergy,
    cv: cv as SpecificEntropy,
    cp: cp as SpecificEntropy,
    w: w as Speed,
    notices: isNearCritical(fluid, T, rho) ? [...notices, nearCriticalNotice(fluid, T, rho)] : notices,
  };
}

/** State of boiling liquid and vapour together. @param quality  mass share of vapour, 0 to 1 [-] */
export function twoPhaseState(
  liquid: HomogeneousState,
  vapour: HomogeneousState,
  quality: number,
): TwoPhaseState {
  const mixed = (ofLiquid: number, ofVapour: number) => ofLiquid + quality * (ofVapour - ofLiquid);
  return {
    phase: "two-phase",
    T: liquid.T,
    p: liquid.p,
    rho: (1 / mixed(1 / liquid.rho, 1 / vapour.rho)) as Density,
    h: mixed(liquid.h, vapour.h) as SpecificEnergy,
    s: mixed(liquid.s, vapour.s) as SpecificEntropy,
    u: mixed(liquid.u, vapour.u) as SpecificEnergy,
    quality,
    liquid,
    vapour,
    notices: [...liquid.notices, ...vapour.notices],
  };
}

function phaseOf(fluid: Fluid, T: number, p: number, rho: number): Phase {
  const { critical } = fluid;
  if (T > critical.T) return p > critical.p ? "supercritical" : "gas";
  return rho > critical.rho ? "liquid" : "gas";
}

function isNearCritical(fluid: Fluid, T: number, rho: number): boolean {
  return (
    Math.abs(T / fluid.critical.T - 1) < NEAR_CRITICAL_TEMPERATURE &&
    Math.abs(rho / fluid.critical.rho - 1) < NEAR_CRITICAL_DENSITY
  );
}

function nearCriticalNotice(fluid: Fluid, T: number, rho: number): Notice {
  return {
    code: "near-critical-point",
    text: `${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho, "density")} is close to its critical point (${kelvin(fluid.critical.T)}, ${formatQuantity(fluid.critical.rho, "density")}), where heat capacities and speed of sound from the equation of state are uncertain`,
  };
}
