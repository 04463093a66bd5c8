/** What the draws of a sampled posterior say of inputs and histories, and the same of a linearised one. */
import { factorOf, placeAt, quantileOfSorted, type Reference, randomStream } from "../../numerics/index.js";
import { ValveSample } from "../../predict/index.js";
import { discrepancyOf, seenOrNothing } from "./jointModel.js";
import { StrokeObserver } from "./observe.js";
import type { JointSpace } from "./parameters.js";
import type { Update } from "./update.js";
import { type UpdatedInput, updatedInputs } from "./updated.js";

/** How the chains were and what they are worth. */
export interface ChainsSummary {
  readonly seed: number;
  readonly chains: number;
  /** Draws kept of each chain. */
  readonly draws: number;
  readonly acceptance: number;
  /** Largest rank-normalised R-hat of any parameter. */
  readonly rHat: number;
  /** Least effective sample sizes of any parameter, centre and tails. */
  readonly bulkSize: number;
  readonly tailSize: number;
  /** Path of the parameter that mixes worst. */
  readonly worst: string;
  readonly converged: boolean;
  /** Of each parameter that moves the histories. */
  readonly parameters: readonly ParameterDiagnosis[];
}

/** What the chains are worth for one parameter. */
export interface ParameterDiagnosis {
  readonly path: string;
  /** Id of the run that alone has it. */
  readonly runId?: string;
  readonly rHat: number;
  readonly bulkSize: number;
  readonly tailSize: number;
}

/** Low and high end of the 95 % band of one history, at its points. */
export interface HistoryBand {
  readonly low: readonly number[];
  readonly high: readonly number[];
}

export interface PosteriorSummary extends ChainsSummary {
  readonly inputs: readonly UpdatedInput[];
  /** Covariance of the scores, row after row. */
  readonly covariance: Float64Array;
  /** Of each run, of each history. */
  readonly bands: readonly (readonly HistoryBand[])[];
}

/** Simulations of draws run this tight: what is left is small against one standard deviation of the data. */
export const chainTolerance = 1e-4;
/** Draws whose histories make the band. */
const bandDraws = 60;

/** Places that move the histories, and the normal law about the maximum posterior. */
interface Linearised {
  readonly active: readonly number[];
  readonly reference: Reference;
}

/** The linearised posterior of what moves the histories, in its principal coordinates. */
export function linearised({ z, covariance, pull, space }: Update): Linearised {
  const n = space.size;
  const active = Array.from(pull, (_, j) => j).filter((j) => (pull[j] ?? 0) > 0);
  return {
    active,
    reference: {
      centre: Float64Array.from(active, (j) => z[j] ?? 0),
      factor: factorOf(active.map((j) => active.map((k) => covariance[j * n + k] ?? 0))),
    },
  };
}

/** @param columns  draws of each of the active scores, all chains one after the other */
export function summaryOf(
  update: Update,
  active: readonly number[],
  columns: readonly Float64Array[],
  chains: ChainsSummary,
): PosteriorSummary {
  const { space } = update;
  const count = columns[0]?.length ?? 0;
  const draw = (k: number): Float64Array => {
    const z = Float64Array.from(update.z);
    active.forEach((j, a) => {
      z[j] = columns[a]?.[k] ?? 0;
    });
    return z;
  };
  const scores = space.parameters.map((_, j) => scoresOf(update, active, columns, j));
  const covariance = covarianceOf(scores);
  const linear = updatedInputs(update, covariance);
  return {
    ...chains,
    inputs: linear.map((input, j) => sampledInput(space, input, j, scores[j])),
    covariance,
    bands: bandsOf(
      update,
      Array.from({ length: bandDraws }, (_, k) => draw(Math.floor((k * count) / bandDraws))),
    ),
  };
}

