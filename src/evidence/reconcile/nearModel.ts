/**
 * A quick model of the weighted histories about the posterior, for proposals: the simulation decides.
 *
 * Each history is a mean and a few modes [sirovich-1987]; the coefficient of a mode is a polynomial in features:
 * the inputs as they act, the numbers and curves that a stroke is made of where the forces balance, and the
 * modes of current and time over the opening that this balance gives (steadyBase.ts). It is straight in all of them, with
 * those products of two that it shows most. The balance bends as the simulation does, so that little is left to bend.
 *
 * An input counts by the value that acts, not by its score: a declared one by the logarithm of its value (a
 * load is friction times preload, a sum of logarithms), what is taken for granted by the value itself (a
 * delay moves a history by as much). Numbers and curves are polynomials of second order in the inputs that move
 * them, so that S, the sum of squares of a history, has slopes in closed form.
 */
import { evenCubic } from "../../numerics/index.js";
import { marginal, marginalSlope } from "./marginal.js";
import { type FeatureModel, featureCount, NearFeatures } from "./nearFeatures.js";
import { mostModes } from "./nearModes.js";
import type { JointSpace, MixedScore } from "./parameters.js";

/** Plain data: it can be sent to another thread. */
export interface NearModel {
  /** Bent inputs over their scores: value and slope at each node, `bendNodes` of them, a row for each parameter. */
  readonly bends: Float64Array;
  readonly runs: readonly NearRun[];
}

export interface NearRun {
  /** Parameters that count. */
  readonly places: readonly number[];
  readonly features: FeatureModel;
  /** Pairs of features whose product counts too, one pair after the other. */
  readonly products: readonly number[];
  readonly histories: readonly NearHistory[];
}

export interface NearHistory {
  /** Coefficients of each mode, modes x terms, row after row; a constant, the features, the products. */
  readonly coefficients: Float64Array;
  readonly modes: number;
  /** Mean sum of squares that the modes leave out. */
  readonly rest: number;
}

/** Scores from -bendReach to bendReach have nodes so far apart. */
const bendStep = 1 / 8;
const bendReach = 8;
export const bendNodes = (2 * bendReach) / bendStep + 1;

/** Score of a node. */
export function bendNodeAt(i: number): number {
  return i * bendStep - bendReach;
}

/** Number of terms of the polynomials of a run. */
function termsOf({ features, products }: Pick<NearRun, "features" | "products">): number {
  return 1 + featureCount(features) + products.length / 2;
}

/** Products of pairs of terms behind a constant. @param terms has those, and receives the products from a place on */
export function fillProducts(products: readonly number[], terms: Float64Array, from: number): void {
  let t = from;
  for (let p = 0; p < products.length; p += 2)
    terms[t++] =
      (terms[1 + (products[p] as number)] as number) * (terms[1 + (products[p + 1] as number)] as number);
}

/** Evaluates a near model at independent scores. */
export class NearHistories {
  private readonly bent: Float64Array;
  private readonly steepness: Float64Array;
  private readonly score: Float64Array;
  private readonly slopeOfBent: Float64Array;
  private readonly buffers: readonly {
    readonly terms: Float64Array;
    readonly slopes: Float64Array;
    readonly inputs: Float64Array;
    readonly features: NearFeatures;
  }[];
  /** Parameters that count in any run, and the entries of their rows of L. */
  private readonly rows: readonly { readonly j: number; readonly mixed: readonly MixedScore[] }[];

  constructor(
    space: JointSpace,
    private readonly model: NearModel,
  ) {
    const n = space.size;
    this.bent = new Float64Array(n);
    this.steepness = new Float64Array(n);
    this.score = new Float64Array(n);
    this.slopeOfBent = new Float64Array(n);
    this.buffers = model.runs.map((run) => ({
      terms: new Float64Array(termsOf(run)),
      slopes: new Float64Array(termsOf(run)),
      inputs: new Float64Array(run.places.length),
      features: new NearFeatures(run.features),
    }));
    const counted = [...new Set(model.runs.flatMap(({ places }) => places))].sort((a, b) => a - b);
    this.rows = counted.map((j) => ({ j, mixed: space.mixedOf(j) }));
  }

  /** Bent inputs at independent scores; a buffer that the next call uses again. */
  bentAt(z: ArrayLike<number>): Float64Array {
    const { bends } = this.model;
    for (const { j, mixed } of this.rows) {
      let y = 0;
      for (const { k, weight } of mixed) y += weight * (z[k] as number);
      this.score[j] = y;
      evenCubic({ rows: bends, nodes: bendNodes }, j, -bendReach, bendStep, y, this.out);
      this.bent[j] = this.out[0] as number;
      this.steepness[j] = this.out[1] as number;
    }
    return this.bent;
  }

  /** -log posterior but for a constant. @param slope receives its derivatives to all scores */
  minusLogPosterior(z: Float64Array, slope: Float64Array): number {
    const { slopeOfBent } = this;
    this.bentAt(z);
    slopeOfBent.fill(0);
    let sum = 0;
    this.model.runs.forEach((run, r) => {
      sum += this.minusLogOfRun(run, r);
    });
    let square = 0;
    for (let j = 0; j < z.length; j++) {
      square += (z[j] as number) ** 2;
      slope[j] = z[j] as number;
    }
    for (const { j, mixed } of this.rows) {
      const toScore = (slopeOfBent[j] as number) * (this.steepness[j] as number);
      for (const { k, weight } of mixed) slope[k] = (slope[k] as number) + weight * toScore;
    }
    return sum + square / 2;
  }

  /** Its part of one run; adds to the slopes of the bent inputs. */
  private minusLogOfRun(run: NearRun, r: number): number {
    const { bent, slopeOfBent } = this;
    const { places, products, histories } = run;
    const buffers = this.buffers[r];
    if (buffers === undefined) return 0;
    const { terms, slopes, inputs, features } = buffers;
    const count = terms.length;
    for (let a = 0; a < places.length; a++) inputs[a] = bent[places[a] as number] as number;
    features.set(inputs);
    const shown = features.values;
    terms[0] = 1;
    terms.set(shown, 1);
    fillProducts(products, terms, shown.length + 1);
    slopes.fill(0);
    let sum = 0;
    for (const { coefficients, modes, rest } of histories) {
      let square = rest;
      const values = this.modeValues;
      for (let m = 0; m < modes; m++) {
        let value = 0;
        for (let t = 0; t < count; t++)
          value += (coefficients[m * count + t] as number) * (terms[t] as number);
        values[m] = value;
        square += value * value;
      }
      sum += marginal(square) / 2;
      const weight = marginalSlope(square);
      for (let m = 0; m < modes; m++) {
        const w = weight * (values[m] as number);
        for (let t = 1; t < count; t++)
          slopes[t] = (slopes[t] as number) + w * (coefficients[m * count + t] as number);
      }
    }
    let t = shown.length + 1;
    for (let p = 0; p < products.length; p += 2) {
      const one = 1 + (products[p] as number);
      const other = 1 + (products[p + 1] as number);
      const s = slopes[t++] as number;
      slopes[one] = (slopes[one] as number) + s * (terms[other] as number);
      slopes[other] = (slopes[other] as number) + s * (terms[one] as number);
    }
    inputs.fill(0);
    features.addSlopes(slopes.subarray(1, 1 + shown.length), inputs);
    for (let a = 0; a < places.length; a++) {
      const j = places[a] as number;
      slopeOfBent[j] = (slopeOfBent[j] as number) + (inputs[a] as number);
    }
    return sum;
  }

  private readonly modeValues = new Float64Array(mostModes);
  private readonly out = new Float64Array(3);
}
