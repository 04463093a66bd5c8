/**
 * Two bodies, each of one temperature, that exchange heat with each other and with what surrounds them,
 *
 *   C1 T1' = b1 - a11 T1 - a12 T2,   C2 T2' = b2 - a12 T1 - a22 T2
 *
 * with a12 < 0. Its matrix has two real rates > 0, so the state after any time is exact:
 *
 *   x(t) = x_s + [ e^(-l1 t) (M - l2) - e^(-l2 t) (M - l1) ] (x_0 - x_s) / (l1 - l2)
 *
 * Source  textbook; a body alone is T(t) = T_s + (T_0 - T_s) e^(-t/RC) [incropera-2007, eq. 5.6]
 */
import type { HeatCapacity, Temperature, Time } from "../../quantity/index.js";

/** Conductances [W/K] and heat [W] of both bodies; symmetric. */
export interface TwoNodes {
  readonly a11: number;
  readonly a12: number;
  readonly a22: number;
  readonly b1: number;
  readonly b2: number;
}

export type Pair = readonly [first: Temperature, second: Temperature];

/** Temperatures after a long time. */
export function steadyPair({ a11, a12, a22, b1, b2 }: TwoNodes): Pair {
  const determinant = a11 * a22 - a12 * a12;
  return [
    ((b1 * a22 - b2 * a12) / determinant) as Temperature,
    ((b2 * a11 - b1 * a12) / determinant) as Temperature,
  ];
}

/**
 * Temperatures after a time.
 * @param capacities  of both bodies, > 0;  @param start  [K];  @param time  >= 0 [s]
 */
export function pairAfter(
  nodes: TwoNodes,
  capacities: readonly [HeatCapacity, HeatCapacity],
  start: Pair,
  time: Time,
): Pair {
  const [C1, C2] = capacities;
  const steady = steadyPair(nodes);
  const m11 = nodes.a11 / C1;
  const m12 = nodes.a12 / C1;
  const m21 = nodes.a12 / C2;
  const m22 = nodes.a22 / C2;
  const half = 0.5 * (m11 + m22);
  const root = Math.sqrt((0.5 * (m11 - m22)) ** 2 + m12 * m21);
  const fast = half + root;
  const slow = (m11 * m22 - m12 * m21) / fast;
  const [x, y] = [start[0] - steady[0], start[1] - steady[1]];
  const [mx, my] = [m11 * x + m12 * y, m21 * x + m22 * y];
  const e1 = Math.exp(-fast * time) / (fast - slow);
  const e2 = Math.exp(-slow * time) / (fast - slow);
  return [
    (steady[0] + e1 * (mx - slow * x) - e2 * (mx - fast * x)) as Temperature,
    (steady[1] + e1 * (my - slow * y) - e2 * (my - fast * y)) as Temperature,
  ];
}
