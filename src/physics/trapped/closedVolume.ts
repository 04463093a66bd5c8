/**
 * The pressure clock: a fluid that two closed elements shut in, and the heat that flows to it.
 *
 * Mass and cavity are closed. The cavity grows with pressure, V = V0 (1 + (p - p0) / K), with K the
 * stiffness of its wall; a rigid one has no K. Heat goes into the fluid and into the work on the wall:
 *
 *   rho(p) = m / V(p),   T(p) from p = p(T, rho),   Q(p) = m (u(p) - u0) + V0 (p^2 - p0^2) / (2 K)
 *
 * and with a constant heat leak q the pressure p is reached after t = Q(p) / q. This is the closed form
 * of the rate dp/dt = (beta q / (rho cp V)) / (kappa_s + 1/K) (docs/theory/trapped.md, "The clock").
 * The heat leak of a warming volume falls, so that the true clock is slower; stratification makes the
 * pressure of a volume with ullage rise faster than that of the mixed fluid taken here.
 */
import { findRoot } from "../../numerics/index.js";
import type {
  Density,
  Energy,
  Mass,
  Power,
  Pressure,
  SpecificEnergy,
  Temperature,
  Time,
  Volume,
} from "../../quantity/index.js";
import {
  type Fluid,
  homogeneousPressure,
  isochore,
  liquidAtPressureTemperature,
  saturationAtPressure,
  saturationAtTemperature,
  stateAtTemperatureDensity,
  vapourPressure,
} from "../../substance/index.js";

/** A volume at the moment in which it is closed. */
export interface ClosedVolume {
  readonly fluid: Fluid;
  /** Volume at the pressure of closing [m3]. */
  readonly volume: Volume;
  /** Pressure of closing, of a volume full of liquid; with ullage it is the vapour pressure [Pa]. */
  readonly pressure: Pressure;
  readonly temperature: Temperature;
  /** Share of the volume that liquid fills, the rest its own vapour; 1 for full of liquid [-]. */
  readonly fill: number;
  /** Pressure rise over relative growth of the volume, K = V dp/dV [Pa]; undefined for a rigid wall. */
  readonly wallStiffness: number | undefined;
}

/** What is shut in. */
export interface TrappedFluid {
  readonly closed: ClosedVolume;
  readonly mass: Mass;
  /** Pressure at closing [Pa]. */
  readonly p0: Pressure;
  readonly u0: SpecificEnergy;
}

/** One point of the path. */
export interface TrappedState {
  readonly p: Pressure;
  readonly T: Temperature;
  /** Heat taken up since closing [J]. */
  readonly heat: Energy;
}

/** Pressure after warming to a temperature. */
export interface WarmedPressure {
  readonly p: Pressure;
  /** True above the published range of the equation of state, where `p` is no more than an order of size. */
  readonly isBeyond: boolean;
}

/** Temperatures are sought to this [K]. */
const temperatureTolerance = 1e-7;
/** Pressures are sought to this share of themselves [-]. */
const pressureTolerance = 1e-9;

/**
 * The fluid of a volume at the moment of closing.
 * Refuses  a full volume whose fluid is no liquid at its pressure and temperature
 */
export function trappedFluid(closed: ClosedVolume): TrappedFluid {
  const { fluid, volume, pressure, temperature, fill } = closed;
  if (fill >= 1) {
    const { rho, u } = liquidAtPressureTemperature(fluid, pressure, temperature);
    return { closed, mass: (rho * volume) as Mass, p0: pressure, u0: u };
  }
  const { liquid, vapour, p } = saturationAtTemperature(fluid, temperature);
  const liquidMass = fill * volume * liquid.rho;
  const vapourMass = (1 - fill) * volume * vapour.rho;
  const mass = (liquidMass + vapourMass) as Mass;
  return {
    closed,
    mass,
    p0: p,
    u0: ((liquidMass * liquid.u + vapourMass * vapour.u) / mass) as SpecificEnergy,
  };
}