/** Draws of the score of one parameter, y = L z; undefined where none of them moved. */
function scoresOf(
  { space, z }: Update,
  active: readonly number[],
  columns: readonly Float64Array[],
  j: number,
): Float64Array | undefined {
  const moving = active.flatMap((k, a) => {
    const weight = space.mixing[j * space.size + k] ?? 0;
    return weight === 0 ? [] : [{ k, weight, column: columns[a] ?? new Float64Array(0) }];
  });
  if (moving.length === 0) return undefined;
  const fixed = space.scoreAt(z, j) - moving.reduce((sum, { k, weight }) => sum + weight * (z[k] ?? 0), 0);
  const count = columns[0]?.length ?? 0;
  return Float64Array.from({ length: count }, (_, d) =>
    moving.reduce((sum, { weight, column }) => sum + weight * (column[d] ?? 0), fixed),
  );
}

const side = 0.025;

/** An input whose interval and middle are those of the draws. */
function sampledInput(
  space: JointSpace,
  input: UpdatedInput,
  j: number,
  scores: Float64Array | undefined,
): UpdatedInput {
  if (scores === undefined) return input;
  const sorted = scores.slice().sort();
  const middle = quantileOfSorted(sorted, 0.5);
  const ends = [side, 1 - side].map((p) => space.valueAt(j, quantileOfSorted(sorted, p)));
  return {
    ...input,
    after: { value: space.valueAt(j, middle), low: Math.min(...ends), high: Math.max(...ends) },
    shift: middle,
  };
}

function covarianceOf(columns: readonly (Float64Array | undefined)[]): Float64Array {
  const n = columns.length;
  const out = new Float64Array(n * n);
  const means = columns.map((column) =>
    column === undefined ? 0 : column.reduce((sum, value) => sum + value, 0) / column.length,
  );
  for (let i = 0; i < n; i++) {
    const a = columns[i];
    if (a === undefined) {
      out[i * n + i] = 1;
      continue;
    }
    for (let j = 0; j <= i; j++) {
      const b = columns[j];
      if (b === undefined) continue;
      let sum = 0;
      for (let k = 0; k < a.length; k++)
        sum += ((a[k] ?? 0) - (means[i] ?? 0)) * ((b[k] ?? 0) - (means[j] ?? 0));
      out[i * n + j] = sum / (a.length - 1);
      out[j * n + i] = sum / (a.length - 1);
    }
  }
  return out;
}

/** Bands of the histories from draws of the linearised posterior: for an update that was not sampled. */
export function linearBands(update: Update): PosteriorSummary["bands"] {
  const { active, reference } = linearised(update);
  const stream = randomStream(1, 0);
  const draws = Array.from({ length: bandDraws }, () => {
    const z = Float64Array.from(update.z);
    const x = new Float64Array(active.length);
    placeAt(
      reference,
      Float64Array.from(active, () => stream.normal()),
      x,
    );
    active.forEach((j, a) => {
      z[j] = x[a] ?? 0;
    });
    return z;
  });
  return bandsOf(update, draws);
}

/**
 * What a further test under the same conditions would show, 95 % of the time: the histories over the
 * draws, widened by noise and model discrepancy of the estimated size.
 */
function bandsOf({ space, channels }: Update, draws: readonly Float64Array[]): PosteriorSummary["bands"] {
  return space.runs.map(({ plan, stroke }, run) => {
    const sample = new ValveSample(plan);
    const observer = new StrokeObserver(plan, stroke, chainTolerance);
    const seen = draws.flatMap((z) => {
      space.fill(run, z, sample.values);
      const one = seenOrNothing(() => observer.at(sample, space.viewing(run, z)));
      return one === undefined ? [] : [one.map((history) => history.slice())];
    });
    return stroke.histories.map((history, h): HistoryBand => {
      const size = channels.filter((one) => one.run === run)[h]?.discrepancy ?? 1;
      const beside = size * discrepancyOf(history);
      const ends = Array.from(history.time_s, (_, i) => {
        const values = Float64Array.from(seen, (one) => one[h]?.[i] ?? Number.NaN).sort();
        const middle = quantileOfSorted(values, 0.5);
        const low = middle - quantileOfSorted(values, side);
        const high = quantileOfSorted(values, 1 - side) - middle;
        return {
          low: middle - Math.hypot(low, reach95 * beside),
          high: middle + Math.hypot(high, reach95 * beside),
        };
      });
      return { low: ends.map(({ low }) => low), high: ends.map(({ high }) => high) };
    });
  });
}

/** 95 % of a normal law, either side, in its standard deviations. */
const reach95 = 1.96;
