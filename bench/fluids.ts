/**
 * One evaluation of the equation of state, p(T, rho) with both derivatives, over liquid and gas of
 * oxygen, and one lookup in its fast tables, density with both derivatives and enthalpy at (p, T).
 * States are walked so that no isotherm repeats.
 */
import type { Density, Pressure, Temperature } from "../src/quantity/index.js";
import {
  type FluidTable,
  fluid,
  fluidTable,
  homogeneousPressure,
  stateAtPressureTemperature,
} from "../src/substance/index.js";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";
import { timeOfCall } from "./timing.js";

const oxygen = fluid("oxygen");

/**
 * Saturation pressure of the boiling liquid at a published state: 80 K and 37203 mol/m3 give 30.12 kPa
 * [stewart-1991, table 10]. A liquid is so stiff that a density of five digits fixes its pressure only
 * within 4 kPa, so the density is compared: the distance in pressure over rho dp/drho.
 */
const published = { T: 80, rho_mol_m3: 37203, p: 30120, molarMass: 0.031_998_8 } as const;

/** States walked: from the triple point to gas at ambient temperature. */
const states = 64;

/** Relative distance of the density from the published one at its pressure [-]. */
export function densityError(): number {
  const rho = published.rho_mol_m3 * published.molarMass;
  const found = homogeneousPressure(oxygen, published.T as Temperature, rho as Density);
  return Math.abs((found.p - published.p) / found.dpdrho / rho);
}

/** Largest relative distance of the derivatives from central differences of the pressure over the states [-]. */
export function derivativeError(): number {
  let worst = 0;
  for (let n = 0; n < states; n++) {
    const { T, rho } = stateOf(n);
    const at = (t: number, r: number) => homogeneousPressure(oxygen, t as Temperature, r as Density);
    const { dpdT, dpdrho } = at(T, rho);
    const dT = 1e-4 * T;
    const dr = 1e-4 * rho;
    const slopeT = (at(T + dT, rho).p - at(T - dT, rho).p) / (2 * dT);
    const slopeRho = (at(T, rho + dr).p - at(T, rho - dr).p) / (2 * dr);
    worst = Math.max(worst, Math.abs(slopeT / dpdT - 1), Math.abs(slopeRho / dpdrho - 1));
  }
  return worst;
}

/** Liquid from 60 to 100 K in turns with gas from 200 to 320 K. */
function stateOf(n: number): { T: number; rho: number } {
  const x = (n % states) / states;
  return n % 2 === 0 ? { T: 60 + 40 * x, rho: 1300 - 180 * x } : { T: 200 + 120 * x, rho: 2 + 60 * x };
}

export const equationOfState: Bench = {
  name: "equation of state, p(T, rho) with derivatives",
  budget: { kind: "at most", value: 1.5e-6, setWhere: budgetMachine },
  run: () => {
    let n = 0;
    const value = timeOfCall(() => {
      const { T, rho } = stateOf(n++);
      const { p, dpdT, dpdrho } = homogeneousPressure(oxygen, T as Temperature, rho as Density);
      return p + dpdT + dpdrho;
    });
    return {
      value,
      unit: "s",
      accuracy: `density of boiling oxygen at 80 K within ${densityError().toExponential(0)} of the published one, derivatives within ${derivativeError().toExponential(0)} of differences`,
    };
  },
};

/** Liquid to 100 bar, and gas about ambient temperature to 60 bar. */
const tables = (): readonly [FluidTable, FluidTable] => [
  fluidTable(oxygen, {
    region: "liquid",
    TMin: 60 as Temperature,
    TMax: 130 as Temperature,
    pMin: 1 as Pressure,
    pMax: 100e5 as Pressure,
  }),
  fluidTable(oxygen, {
    region: "gas",
    TMin: 200 as Temperature,
    TMax: 320 as Temperature,
    pMin: 1e4 as Pressure,
    pMax: 60e5 as Pressure,
  }),
];

/** Pressures and temperatures spread over both tables, precomputed: a lookup is shorter than making them. */
function tableStates(count: number): { readonly p: Float64Array; readonly T: Float64Array } {
  const p = new Float64Array(count);
  const T = new Float64Array(count);
  for (let n = 0; n < count; n++) {
    const x = (n * 0.618_033_988_75) % 1;
    const y = (n * 0.754_877_666_25) % 1;
    const isLiquid = n % 2 === 0;
    T[n] = isLiquid ? 61 + 68 * x : 201 + 118 * x;
    p[n] = isLiquid ? 20e5 + 79e5 * y : 2e4 + 59e5 * y;
  }
  return { p, T };
}

/** Largest relative distance of the tables' density from the equation of state over the states [-]. */
export function tableError(): number {
  const [liquid, gas] = tables();
  const { p, T } = tableStates(states);
  let worst = 0;
  for (let n = 0; n < states; n++) {
    const table = n % 2 === 0 ? liquid : gas;
    table.evaluate(p[n] ?? 0, T[n] ?? 0);
    const { rho } = stateAtPressureTemperature(oxygen, (p[n] ?? 0) as Pressure, (T[n] ?? 0) as Temperature);
    worst = Math.max(worst, Math.abs(table.rho / rho - 1));
  }
  return worst;
}

/** Lookups in one timed call, so that the call itself does not count. */
const LOOKUPS = 1024;

export const fluidTables: Bench = {
  name: "fast table of a fluid, density with derivatives and enthalpy at (p, T)",
  budget: { kind: "at most", value: 60e-9, setWhere: budgetMachine },
  run: () => {
    const [liquid, gas] = tables();
    const { p, T } = tableStates(LOOKUPS);
    const value =
      timeOfCall(() => {
        let sum = 0;
        for (let n = 0; n < LOOKUPS; n += 2) {
          liquid.evaluate(p[n] ?? 0, T[n] ?? 0);
          gas.evaluate(p[n + 1] ?? 0, T[n + 1] ?? 0);
          sum += liquid.rho + liquid.drhodp + liquid.h + gas.rho + gas.drhodT + gas.h;
        }
        return sum;
      }) / LOOKUPS;
    return {
      value,
      unit: "s",
      accuracy: `density within ${tableError().toExponential(0)} of the equation of state; the liquid table states ${liquid.densityError.toExponential(0)}, the gas table ${gas.densityError.toExponential(0)}`,
    };
  },
};
