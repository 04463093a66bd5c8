/**
 * What must leave a heated volume so that its pressure stays, and the hole that lets it out.
 *
 * At constant pressure the fluid swells with its heat, and the swelling leaves at the state it has:
 *
 *   W = (q / v) (dv/dh)_p     = beta q / cp                        one phase
 *                             = q (v'' - v') / (v (h'' - h'))      boiling, v of what leaves
 *
 * Through a hole it runs loss-free and in equilibrium (homogeneous equilibrium model, [api-520-1-2014,
 * annex C]): flux G = max over p2 of rho2 sqrt(2 (h1 - h2)) at constant entropy, the largest being the
 * choked one. The hole needs A = W / (Cd G); the state that asks for most on the way from the closing
 * temperature to that of the surroundings decides. In a hole shorter than some 0.1 m the liquid has not
 * the time to boil and more passes than this, so that the area is on the large side
 * (docs/theory/trapped.md, "The vent hole"). Ice and particles are not in it.
 */
import type { Power, Pressure, PressureDifference, Temperature } from "../../quantity/index.js";
import {
  type Fluid,
  type FluidState,
  type HomogeneousState,
  homogeneousPressure,
  isentropicExpansion,
  saturationAtPressure,
  stateAtPressureEnthalpy,
  stateAtPressureTemperature,
} from "../../substance/index.js";

/** A heated volume that is kept at a pressure by an opening. */
export interface Venting {
  readonly fluid: Fluid;
  /** Pressure at which the volume is kept [Pa]. */
  readonly pressure: Pressure;
  /** Pressure behind the opening, below it [Pa]. */
  readonly behind: Pressure;
  /** Temperature at closing and of the surroundings [K]. */
  readonly coldest: Temperature;
  readonly warmest: Temperature;
}

/** The state that asks for the largest opening. */
export interface NeededOpening {
  /** Opening per heat leak, without discharge coefficient [m2/W]. */
  readonly area_m2_W: number;
  /** Mass flow per heat leak [kg/(s W)]. */
  readonly massFlow_kg_J: number;
  /** Flux through the opening, without discharge coefficient [kg/(m2 s)]. */
  readonly flux: number;
  /** "liquid", "boiling liquid", "boiling mixture", "vapour" or "fluid above its critical pressure". */
  readonly of: string;
}

/** Steps of the golden section: the pressure of the throat to 0.3 % of the range. */
const throatSteps = 12;
const golden = (Math.sqrt(5) - 1) / 2;
/** States looked at between closing and warm at a pressure above the critical one, and in search of where the fluid swells most there. */
const supercriticalStates = 6;
const searchedStates = 25;
/** Steps that close in on the worst of them. */
const closingSteps = 7;
/** Shares of vapour looked at [-]. */
const qualities = [0.02, 0.2, 0.5] as const;

/**
 * Largest mass flux of an expansion to a pressure or above it: choked where the largest lies before it.
 * @returns G without discharge coefficient [kg/(m2 s)]
 */
export function equilibriumFlux(fluid: Fluid, from: FluidState, behind: Pressure): number {
  const flux = (p: number) => isentropicExpansion(fluid, from, p as Pressure).massFlux;
  let low: number = behind;
  let high: number = from.p;
  let lower = high - golden * (high - low);
  let upper = low + golden * (high - low);
  let atLower = flux(lower);
  let atUpper = flux(upper);
  for (let step = 1; step < throatSteps; step++) {
    if (atLower > atUpper) {
      high = upper;
      [upper, atUpper] = [lower, atLower];
      lower = high - golden * (high - low);
      atLower = flux(lower);
    } else {
      low = lower;
      [lower, atLower] = [upper, atUpper];
      upper = low + golden * (high - low);
      atUpper = flux(upper);
    }
  }
  const largest = Math.max(flux(behind), atLower, atUpper);
  return largest;
}

/**
 * The opening that keeps a heated volume at its pressure, per watt of heat leak.
 * Refuses  states outside the equation of state
 */
export function neededOpening(venting: Venting): NeededOpening {
  const { fluid, pressure, behind } = venting;
  const opening = ({ state, of, swelling }: OnTheWay): NeededOpening => {
    const flux = equilibriumFlux(fluid, state, behind);
    const massFlow = swelling * state.rho;
    return { area_m2_W: massFlow / flux, massFlow_kg_J: massFlow, flux, of };
  };
  const worse = (a: NeededOpening, b: NeededOpening) => (b.area_m2_W > a.area_m2_W ? b : a);
  const asked = statesOnTheWay(venting).map(opening).reduce(worse);
  return pressure < fluid.critical.p ? asked : worse(asked, swellingMost(venting, opening));
}

/**
 * Above the critical pressure the fluid swells most in a narrow range of temperatures. A liquid passes with the root of
 * its density, so that swelling times that root finds the range; the flux itself closes in on the worst of it.
 */
