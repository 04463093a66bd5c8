/** Random states for property tests, spread over the published range of every fluid. */
import fc from "fast-check";
import { Refusal } from "../../src/fault/index.js";
import type { Pressure, Temperature } from "../../src/quantity/index.js";
import {
  type Fluid,
  fluid,
  fluidNames,
  type HomogeneousState,
  stateAtPressureTemperature,
} from "../../src/substance/index.js";

/** Even between 0 and 1, ends included. */
export const share: fc.Arbitrary<number> = fc.integer({ min: 0, max: 1_000_000 }).map((n) => n / 1_000_000);

/** By name, so that a counterexample is short. */
const anyFluid = fc.constantFrom(...fluidNames);

/** A fluid with a temperature between its triple and critical point, dense towards both ends. */
export const boilingPoint: fc.Arbitrary<{ readonly name: string; readonly T: Temperature }> = fc
  .tuple(anyFluid, share)
  .map(([name, along]) => {
    const { triple, critical } = fluid(name);
    const swept = (1 - Math.cos(Math.PI * along)) / 2;
    return { name, T: Math.min(critical.T, triple.T + (critical.T - triple.T) * swept) as Temperature };
  });

/** The same, off both ends: where differences and phases can be told apart. */
export const plainBoilingPoint: typeof boilingPoint = boilingPoint.filter(({ name, T }) => {
  const { triple, critical } = fluid(name);
  return T > 1.002 * triple.T && T < 0.999 * critical.T;
});

/** A homogeneous state in the published range; pressures from 1 kPa up, evenly by their logarithm. */
export const homogeneousPoint: fc.Arbitrary<{ readonly name: string; readonly state: HomogeneousState }> = fc
  .tuple(anyFluid, share, share)
  .map(([name, warmth, squeeze]) => {
    const substance = fluid(name);
    const { triple, validity } = substance;
    const T = triple.T * (validity.TMax / triple.T) ** warmth;
    const p = 1e3 * (validity.pMax / 1e3) ** squeeze;
    return { name, state: stateOrUndefined(substance, p, Math.min(T, validity.TMax)) };
  })
  .filter(
    (point): point is { name: string; state: HomogeneousState } =>
      point.state !== undefined && point.state.notices.length === 0,
  );

/** The state, or undefined where the fluid is solid. */
function stateOrUndefined(substance: Fluid, p: number, T: number): HomogeneousState | undefined {
  try {
    return stateAtPressureTemperature(substance, p as Pressure, T as Temperature);
  } catch (error) {
    if (error instanceof Refusal && error.faults[0]?.code === "fluid-solid") return undefined;
    throw error;
  }
}
