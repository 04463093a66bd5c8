/**
 * One evaluation of the equation of state, p(T, rho) with both derivatives, over liquid and gas of
 * oxygen. Temperatures and densities are walked so that no isotherm repeats.
 */
import type { Density, Temperature } from "../src/quantity/index.js";
import { fluid, homogeneousPressure } from "../src/substance/index.js";
import type { Bench } from "./bench.js";
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
  budget: { kind: "at most", value: 1.5e-6 },
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
