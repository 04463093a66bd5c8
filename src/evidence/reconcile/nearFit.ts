/**
 * A near model from simulated histories: modes of each history from some of them, polynomials by
 * regression over all. Histories that lie far from the measured ones count for less, so that the model
 * is good where the posterior is.
 */
import { fitFeatures } from "./featureFit.js";
import { marginal } from "./marginal.js";
import { NearFeatures } from "./nearFeatures.js";
import {
  bendNodeAt,
  bendNodes,
  NearHistories,
  type NearHistory,
  type NearModel,
  type NearRun,
} from "./nearModel.js";
import { modesOf } from "./nearModes.js";
import { regression, screened } from "./nearRegression.js";
import type { JointSpace } from "./parameters.js";
import { SteadyBase } from "./steadyBase.js";
import { leastShare, logOf, tameValue } from "./straight.js";

/** Simulated histories at some scores. */
export interface Scout {
  /** Independent scores of all parameters. */
  readonly z: Float64Array;
  /** Weighted residuals of each run, history after history; NaN where no valve can be so. */
  readonly residuals: readonly Float64Array[];
  /** What a steady stroke of each run is made of; undefined where no valve can be so. */
  readonly steady: readonly (Float64Array | undefined)[];
}

/** Products of a run, and in how many stages they are looked for. */
const mostProducts = 60;
const productStages = 2;
/** So many scouts for each term of a polynomial. */
const scoutsPerTerm = 6;
/** -log likelihood above that of the best quarter at which a scout counts for a quarter. */
const farOff = 5;

/** Value and slope of each parameter as it acts, at each node of its score, a row for each. */
export function actingValues(space: JointSpace): Float64Array {
  const out = new Float64Array(space.size * 2 * bendNodes);
  const h = 1e-3;
  space.parameters.forEach(({ granted }, j) => {
    const isLog = granted === undefined && Math.min(space.valueAt(j, -2), space.valueAt(j, 2)) > 0;
    const least = leastShare * space.valueAt(j, 0);
    const at = (y: number): number => {
      const value = tameValue(space, j, y);
      return isLog ? logOf(value, least) : value;
    };
    for (let i = 0; i < bendNodes; i++) {
      const y = bendNodeAt(i);
      const p = 2 * (j * bendNodes + i);
      out[p] = at(y);
      out[p + 1] = (at(y + h) - at(y - h)) / (2 * h);
    }
  });
  return out;
}

/**
 * Fits a near model.
 * @param acting  see `actingValues`;  @param active  independent scores that move
 */
export function fitNear(
  space: JointSpace,
  acting: Float64Array,
  active: readonly number[],
  scouts: readonly Scout[],
): NearModel {
  const isActive = new Set(active);
  const placesOf = (r: number): readonly number[] =>
    space.of(r).filter((j) => space.mixedOf(j).some(({ k }) => isActive.has(k)));
  const steady = space.runs.map((_, r) => new SteadyBase(space, r));
  const plain: NearModel = {
    bends: acting,
    runs: steady.map(({ layout }, r): NearRun => {
      const places = placesOf(r);
      const features = { inputs: places.length, layout, parts: [], current: [], time: [] };
      return { places, features, products: [], histories: [] };
    }),
  };
  const bends = standardised(space, plain, scouts);
  const model: NearModel = { ...plain, bends };
  const reader = new NearHistories(space, model);
  const bent = scouts.map(({ z }) => reader.bentAt(z).slice());
  return {
    bends,
    runs: model.runs.map((run, r) =>
      fitRun(steady[r] as SteadyBase, run, r, scouts, bent, lengthsOf(space, r)),
    ),
  };
}

