/**
 * Density and vapour pressure of the liquid at the inlet, as quadratics in temperature over the
 * spread of the declared fluid temperature, for the inner loop of a band. Three states from the
 * equation of state fix them; at the nominal temperature they are exact.
 */
import { type Notice, refuse } from "../fault/index.js";
import type { Declared, Density, Pressure, Temperature } from "../quantity/index.js";
import { formatQuantity, lawInterval } from "../quantity/index.js";
import { type InletLiquid, inletLiquid } from "../substance/index.js";

export interface LiquidFit {
  readonly fluid: string;
  readonly temperature: Temperature;
  readonly criticalPressure: Pressure;
  readonly density: (T: number) => Density;
  /** At a temperature, kept just below the source's pressure: beyond it the model has no liquid to follow. */
  readonly vapourPressure: (T: number, supply_Pa: number) => Pressure;
  readonly notices: readonly Notice[];
}

/** Half width of the fit where the temperature is certain [K]. */
const leastHalfWidth = 0.5;
/** A wider spread than this is followed only so far [K]. */
const largestHalfWidth = 5;

const normalReach = 4;

/** Refuses a fluid that does not enter the valve as liquid. */
export function liquidFit(name: string, supply: Declared, temperature: Declared): LiquidFit {
  const fluid = inletLiquid(name);
  const T0 = temperature.value as Temperature;
  const p = supply.value as Pressure;
  const state = fluid.at(p, T0);
  if (state.phase !== "liquid") {
    refuse(
      "not-a-liquid",
      `${name} at ${formatQuantity(p, "pressure")} and ${formatQuantity(T0, "temperature")} enters the valve as ${state.phase}`,
      "The flow equations need a liquid at the inlet.",
      "Raise the supply pressure, lower the fluid temperature, or set the outlet to dead-ended if nothing flows in this test.",
    );
  }
  const { law } = temperature;
  const outer = lawInterval(law, temperature.value);
  // A normal law has no end: beyond four deviations lie 6 in 100,000.
  const tail = law.kind === "normal" ? normalReach * law.deviation : Number.POSITIVE_INFINITY;
  const spread = { low: Math.max(outer.low, T0 - tail), high: Math.min(outer.high, T0 + tail) };
  const reach = Math.max(spread.high - T0, T0 - spread.low);
  const wanted = Number.isFinite(reach) ? reach : largestHalfWidth;
  const boiling = liquidLimit(fluid, p, T0);
  const room = Math.min(boiling - T0, T0 - fluid.coldest);
  const d = Math.min(Math.max(wanted, leastHalfWidth), largestHalfWidth, Math.max(0.9 * room, leastRoom));
  const followed = (T: number) => Math.min(Math.max(T, T0 - d), T0 + d);
  const at = (T: number) => fluid.at(p, T as Temperature).rho;
  const density = quadratic(T0, d, at(T0 - d), state.rho, at(T0 + d));
  const logVapour = (T: number) => Math.log(fluid.vapourPressure(T as Temperature));
  const vapour = quadratic(T0, d, logVapour(T0 - d), logVapour(T0), logVapour(T0 + d));
  return {
    fluid: name,
    temperature: T0,
    criticalPressure: fluid.critical.p,
    density: (T) => density(followed(T)) as Density,
    vapourPressure: (T, supply_Pa) =>
      Math.min(Math.exp(vapour(followed(T))), boilingShare * supply_Pa) as Pressure,
    notices: [...state.notices, ...narrowed(name, T0, wanted, d)],
  };
}

/** Says how far a spread of the temperature is followed, where that is not all of it. */
function narrowed(name: string, T0: number, wanted: number, d: number): readonly Notice[] {
  if (!(wanted > d)) return [];
  return [
    {
      code: "fluid-temperature-narrowed",
      field: "fluid_temperature",
      text: `density and vapour pressure of ${name} are followed from ${(T0 - d).toFixed(1)} to ${(T0 + d).toFixed(1)} K; the declared spread reaches ${(wanted - d).toFixed(1)} K further, where the value at the end is held`,
    },
  ];
}

/** Half width beside a phase boundary [K]. */
const leastRoom = 1e-3;
const boilingShare = 0.999;

/** Highest temperature at which the inlet is still liquid, near enough for the width of a fit [K]. */
function liquidLimit(fluid: InletLiquid, p: number, T0: number): number {
  for (let step = largestHalfWidth; step > 1e-3; step /= 2) {
    const T = T0 + step;
    if (T < fluid.critical.T && fluid.vapourPressure(T as Temperature) < p) return T;
  }
  return T0;
}

function quadratic(x0: number, d: number, low: number, middle: number, high: number): (x: number) => number {
  const slope = (high - low) / (2 * d);
  const bend = (high - 2 * middle + low) / (2 * d * d);
  return (x) => middle + (x - x0) * (slope + bend * (x - x0));
}
