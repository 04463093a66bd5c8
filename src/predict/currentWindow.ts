/**
 * The current limits of the driver with which the drive has its torque margin and nothing that carries
 * its torque at standstill is overloaded. More current helps the one and harms the other, so both are
 * solved together: the margin grows with the current until the voltage sets it, the torque of the locked
 * rotor too.
 */
import { findRoot } from "../numerics/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import type { Current } from "../quantity/index.js";
import { turningMargins } from "./margin.js";
import type { ValveSample } from "./valveSample.js";

/** The margin that a current limit must leave. */
export type MarginKind = "nasa" | "ecss";

/** Current that the voltage alone allows at standstill, V/R [A]. */
export function shortCircuitCurrent({
  openCircuitVoltage,
  resistance,
  supplyResistance,
}: Pick<RigidTrain, "openCircuitVoltage" | "resistance" | "supplyResistance">): number {
  return openCircuitVoltage / (resistance + supplyResistance);
}

/** The margin of a rule at a current limit [-]; NaN where the duty asks for no speed. */
export function marginAt(sample: ValveSample, train: RigidTrain, kind: MarginKind, limit: number): number {
  return turningMargins(sample, { ...train, currentLimit: limit as Current })[kind];
}

/** Share of the whole range that a current is found to [-]. */
const fineness = 1e-6;

/**
 * Least current limit with a margin of 0 or more.
 * @returns  NaN where no current gives it: the voltage is spent first [A]
 */
export function leastCurrent(sample: ValveSample, train: RigidTrain, kind: MarginKind): number {
  const most = shortCircuitCurrent(train);
  const margin = (limit: number) => marginAt(sample, train, kind, limit);
  if (!(margin(most) >= 0)) return Number.NaN;
  if (margin(0) >= 0) return 0;
  return findRoot(margin, 0, most, { tolerance: fineness * most });
}

/** Something that the standstill torque loads: what it bears, and its torque per ampere. */
export interface Loaded {
  readonly capacity_Nm: number;
  readonly torquePerAmpere: number;
}

/**
 * Largest current limit at which nothing is overloaded with the rotor locked.
 * @returns  infinite where even the current that the voltage allows is borne; NaN where a capacity is not known [A]
 */
export function largestCurrent(loaded: readonly Loaded[], shortCircuit: number): number {
  let most = Number.POSITIVE_INFINITY;
  for (const { capacity_Nm, torquePerAmpere } of loaded) {
    if (Number.isNaN(capacity_Nm)) return Number.NaN;
    most = Math.min(most, capacity_Nm / torquePerAmpere);
  }
  return most >= shortCircuit ? Number.POSITIVE_INFINITY : most;
}
