/** Features of a near model from scouts: what a steady stroke is made of, as polynomials, and modes of what it gives. */
import { ridgeRegression } from "../../numerics/index.js";
import {
  type BasePart,
  type CurveFeature,
  type FeatureModel,
  fillPart,
  NearFeatures,
  partTerms,
} from "./nearFeatures.js";
import { type CurveModes, curveModes, dot } from "./nearModes.js";
import { firstCurve, type SteadyBase } from "./steadyBase.js";

/** Modes of a curve that is made of, and of one that comes out; least variance of one over that of the first. */
const mostBaseModes = 4;
const leastBaseVariance = 1e-5;
const mostModes = 8;
const leastVariance = 1e-6;
/** A number counts if it varies by more than this. */
const leastDeviation = 1e-9;
/** So many scouts for each term, where there are enough, and so few that products are left out. */
const scoutsPerTerm = 5;
const fewScoutsPerTerm = 2;
const leastScouts = 400;
/** What a coefficient costs, in scouts: there is no noise. */
const penalty = 1e-3;

/**
 * @param places   parameters of the run that count;  @param inputs  of each scout, theirs as they act
 * @param about    scores of one of them
 * @param bases    of each scout, numbers and curves;  @param weights  of each, nothing where there are none
 */
export function fitFeatures(
  steady: SteadyBase,
  places: readonly number[],
  inputs: readonly Float64Array[],
  bases: readonly (Float64Array | undefined)[],
  weights: Float64Array,
  about: Float64Array,
): FeatureModel {
  const { layout } = steady;
  const used = inputs.map((_, i) => i).filter((i) => (weights[i] ?? 0) > 0);
  const rows = used.map((i) => inputs[i] as Float64Array);
  const w = Float64Array.from(used, (i) => weights[i] as number);
  const first = firstCurve(layout);
  const parts = steady.reaches(places, about).map((reached, q): BasePart => {
    const from = q < first ? q : first + (q - first) * layout.nodes;
    const width = q < first ? 1 : layout.nodes;
    const shown = used.map((i) => (bases[i] ?? new Float64Array(0)).subarray(from, from + width));
    const modes = curveModes(shown, w, mostBaseModes, leastBaseVariance);
    const own = reached.map((j) => places.indexOf(j));
    return fitPart(own, from, modes, rows, shown, w);
  });
  const plain: FeatureModel = { inputs: places.length, layout, parts, current: [], time: [] };
  const reader = new NearFeatures(plain);
  const shown = rows.map((x) => {
    const { current, time } = reader.curvesAt(x);
    return { current: current.slice(), time: time.slice() };
  });
  return {
    ...plain,
    current: featuresOf(
      curveModes(
        shown.map(({ current }) => current),
        w,
        mostModes,
        leastVariance,
      ),
    ),
    time: featuresOf(
      curveModes(
        shown.map(({ time }) => time),
        w,
        mostModes,
        leastVariance,
      ),
    ),
  };
}

function fitPart(
  inputs: readonly number[],
  from: number,
  { mean, vectors, deviations }: CurveModes,
  rows: readonly Float64Array[],
  shown: readonly Float64Array[],
  weights: Float64Array,
): BasePart {
  const kept = deviations.filter((deviation) => deviation > leastDeviation).length;
  const isBent = partTerms({ inputs, isBent: true }) * fewScoutsPerTerm <= rows.length;
  const count = partTerms({ inputs, isBent });
  const width = mean.length;
  const modes = Float64Array.from(
    { length: kept * width },
    (_, k) => vectors[Math.floor(k / width)]?.[k % width] ?? 0,
  );
  const part = {
    inputs,
    isBent,
    outputs: kept,
    deviation: Float64Array.from(deviations.slice(0, kept)),
    from,
    modes,
    mean,
  };
  // Later scouts lie closer to the posterior.
  const begin = Math.max(0, rows.length - Math.max(leastScouts, scoutsPerTerm * count));
  const terms = rows.slice(begin).map((x) => {
    const out = new Float64Array(count);
    fillPart(part, x, out);
    return out;
  });
  const outputs = shown.slice(begin).map((curve) => {
    const away = curve.map((value, m) => value - (mean[m] as number));
    return Float64Array.from(
      { length: kept },
      (_, o) => dot(vectors[o] as Float64Array, away) / (deviations[o] as number),
    );
  });
  const penalties = Float64Array.from({ length: count }, (_, t) => (t === 0 ? 1e-6 : penalty));
  const coefficients =
    kept === 0
      ? new Float64Array(0)
      : ridgeRegression({ terms, outputs, weights: weights.subarray(begin) }, penalties);
  return { ...part, coefficients };
}

/** Each over its deviation, so that all features are of one size. */
function featuresOf({ mean, vectors, deviations }: CurveModes): readonly CurveFeature[] {
  return vectors.map((vector, e): CurveFeature => {
    const weights = vector.map((share) => share / (deviations[e] as number));
    return { weights, middle: dot(weights, mean) };
  });
}
