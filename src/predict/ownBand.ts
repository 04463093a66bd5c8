/**
 * A small band of its own, for answers that do not come from the strokes: a few figures at the nominal
 * values and at the samples of their own input space, drawn by the same rules and from the same seed.
 */
import { Refusal } from "../fault/index.js";
import { clopperPearson, type ProbabilityInterval, quantileOfSorted, sobolBlock } from "../numerics/index.js";
import { bandConfidence, bandCoverage } from "./band.js";
import { type InputSpace, valuesAt } from "./inputs.js";

/** Figures by id; NaN where a sample has none. */
export interface OwnFigures {
  readonly nominal: Readonly<Record<string, number>>;
  readonly samples: Readonly<Record<string, Float64Array>>;
  /** Where the inputs stood, as for the band of the strokes. */
  readonly paths: readonly string[];
  readonly points: Float64Array;
  readonly count: number;
}

/** Samples drawn at most: each costs states of the equation of state, and more would not move what is printed. */
const mostSamples = 200;
/** One sample of its own to so many of the strokes' band. */
const strokesPerSample = 50;

/** How many samples a small band has. */
export interface Sampling {
  readonly seed: number;
  /** Of the strokes' band, 0 for none. */
  readonly samples: number;
  /** As many as show the wanted probability where all of them meet a limit; left out: none. */
  readonly least?: number;
  /** As many as what is printed needs; left out: `mostSamples`. */
  readonly most?: number;
  /** Called before each sample; what it throws ends the work. */
  readonly breath?: () => void;
}

function countOf({ samples, least = 0, most = mostSamples }: Sampling): number {
  return Math.min(samples, Math.max(least, Math.min(most, Math.ceil(samples / strokesPerSample))));
}

/** Probability of meeting a limit that is wanted where the duty does not say. */
export const usualProbability = 0.95;
/** As many samples are ever drawn for a wanted probability. */
const mostForWanted = 1000;

/** Samples of which all must meet a limit, so that the lower end of the interval reaches the wanted probability. */
export function samplesToShow(wanted: number): number {
  const p = wanted > 0 && wanted < 1 ? wanted : usualProbability;
  return Math.min(mostForWanted, Math.ceil(Math.log((1 - bandConfidence) / 2) / Math.log(p)));
}

/**
 * Evaluates figures at the nominal values and at the samples.
 * @param figures  of one vector of values, SI; a refusal leaves all of that sample's undefined
 * @param sampling seed and number, of the samples
 */
export function ownFigures(
  space: InputSpace,
  ids: readonly string[],
  sampling: Sampling,
  figures: (values: Float64Array) => Readonly<Record<string, number>>,
): OwnFigures {
  const d = space.inputs.length;
  const count = d === 0 ? 0 : countOf(sampling);
  const points = count === 0 ? new Float64Array(0) : sobolBlock(0, count, d, sampling.seed);
  const values = new Float64Array(space.nominal.length);
  const rows: (Readonly<Record<string, number>> | undefined)[] = [];
  for (let i = 0; i < count; i++) {
    sampling.breath?.();
    valuesAt(space, points.subarray(i * d, (i + 1) * d), values);
    rows.push(attempt(() => figures(values)));
  }
  return {
    nominal: figures(space.nominal),
    samples: Object.fromEntries(
      ids.map((id) => [id, Float64Array.from(rows, (row) => row?.[id] ?? Number.NaN)]),
    ),
    paths: space.inputs.map(({ path }) => path),
    points,
    count,
  };
}

function attempt<T>(act: () => T): T | undefined {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}

/** Central band of a figure; undefined without samples. An infinite figure stays in it. */
export function ownBand(
  samples: Float64Array,
): { readonly low: number; readonly high: number; readonly coverage: number } | undefined {
  const sorted = samples.filter((value) => !Number.isNaN(value)).sort();
  if (sorted.length < 2) return undefined;
  return {
    low: quantileOfSorted(sorted, (1 - bandCoverage) / 2),
    high: quantileOfSorted(sorted, (1 + bandCoverage) / 2),
    coverage: bandCoverage,
  };
}

/** Probability of meeting a limit; a sample without the figure does not. */
export function ownProbability(
  samples: Float64Array,
  { most = Number.POSITIVE_INFINITY, least = Number.NEGATIVE_INFINITY }: { most?: number; least?: number },
): ProbabilityInterval | undefined {
  if (samples.length === 0) return undefined;
  const meets = samples.reduce((sum, value) => sum + (value <= most && value >= least ? 1 : 0), 0);
  return clopperPearson(meets, samples.length, bandConfidence);
}
