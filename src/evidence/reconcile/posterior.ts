/**
 * The posterior of a joint update, sampled: chains about the linearised one, their diagnosis, and what
 * the draws say of inputs and histories. A chain's numbers depend on its seed and number alone, so
 * that any number of workers gives the same bits; how long the chains go on depends on their
 * diagnosis, never on a clock.
 */
import {
  type ChainPart,
  type ChainState,
  diagnoseChains,
  placeAt,
  quantileOfSorted,
  type Reference,
  randomStream,
  startChain,
  symmetricEigen,
  walkChain,
} from "../../numerics/index.js";
import { ValveSample } from "../../predict/index.js";
import { discrepancyOf, JointModel, seenOrNothing } from "./jointModel.js";
import { StrokeObserver } from "./observe.js";
import type { FittedRun, JointSpace } from "./parameters.js";
import { type Straightening, straighten, straightToScores } from "./straight.js";
import type { Update } from "./update.js";
import { type UpdatedInput, updatedInputs } from "./updated.js";

/** What a worker needs to sample: places that move, and the normal law it walks about. */
export interface PosteriorProblem {
  /** Places in the joint vector that the histories depend on; the others stay as declared. */
  readonly active: readonly number[];
  readonly size: number;
  readonly reference: Reference;
  /** From the coordinates w of the reference to scores. */
  readonly straightening: Straightening;
}

export interface ChainRequest {
  readonly seed: number;
  readonly chain: number;
  readonly part: number;
  readonly steps: number;
  /** Where the chain stands; undefined for one that has not begun. */
  readonly state: ChainState | undefined;
  readonly isWarmUp: boolean;
  readonly archive: Float64Array;
}

export interface ChainAnswer extends ChainPart {
  readonly chain: number;
}

/** Low and high end of the 95 % band of one history, at its points. */
export interface HistoryBand {
  readonly low: readonly number[];
  readonly high: readonly number[];
}

export interface PosteriorSummary {
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
  /** The parameter that mixes worst. */
  readonly worst: string;
  readonly converged: boolean;
  readonly inputs: readonly UpdatedInput[];
  /** Covariance of the scores, row after row. */
  readonly covariance: Float64Array;
  /** Of each run, of each history. */
  readonly bands: readonly (readonly HistoryBand[])[];
}

/** Chains, their warm-up, the steps of a part, and how many parts are asked for at most. */
const chainPlan = { chains: 4, warmUps: [300, 300, 400, 600], steps: 1000, mostParts: 8 } as const;
/** Steps of all chains together, if they go on to their last part. */
export const mostChainSteps =
  chainPlan.chains *
  (chainPlan.warmUps.reduce((sum, steps) => sum + steps, 0) + chainPlan.mostParts * chainPlan.steps);
/** Simulations of a chain run this tight: what is left is small against one standard deviation of the data. */
const chainTolerance = 1e-4;
/** Largest R-hat and least effective size of chains that count as converged [vehtari-2021]. */
const largestRHat = 1.01;
const leastSize = 400;
/** Draws whose histories make the band. */
const bandDraws = 60;

/**
 * The problem that an update leaves to be sampled: the coordinates are the principal ones of the
 * linearised posterior, those that the data narrowed first.
 */
export function posteriorProblem(update: Update): PosteriorProblem {
  const { active, reference } = linearised(update);
  const { bent } = reference;
  const n = active.length;
  const factor = reference.factor.map((entry, at) => (at % n < bent ? wider * entry : entry));
  return {
    active,
    size: update.space.size,
    straightening: straighten(update.space, update.z, active, update.products),
    reference: { ...reference, factor },
  };
}

