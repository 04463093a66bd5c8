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
  effectsPoint,
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

/**
 * The values of the designs of the effects: those of A and B are made once a point, those of a mixed
 * one are A's with the slots of one input from B. A correlated input moves the others of its copula,
 * so that a mixed point of one is made whole.
 */
export class EffectsValues {
  private readonly a: Float64Array;
  private readonly b: Float64Array;
  private readonly u: Float64Array;
  private pair: Float64Array;

  constructor(private readonly space: InputSpace) {
    this.a = new Float64Array(space.nominal.length);
    this.b = new Float64Array(space.nominal.length);
    this.u = new Float64Array(space.inputs.length);
    this.pair = new Float64Array(2 * space.inputs.length);
  }

  /** @param pair uniform numbers of A followed by those of B */
  take(pair: Float64Array): void {
    this.pair = pair;
    valuesAt(this.space, effectsPoint(pair, 0, this.u), this.a);
    valuesAt(this.space, effectsPoint(pair, 1, this.u), this.b);
  }

  /** @param block as of `effectsPoint`;  @param values receives all slots, SI */
  fill(block: number, values: Float64Array): void {
    const { space, a, b } = this;
    const mixed = block - 2;
    if (mixed < 0) values.set(block === 0 ? a : b);
    else if (mixed < (space.copula?.dimensions ?? 0))
      valuesAt(space, effectsPoint(this.pair, block, this.u), values);
    else {
      values.set(a);
      for (const { slot } of space.inputs[mixed]?.members ?? []) values[slot] = b[slot] ?? Number.NaN;
    }
  }
}