/** Acting values less their mean over their deviation among the scouts. */
function standardised(space: JointSpace, model: NearModel, scouts: readonly Scout[]): Float64Array {
  const reader = new NearHistories(space, model);
  const out = Float64Array.from(model.bends);
  const rows = scouts.map(({ z }) => reader.bentAt(z).slice());
  const width = 2 * bendNodes;
  for (const j of new Set(model.runs.flatMap(({ places }) => places))) {
    const values = Float64Array.from(rows, (row) => row[j] as number).sort();
    // Of the middle half, so that single scouts far out do no harm; 1.349 deviations in a normal law.
    const quantile = (p: number): number => values[Math.floor(p * (values.length - 1))] ?? 0;
    const middle = quantile(0.5);
    const deviation = (quantile(0.75) - quantile(0.25)) / 1.349;
    const scale = deviation > 0 ? 1 / deviation : 0;
    for (let p = j * width; p < (j + 1) * width; p += 2) {
      out[p] = scale * ((out[p] as number) - middle);
      out[p + 1] = scale * (out[p + 1] as number);
    }
  }
  return out;
}

function lengthsOf(space: JointSpace, r: number): readonly number[] {
  return (space.runs[r]?.stroke.histories ?? []).map(({ values }) => values.length);
}

function fitRun(
  steady: SteadyBase,
  run: NearRun,
  r: number,
  scouts: readonly Scout[],
  bent: readonly Float64Array[],
  lengths: readonly number[],
): NearRun {
  const residuals = scouts.map((scout) => scout.residuals[r] ?? new Float64Array(0));
  const weights = weightsOf(residuals, lengths);
  scouts.forEach((scout, i) => {
    if (scout.steady[r] === undefined) weights[i] = 0;
  });
  const inputs = bent.map((row) => Float64Array.from(run.places, (j) => row[j] as number));
  const features = fitFeatures(
    steady,
    run.places,
    inputs,
    scouts.map((scout) => scout.steady[r]),
    weights,
    scouts[weights.indexOf(Math.max(...weights))]?.z ?? new Float64Array(0),
  );
  const reader = new NearFeatures(features);
  const rows = inputs.map((x) => {
    reader.set(x);
    return reader.values.slice();
  });
  const offsets = lengths.map((_, h) => lengths.slice(0, h).reduce((sum, one) => sum + one, 0));
  const parts = lengths.map((length, h) =>
    modesOf(
      residuals.map((all) => all.subarray(offsets[h] ?? 0, (offsets[h] ?? 0) + length)),
      weights,
    ),
  );
  const outputs = scouts.map((_, i) =>
    Float64Array.from(parts.flatMap(({ values }) => [...(values[i] ?? [])])),
  );
  const count = parts.reduce((sum, { modes }) => sum + modes, 0);
  let products: readonly number[] = [];
  let fit = regression(rows, products, outputs, weights);
  const straight = 1 + reader.values.length;
  const most = Math.min(mostProducts, Math.floor(scouts.length / scoutsPerTerm) - straight);
  for (let left = productStages; left > 0; left--) {
    const more = Math.floor((most - products.length / 2) / left);
    if (more <= 0) break;
    products = [...products, ...screened(rows, products, fit.left, weights, more)];
    fit = regression(rows, products, outputs, weights);
  }
  const B = fit.coefficients;
  const terms = straight + products.length / 2;
  let first = 0;
  const histories = parts.map(({ modes, rest }): NearHistory => {
    const coefficients = new Float64Array(modes * terms);
    for (let m = 0; m < modes; m++)
      for (let t = 0; t < terms; t++) coefficients[m * terms + t] = B[t * count + first + m] ?? 0;
    first += modes;
    return { coefficients, modes, rest };
  });
  return { ...run, features, products, histories };
}

/** How much each scout counts; nothing where no valve can be so. */
function weightsOf(residuals: readonly Float64Array[], lengths: readonly number[]): Float64Array {
  const losses = residuals.map((all) => {
    let k = 0;
    let loss = 0;
    for (const length of lengths) {
      let square = 0;
      for (const end = k + length; k < end; k++) square += (all[k] as number) ** 2;
      loss += marginal(square) / 2;
    }
    return loss;
  });
  const sorted = losses.filter(Number.isFinite).sort((a, b) => a - b);
  const good = sorted[Math.floor(sorted.length / 4)] ?? 0;
  return Float64Array.from(losses, (loss) =>
    Number.isFinite(loss) ? 1 / (1 + Math.max(loss - good, 0) / farOff) ** 2 : 0,
  );
}
