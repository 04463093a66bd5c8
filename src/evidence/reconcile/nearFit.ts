/**
 * A near model from simulated histories: modes of each history from some of them, polynomials by
 * regression over all. Histories that lie far from the measured ones count for less, so that the model
 * is good where the posterior is.
 */
import { ridgeRegression, symmetricEigen } from "../../numerics/index.js";
import { marginal } from "./marginal.js";
import {
  bendNodeAt,
  bendNodes,
  fillTerms,
  mostModes,
  NearHistories,
  type NearHistory,
  type NearModel,
  type NearRun,
  termsOf,
} from "./nearModel.js";
import type { JointSpace } from "./parameters.js";
import { leastShare, logOf, tameValue } from "./straight.js";

/** Simulated histories at some scores. */
export interface Scout {
  /** Independent scores of all parameters. */
  readonly z: Float64Array;
  /** Weighted residuals of each run, history after history; NaN where no valve can be so. */
  readonly residuals: readonly Float64Array[];
}

/** Products of a run, and in how many stages they are looked for. */
const mostProducts = 140;
const productStages = 2;
/** So many scouts for each term of a polynomial. */
const scoutsPerTerm = 6;
/** Products are looked for among so many scouts at most, and in none that counts for less. */
const mostScreened = 600;
const leastScreened = 0.05;
/** Scouts whose histories make the modes. */
const snapshots = 48;
/** Modes go on until so much is left of the mean sum of squares. */
const leastRest = 0.02;
/** What a coefficient costs, in scouts: a straight term is believed sooner than a product. */
const straightPenalty = 0.1;
const productPenalty = 3;
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
  const plain: NearModel = {
    bends: acting,
    runs: space.runs.map((_, r) => ({ places: placesOf(r), products: [], histories: [] })),
  };
  const bends = standardised(space, plain, scouts);
  const model: NearModel = { ...plain, bends };
  const reader = new NearHistories(space, model);
  const bent = scouts.map(({ z }) => reader.bentAt(z).slice());
  return { bends, runs: model.runs.map((run, r) => fitRun(space, run, r, scouts, bent)) };
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

function fitRun(
  space: JointSpace,
  run: NearRun,
  r: number,
  scouts: readonly Scout[],
  bent: readonly Float64Array[],
): NearRun {
  const lengths = (space.runs[r]?.stroke.histories ?? []).map(({ values }) => values.length);
  const residuals = scouts.map((scout) => scout.residuals[r] ?? new Float64Array(0));
  const weights = weightsOf(residuals, lengths);
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
  let chosen: NearRun = { ...run, products: [] };
  let fit = regression(chosen, bent, outputs, weights);
  const most = Math.min(mostProducts, Math.floor(scouts.length / scoutsPerTerm) - termsOf(chosen));
  for (let left = productStages; left > 0; left--) {
    const more = Math.floor((most - chosen.products.length / 2) / left);
    if (more <= 0) break;
    chosen = {
      ...chosen,
      products: [...chosen.products, ...screened(chosen, bent, fit.left, weights, more)],
    };
    fit = regression(chosen, bent, outputs, weights);
  }
  const B = fit.coefficients;
  const terms = termsOf(chosen);
  let first = 0;
  const histories = parts.map(({ modes, rest }): NearHistory => {
    const coefficients = new Float64Array(modes * terms);
    for (let m = 0; m < modes; m++)
      for (let t = 0; t < terms; t++) coefficients[m * terms + t] = B[t * count + first + m] ?? 0;
    first += modes;
    return { coefficients, modes, rest };
  });
  return { ...chosen, histories };
}

interface Regression {
  /** Terms x outputs. */
  readonly coefficients: Float64Array;
  /** What is left of the outputs of each scout. */
  readonly left: readonly Float64Array[];
}

function regression(
  run: NearRun,
  bent: readonly Float64Array[],
  outputs: readonly Float64Array[],
  weights: Float64Array,
): Regression {
  const count = termsOf(run);
  const terms = bent.map((row) => {
    const out = new Float64Array(count);
    fillTerms(run, row, out);
    return out;
  });
  const penalties = Float64Array.from({ length: count }, (_, t) =>
    t === 0 ? 1e-6 : t <= run.places.length ? straightPenalty : productPenalty,
  );
  const coefficients = ridgeRegression({ terms, outputs, weights }, penalties);
  const left = outputs.map((output, i) => {
    const row = terms[i] ?? output;
    const k = output.length;
    const rest = output.slice();
    for (let t = 0; t < count; t++) {
      const x = row[t] as number;
      for (let c = 0; c < k; c++) rest[c] = (rest[c] as number) - x * (coefficients[t * k + c] as number);
    }
    return rest;
  });
  return { coefficients, left };
}

