/**
 * One cell of water hammer in one time step: the shift of both waves with the friction of a reach, and the envelope of its
 * pressure, in a pipe of a thousand sections between a tank and a dead end.
 */
import { sweep } from "../src/physics/line/index.js";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";
import { timeOfCall } from "./timing.js";

const sections = 1001;
/** Steps in one measurement. */
const steps = 100;
const supply = 2e6; // [Pa]
const B = 1e6; // [Pa s/kg]
const R = 20; // of one reach [Pa/(kg/s)^2]
const flow = 1; // at the start [kg/s]

/** Waves and envelope of the steady flow, whose far end is then shut. */
function pipe() {
  const pressure = Float64Array.from({ length: sections }, (_, i) => supply - i * R * flow * flow);
  return {
    F: pressure.map((p) => p + B * flow),
    G: pressure.map((p) => p - B * flow),
    high: pressure.map((p) => 2 * p),
    low: pressure.map((p) => 2 * p),
  };
}

/** One step between a tank and a dead end. */
function step({ F, G, high, low }: ReturnType<typeof pipe>): void {
  const last = sections - 1;
  sweep(F, G, high, low, 0, last, R / (4 * B * B));
  F[0] = 2 * supply - (G[0] ?? 0);
  G[last] = F[last] ?? 0;
}

/** The same as one would write it first: pressure and flow, from copies. @returns pressures [Pa] */
export function plainSteps(count: number): Float64Array {
  let p = Float64Array.from({ length: sections }, (_, i) => supply - i * R * flow * flow);
  let W = new Float64Array(sections).fill(flow);
  const last = sections - 1;
  for (let n = 0; n < count; n++) {
    const at = (i: number) => [p[i] ?? 0, W[i] ?? 0] as const;
    const plus = (i: number) => at(i)[0] + B * at(i)[1] - R * at(i)[1] * Math.abs(at(i)[1]);
    const minus = (i: number) => at(i)[0] - B * at(i)[1] + R * at(i)[1] * Math.abs(at(i)[1]);
    const nextP = new Float64Array(sections);
    const nextW = new Float64Array(sections);
    for (let i = 1; i < last; i++) {
      nextP[i] = (plus(i - 1) + minus(i + 1)) / 2;
      nextW[i] = (plus(i - 1) - minus(i + 1)) / (2 * B);
    }
    nextP[0] = supply;
    nextW[0] = (supply - minus(1)) / B;
    nextP[last] = plus(last - 1);
    p = nextP;
    W = nextW;
  }
  return p;
}

/** Pressures after some steps of the inner loop of the product [Pa]. */
export function sweptSteps(count: number): Float64Array {
  const state = pipe();
  for (let n = 0; n < count; n++) step(state);
  return state.F.map((f, i) => (f + (state.G[i] ?? 0)) / 2);
}

export const waterHammer: Bench = {
  name: "water hammer, one cell in one step",
  budget: { kind: "at most", value: 1 / 400e6, setWhere: budgetMachine },
  run: () => {
    const state = pipe();
    const value =
      timeOfCall(() => {
        for (let n = 0; n < steps; n++) step(state);
        return state.F[0] ?? 0;
      }) /
      (steps * (sections - 1));
    const count = 1500;
    const slow = plainSteps(count);
    const error = sweptSteps(count).reduce((worst, p, i) => Math.max(worst, Math.abs(p - (slow[i] ?? 0))), 0);
    return { value, unit: "s", accuracy: `pressures within ${error.toExponential(0)} Pa of a plain loop's` };
  },
};