/** Density at a pressure [kg/m3]. */
function densityAt({ closed, mass, p0 }: TrappedFluid, p: number): Density {
  const { volume, wallStiffness } = closed;
  const growth = wallStiffness === undefined ? 0 : (p - p0) / wallStiffness;
  return (mass / (volume * (1 + growth))) as Density;
}

/**
 * The state in which the shut-in fluid has a pressure.
 * @param p  at or above the pressure at closing [Pa]
 * @returns  undefined where no temperature of the equation of state gives this pressure
 */
export function trappedStateAt(trapped: TrappedFluid, p: Pressure): TrappedState | undefined {
  const { closed, mass, p0, u0 } = trapped;
  const { fluid, volume, wallStiffness } = closed;
  const rho = densityAt(trapped, p);
  const T = temperatureAt(trapped, p, rho);
  if (T === undefined) return undefined;
  const { u } = stateAtTemperatureDensity(fluid, T, rho);
  const wallWork = wallStiffness === undefined ? 0 : (volume * (p * p - p0 * p0)) / (2 * wallStiffness);
  return { p, T, heat: (mass * (u - u0) + wallWork) as Energy };
}

/** Temperature of the fluid at a pressure and density; two-phase ones boil at it. */
function temperatureAt({ closed }: TrappedFluid, p: Pressure, rho: Density): Temperature | undefined {
  const { fluid, temperature, fill } = closed;
  const isPressure = (T: number) => homogeneousPressure(fluid, T as Temperature, rho).p - p;
  const between = (low: number, high: number): Temperature | undefined =>
    isPressure(high) < 0 || isPressure(low) > 0
      ? undefined
      : (findRoot(isPressure, low, high, { tolerance: temperatureTolerance }) as Temperature);
  const hottest = fluid.extrapolation.TMax;
  if (p < fluid.critical.p) {
    const { T, liquid, vapour } = saturationAtPressure(fluid, p);
    if (rho < vapour.rho) return between(T, hottest);
    if (rho < liquid.rho) return T;
    return p <= vapourPressure(fluid, temperature) ? temperature : (between(temperature, T) ?? temperature);
  }
  if (rho <= fluid.critical.rho) return between(fluid.critical.T, hottest);
  const full = fill >= 1 ? temperature : (isochore(fluid, rho).fullAt ?? temperature);
  return between(full, hottest);
}

/**
 * Time from closing to a pressure, t = Q(p) / q.
 * @param q        heat leak, > 0 [W];  @param warmest  temperature at which no more heat flows [K]
 * @returns        undefined where warming to `warmest` does not reach the pressure
 */
export function timeToPressure(
  trapped: TrappedFluid,
  p: Pressure,
  q: Power,
  warmest: Temperature,
): Time | undefined {
  if (p <= trapped.p0) return 0 as Time;
  const state = trappedStateAt(trapped, p);
  return state === undefined || state.T > warmest ? undefined : ((state.heat / q) as Time);
}

/**
 * Pressure once the shut-in fluid is as warm as its surroundings: a root of p = p(T, m / V(p)).
 * @param T  [K]; at or below the temperature of closing nothing rises
 */
export function warmedPressure(trapped: TrappedFluid, T: Temperature): WarmedPressure {
  const { closed, p0 } = trapped;
  const { fluid, temperature } = closed;
  if (T <= temperature) return { p: p0, isBeyond: false };
  const most = fluid.extrapolation.pMax;
  const excess = (p: number) => pressureOf(fluid, T, densityAt(trapped, p)) - p;
  if (excess(most) > 0) return { p: most, isBeyond: true };
  if (excess(p0) <= 0) return { p: p0, isBeyond: false };
  const p = findRoot(excess, p0, most, { tolerance: pressureTolerance * most }) as Pressure;
  return { p, isBeyond: p > fluid.validity.pMax };
}

/** Pressure of the equation of state, also beyond the range in which a state is vouched for. */
function pressureOf(fluid: Fluid, T: Temperature, rho: Density): number {
  if (T < fluid.critical.T) {
    const { liquid, vapour, p } = saturationAtTemperature(fluid, T);
    if (rho > vapour.rho && rho < liquid.rho) return p;
  }
  return homogeneousPressure(fluid, T, rho).p;
}