/**
 * The products that what is left shows most: those whose own regression would take the most off it
 * [fan-lv-2008]. @returns pairs, one after the other
 */
function screened(
  { places, products }: NearRun,
  bent: readonly Float64Array[],
  left: readonly Float64Array[],
  weights: Float64Array,
  count: number,
): readonly number[] {
  const outputs = left[0]?.length ?? 0;
  const known = new Set<number>();
  for (let p = 0; p < products.length; p += 2)
    known.add((products[p] as number) * places.length + (products[p + 1] as number));
  const used = bent.map((_, i) => i).filter((i) => (weights[i] ?? 0) > leastScreened);
  const stride = Math.ceil(used.length / mostScreened);
  const rows = used.filter((_, k) => k % stride === 0);
  const found: { readonly a: number; readonly b: number; readonly gain: number }[] = [];
  const sums = new Float64Array(outputs);
  for (let a = 0; a < places.length; a++)
    for (let b = 0; b <= a; b++) {
      if (known.has(a * places.length + b)) continue;
      sums.fill(0);
      let square = 0;
      for (const i of rows) {
        const row = bent[i] as Float64Array;
        const rest = left[i] as Float64Array;
        const product =
          (row[places[a] as number] as number) * (row[places[b] as number] as number) - (a === b ? 1 : 0);
        const weighted = (weights[i] as number) * product;
        square += weighted * product;
        for (let c = 0; c < outputs; c++) sums[c] = (sums[c] as number) + weighted * (rest[c] as number);
      }
      let gain = 0;
      for (let c = 0; c < outputs; c++) gain += (sums[c] as number) ** 2;
      found.push({ a, b, gain: square > 0 ? gain / square : 0 });
    }
  found.sort((one, other) => other.gain - one.gain || one.a - other.a || one.b - other.b);
  return found.slice(0, count).flatMap(({ a, b }) => [a, b]);
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

interface Modes {
  readonly modes: number;
  /** Of each scout, its coefficients. */
  readonly values: readonly Float64Array[];
  readonly rest: number;
}

/** Modes of one history by the method of snapshots, those of most energy first [sirovich-1987]. */
function modesOf(histories: readonly Float64Array[], weights: Float64Array): Modes {
  const usable = histories.map((_, i) => i).filter((i) => (weights[i] ?? 0) > 0.25);
  const chosen = Array.from({ length: Math.min(snapshots, usable.length) }, (_, k) => {
    const i = usable[Math.floor((k * usable.length) / Math.min(snapshots, usable.length))] ?? 0;
    return histories[i] ?? new Float64Array(0);
  });
  const { values, vectors } = symmetricEigen(chosen.map((one) => chosen.map((other) => dot(one, other))));
  const length = chosen[0]?.length ?? 0;
  const directions: Float64Array[] = [];
  let left = values.reduce((sum, value) => sum + Math.max(value, 0), 0) / Math.max(chosen.length, 1);
  for (let e = values.length - 1; e >= 0 && directions.length < mostModes && left > leastRest; e--) {
    const value = values[e] ?? 0;
    if (!(value > 0)) break;
    left -= value / chosen.length;
    const direction = new Float64Array(length);
    chosen.forEach((one, i) => {
      const share = (vectors[e]?.[i] ?? 0) / Math.sqrt(value);
      for (let k = 0; k < length; k++) direction[k] = (direction[k] as number) + share * (one[k] as number);
    });
    directions.push(direction);
  }
  const coefficients = histories.map((history) =>
    Float64Array.from(directions, (direction) => dot(direction, history)),
  );
  let rest = 0;
  let sum = 0;
  histories.forEach((history, i) => {
    const w = weights[i] ?? 0;
    if (w === 0) return;
    sum += w;
    rest +=
      w * Math.max(dot(history, history) - dot(coefficients[i] ?? history, coefficients[i] ?? history), 0);
  });
  return { modes: directions.length, values: coefficients, rest: sum > 0 ? rest / sum : 0 };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += (a[k] as number) * (b[k] as number);
  return sum;
}
