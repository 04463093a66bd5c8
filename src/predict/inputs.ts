/**
 * From declared values to a vector of numbers, and from random numbers to such vectors.
 *
 * Every declared value that an answer rests on gets a slot in one vector of SI numbers; the uncertain
 * ones form inputs. The rows of a table move together: one input for a whole curve, so that a curve
 * shifts as a whole instead of zigzagging.
 */
import type { Notice } from "../fault/index.js";
import {
  type Copula,
  triangularQuantile,
  truncatedNormalQuantile,
  uniformQuantile,
} from "../numerics/index.js";
import type { Declared, Law } from "../quantity/index.js";

/** One independent source of uncertainty. */
export interface Input {
  /** Path of the field in the valve file; of the list, for a table. */
  readonly path: string;
  /** The declared values that move with it, and their slots. */
  readonly members: readonly { readonly slot: number; readonly declared: Declared }[];
}

/** The vector of an answer: nominal values of all slots, and the inputs that move them. */
export interface InputSpace {
  readonly inputs: readonly Input[];
  /** Nominal value of each slot, SI. */
  readonly nominal: Float64Array;
  /** Path of each slot. */
  readonly paths: readonly string[];
  readonly declared: readonly Declared[];
  /** Dependence of the first inputs, if any was declared. */
  readonly copula: Copula | undefined;
  readonly notices: readonly Notice[];
}

/**
 * Value of a law at a probability, SI.
 * @param u 0 < u < 1;  @param value nominal, returned for an exact law
 */
export function lawQuantile(law: Law, value: number, u: number): number {
  switch (law.kind) {
    case "exact":
      return value;
    case "normal":
      return truncatedNormalQuantile(law.mean, law.deviation, law.low, law.high, u);
    case "uniform":
      return uniformQuantile(law.low, law.high, u);
    case "triangular":
      return triangularQuantile(law.low, law.mode, law.high, u);
  }
}

/**
 * Sets the slots of every input from one independent uniform number each.
 * @param u  one number in (0, 1) per input; correlated in place
 * @param values receives all slots, SI
 */
export function valuesAt(space: InputSpace, u: Float64Array, values: Float64Array): void {
  values.set(space.nominal);
  space.copula?.correlate(u);
  for (let j = 0; j < space.inputs.length; j++) {
    const input = space.inputs[j];
    if (input === undefined) continue;
    const share = u[j] ?? 0.5;
    for (const { slot, declared } of input.members)
      values[slot] = lawQuantile(declared.law, declared.value, share);
  }
}