/** The linearised posterior of what moves the histories, in its principal coordinates. */
function linearised({ z, covariance, pull, space }: Update): Pick<PosteriorProblem, "active" | "reference"> {
  const n = space.size;
  const active = Array.from(pull, (_, j) => j).filter((j) => (pull[j] ?? 0) > 0);
  const m = active.length;
  const { values, vectors } = symmetricEigen(
    active.map((j) => active.map((k) => covariance[j * n + k] ?? 0)),
  );
  const factor = new Float64Array(m * m);
  for (let i = 0; i < m; i++)
    for (let k = 0; k < m; k++)
      factor[i * m + k] = (vectors[k]?.[i] ?? 0) * Math.sqrt(Math.max(values[k] ?? 0, leastVariance));
  return {
    active,
    reference: {
      centre: Float64Array.from(active, (j) => z[j] ?? 0),
      factor,
      bent: values.filter((value) => value < bentVariance).length,
    },
  };
}

/**
 * Where the data bend it, the reference is so much wider than the linearised posterior: a walk about a law that
 * is narrower than its target stays long in the tails. Our choice, no source.
 */
const wider = 1.3;
/** Rounding must not make a variance nothing. */
const leastVariance = 1e-12;
/** A direction that keeps more than this of its declared variance is left alone by the data, nearly [-]. */
const bentVariance = 0.9;

/** Runs parts of chains for some runs; made once per worker. */
export class ChainRunner {
  private readonly minusLog: (x: Float64Array) => number;

  constructor(
    runs: readonly FittedRun[],
    private readonly problem: PosteriorProblem,
  ) {
    const model = new JointModel(runs, chainTolerance);
    const z = new Float64Array(problem.size);
    this.minusLog = (x) => {
      z.set(problem.straightening.centre);
      problem.active.forEach((j, a) => {
        z[j] = x[a] ?? 0;
      });
      const logVolume = straightToScores(problem.straightening, z);
      return Number.isFinite(logVolume) ? model.minusLogPosterior(z) - logVolume : Number.POSITIVE_INFINITY;
    };
  }

  run({ chain, state, ...order }: ChainRequest): ChainAnswer {
    const { reference } = this.problem;
    const begun = state ?? startChain(this.minusLog, reference, { seed: order.seed, chain });
    return { chain, ...walkChain(this.minusLog, reference, begun, { chain, ...order }) };
  }
}

/** Runs parts of chains somewhere and gives their answers in any order. */
export type ChainsRunner = (
  problem: PosteriorProblem,
  requests: readonly ChainRequest[],
) => Promise<readonly ChainAnswer[]>;

/** Samples the posterior of an update until its chains have converged, or have had their steps. */
export async function samplePosterior(
  update: Update,
  seed: number,
  run: ChainsRunner,
): Promise<PosteriorSummary> {
  const problem = posteriorProblem(update);
  const n = problem.active.length;
  let states: readonly (ChainState | undefined)[] = Array.from({ length: chainPlan.chains }, () => undefined);
  let part = 0;
  const ask = async (
    steps: number,
    archive: Float64Array,
    isWarmUp: boolean,
  ): Promise<readonly ChainAnswer[]> => {
    const requests = states.map(
      (state, chain): ChainRequest => ({ seed, chain, part, steps, state, isWarmUp, archive }),
    );
    const answers = [...(await run(problem, requests))].sort((a, b) => a.chain - b.chain);
    states = answers.map(({ state }) => state);
    part++;
    return answers;
  };
  let archive = new Float64Array(0);
  for (const steps of chainPlan.warmUps)
    archive = archiveOf(await ask(steps, archive, true), problem.reference.bent, n);
  const parts: ChainAnswer[][] = states.map(() => []);
  let diagnosis: Diagnosis = { rHat: Number.NaN, bulkSize: 0, tailSize: 0, worst: 0 };
  for (let asked = 0; asked < chainPlan.mostParts && !hasConverged(diagnosis); asked++) {
    for (const answer of await ask(chainPlan.steps, archive, false))
      parts[answer.chain]?.push(placed(answer, problem));
    diagnosis = worstOf(parts, n);
  }
  return summaryOf(update, problem, parts, { seed, ...diagnosis });
}