function swellingMost(
  { fluid, pressure, coldest, warmest }: Venting,
  opening: (way: OnTheWay) => NeededOpening,
): NeededOpening {
  const at = (T: number): OnTheWay => {
    const state = stateAtPressureTemperature(fluid, pressure, T as Temperature);
    return { state, of: supercritical, swelling: swellingOf(fluid, state) };
  };
  const ratio = Math.max(warmest / coldest, 1) ** (1 / (searchedStates - 1));
  let [most, place] = [0, 0];
  for (let j = 0; j < searchedStates; j++) {
    const { state, swelling } = at(coldest * ratio ** j);
    const proxy = swelling * Math.sqrt(state.rho);
    if (proxy > most) [most, place] = [proxy, j];
  }
  let low = coldest * ratio ** Math.max(place - 1, 0);
  let high = coldest * ratio ** Math.min(place + 1, searchedStates - 1);
  let [lower, upper] = [high - golden * (high - low), low + golden * (high - low)];
  let [atLower, atUpper] = [opening(at(lower)), opening(at(upper))];
  let worst = atLower.area_m2_W > atUpper.area_m2_W ? atLower : atUpper;
  for (let step = 0; step < closingSteps; step++) {
    if (atLower.area_m2_W > atUpper.area_m2_W) {
      high = upper;
      [upper, atUpper] = [lower, atLower];
      lower = high - golden * (high - low);
      atLower = opening(at(lower));
      if (atLower.area_m2_W > worst.area_m2_W) worst = atLower;
    } else {
      low = lower;
      [lower, atLower] = [upper, atUpper];
      upper = low + golden * (high - low);
      atUpper = opening(at(upper));
      if (atUpper.area_m2_W > worst.area_m2_W) worst = atUpper;
    }
  }
  return worst;
}

const supercritical = "fluid above its critical pressure";

interface OnTheWay {
  readonly state: FluidState;
  readonly of: string;
  /** (dv/dh)_p [m3/J]. */
  readonly swelling: number;
}

function statesOnTheWay({ fluid, pressure, coldest, warmest }: Venting): readonly [OnTheWay, ...OnTheWay[]] {
  const single = (T: number, of: string): OnTheWay => {
    const state = stateAtPressureTemperature(fluid, pressure, T as Temperature);
    return { state, of, swelling: swellingOf(fluid, state) };
  };
  if (pressure >= fluid.critical.p) {
    const ratio = Math.max(warmest / coldest, 1);
    const rest = Array.from({ length: supercriticalStates - 1 }, (_, j) =>
      single(coldest * ratio ** ((j + 1) / (supercriticalStates - 1)), supercritical),
    );
    return [single(coldest, "liquid"), ...rest];
  }
  const { T, liquid, vapour } = saturationAtPressure(fluid, pressure);
  const swelling = (1 / vapour.rho - 1 / liquid.rho) / (vapour.h - liquid.h);
  const mixtures = qualities.map((quality): OnTheWay => {
    const h = liquid.h + quality * (vapour.h - liquid.h);
    return {
      state: stateAtPressureEnthalpy(fluid, pressure, h as typeof liquid.h),
      of: "boiling mixture",
      swelling,
    };
  });
  const first: OnTheWay =
    coldest < T ? single(coldest, "liquid") : { state: liquid, of: "boiling liquid", swelling };
  return warmest <= T
    ? [first]
    : [
        first,
        { state: liquid, of: "boiling liquid", swelling },
        ...mixtures,
        { state: vapour, of: "vapour", swelling },
      ];
}

/** (dv/dh)_p = beta v / cp of one phase, beta = (dp/dT)_rho / (rho (dp/drho)_T) [m3/J]. */
function swellingOf(fluid: Fluid, { T, rho, cp }: HomogeneousState): number {
  const { dpdT, dpdrho } = homogeneousPressure(fluid, T, rho);
  return dpdT / (rho * dpdrho) / (rho * cp);
}

/** A rise above this share of the pressure behind is no small one: the fluid's density changes in the hole [-]. */
const smallRise = 0.02;

/**
 * Rise over the pressure behind with which an opening carries off the heat, dp = (W / (Cd A))^2 / (2 rho),
 * the largest on the way; for rises so small that the density stays.
 * @param venting  with `pressure` equal to the pressure behind;  @param q  heat leak [W]
 * @param CdA      discharge coefficient times area [m2]
 * @returns        [Pa]; undefined where the rise is no small one
 */
export function ventedRise(venting: Venting, q: Power, CdA: number): PressureDifference | undefined {
  const rises = statesOnTheWay(venting).map(({ state, swelling }) => {
    const flux = (q * swelling * state.rho) / CdA;
    return (flux * flux) / (2 * state.rho);
  });
  const rise = Math.max(...rises);
  return rise <= smallRise * venting.behind ? (rise as PressureDifference) : undefined;
}