/** The second half of the passed states, every few of them: what chains draw their differences from. */
function archiveOf(answers: readonly ChainAnswer[], bent: number, n: number): Float64Array<ArrayBuffer> {
  return Float64Array.from(
    answers.flatMap(({ draws }) => {
      const steps = draws.length / n;
      return Array.from({ length: steps }, (_, k) => k)
        .filter((k) => 2 * k >= steps && k % archiveEvery === 0)
        .flatMap((k) => Array.from(draws.subarray(k * n, k * n + bent)));
    }),
  );
}

const archiveEvery = 3;

/** Every so many steps one is kept: neighbours say nearly the same, and the diagnosis grows with the square of their number. */
const keepEvery = 5;

/** An answer with its coordinates turned into parameters. */
function placed(answer: ChainAnswer, { active, reference, straightening }: PosteriorProblem): ChainAnswer {
  const n = reference.centre.length;
  const count = Math.floor(answer.draws.length / n / keepEvery);
  const draws = new Float64Array(count * n);
  const z = Float64Array.from(straightening.centre);
  for (let k = 0; k < count; k++) {
    const x = draws.subarray(k * n, (k + 1) * n);
    const at = ((k + 1) * keepEvery - 1) * n;
    placeAt(reference, answer.draws.subarray(at, at + n), x);
    active.forEach((j, a) => {
      z[j] = x[a] ?? 0;
    });
    straightToScores(straightening, z);
    active.forEach((j, a) => {
      x[a] = z[j] ?? 0;
    });
  }
  return { ...answer, draws };
}

interface Diagnosis {
  readonly rHat: number;
  readonly bulkSize: number;
  readonly tailSize: number;
  /** Place among the active parameters. */
  readonly worst: number;
}

function hasConverged({ rHat, bulkSize, tailSize }: Diagnosis): boolean {
  return rHat < largestRHat && Math.min(bulkSize, tailSize) >= leastSize;
}

/** The worst of all parameters, each number by itself. */
function worstOf(parts: readonly (readonly ChainAnswer[])[], n: number): Diagnosis {
  let [rHat, bulkSize, tailSize, worst] = [1, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, 0];
  for (let a = 0; a < n; a++) {
    const found = diagnoseChains(parts.map((own) => columnOf(own, a, n)));
    if (!(found.rHat <= rHat)) {
      rHat = found.rHat;
      worst = a;
    }
    bulkSize = Math.min(bulkSize, found.bulkSize);
    tailSize = Math.min(tailSize, found.tailSize);
  }
  return { rHat, bulkSize, tailSize, worst };
}

function columnOf(parts: readonly ChainAnswer[], a: number, n: number): Float64Array {
  return Float64Array.from(
    parts.flatMap(({ draws }) => Array.from({ length: draws.length / n }, (_, k) => draws[k * n + a] ?? 0)),
  );
}

function summaryOf(
  update: Update,
  { active }: PosteriorProblem,
  parts: readonly (readonly ChainAnswer[])[],
  diagnosis: Diagnosis & { readonly seed: number },
): PosteriorSummary {
  const { space } = update;
  const columns = active.map((_, a) =>
    Float64Array.from(parts.flatMap((own) => [...columnOf(own, a, active.length)])),
  );
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
  const acceptances = parts.flatMap((own) => own.map(({ acceptance }) => acceptance));
  return {
    seed: diagnosis.seed,
    chains: parts.length,
    draws: count / Math.max(parts.length, 1),
    acceptance: acceptances.reduce((sum, one) => sum + one, 0) / Math.max(acceptances.length, 1),
    rHat: diagnosis.rHat,
    bulkSize: diagnosis.bulkSize,
    tailSize: diagnosis.tailSize,
    worst: space.parameters[active[diagnosis.worst] ?? -1]?.path ?? "",
    converged: hasConverged(diagnosis),
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
