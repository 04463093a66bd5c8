/**
 * The posterior of a joint update, sampled: chains in straightened coordinates, guided by a near model of
 * the histories and decided by the simulation (src/numerics/nearChain.ts).
 *
 * The near model is learnt before anything counts: from strokes about the maximum posterior, then from
 * strokes where the near model itself thinks the posterior is, then from all that the chains try in
 * their warm-up. After that it stays as it is, so that the chains are of Markov. A chain's numbers depend on its
 * seed and number alone: any number of workers gives the same bits; how long the chains go on depends
 * on their diagnosis, never on a clock.
 */
import {
  type ChainPart,
  type ChainState,
  diagnoseChains,
  type ExactLaw,
  type NearLaw,
  nearDraws,
  placeAt,
  type Reference,
  randomStream,
  referenceOf,
  startChain,
  walkChain,
} from "../../numerics/index.js";
import { JointModel } from "./jointModel.js";
import { actingValues, fitNear, type Scout } from "./nearFit.js";
import { NearHistories, type NearModel } from "./nearModel.js";
import type { FittedRun } from "./parameters.js";
import {
  chainTolerance,
  linearised,
  type ParameterDiagnosis,
  type PosteriorSummary,
  summaryOf,
} from "./posteriorSummary.js";
import { SteadyBase } from "./steadyBase.js";
import { StraightCoordinates, type Straightening, straighten } from "./straight.js";
import type { Update } from "./update.js";

/** What a worker needs to sample: places that move, and the normal law about which it moves. */
export interface PosteriorProblem {
  /** Places in the joint vector that the histories depend on; the others stay as declared. */
  readonly active: readonly number[];
  readonly size: number;
  readonly reference: Reference;
  /** From the coordinates of the reference to scores. */
  readonly straightening: Straightening;
}

export interface ChainRequest {
  /** Strokes to learn from, or a part of a chain. */
  readonly kind: "scout" | "walk";
  readonly seed: number;
  readonly chain: number;
  readonly part: number;
  readonly steps: number;
  /** Near model to go by; undefined for scouts about the maximum posterior. */
  readonly near: NearModel | undefined;
  /** Normal law about which it moves. */
  readonly reference: Reference;
  /** Where the chain stands; undefined for one that has not begun. */
  readonly state: ChainState | undefined;
  readonly isWarmUp: boolean;
}

export interface ChainAnswer {
  readonly chain: number;
  readonly steps: number;
  /** Of a chain; undefined of scouts. */
  readonly walked: ChainPart | undefined;
  /** Strokes that were simulated, to learn from; none once the near model stays as it is. */
  readonly scouts: readonly Scout[];
  /** Coordinates of the scouts, or of the chain after each step, row after row. */
  readonly places: Float64Array;
}

/**
 * Chains; scouts of each about the maximum posterior and where the near model thinks it is; steps after
 * which the near model is learnt anew, and those of a warm-up with the last one; steps of a part, and
 * how many parts are asked for at most.
 */
const chainPlan = {
  chains: 4,
  localScouts: 80,
  nearScouts: [80, 120],
  learning: [150, 200, 200],
  warmUp: 100,
  steps: 400,
  mostParts: 10,
} as const;
const sumOf = (counts: readonly number[]): number => counts.reduce((sum, count) => sum + count, 0);
/** Steps of all chains together, if they go on to their last part. */
export const mostChainSteps =
  chainPlan.chains *
  (chainPlan.localScouts +
    sumOf(chainPlan.nearScouts) +
    sumOf(chainPlan.learning) +
    chainPlan.warmUp +
    chainPlan.mostParts * chainPlan.steps);
/** Scouts about the maximum posterior stay so near, in standard deviations of the linearised one. */
const localShare = 0.5;
/**
 * Share of the histories' part that guides: proposals are a little wider than the posterior, so that no
 * chain stays long where the near model is too low. Our choice.
 */
const flattened = 0.93;
/** The latest scouts that a near model is learnt from. */
const mostScouts = 2600;
/** The latest places of the chains that make the reference, and how many the linearised posterior counts for. */
const mostPlaces = 2400;
const linearCounts = 20;
/** Largest R-hat and least effective size of chains that count as converged [vehtari-2021]. */
const largestRHat = 1.01;
const leastSize = 400;
/** Every so many steps one is kept: neighbours say nearly the same, and the diagnosis grows with their number. */
const keepEvery = 2;

/** The problem that an update leaves to be sampled. */
export function posteriorProblem(update: Update): PosteriorProblem {
  const { active, reference } = linearised(update);
  return {
    active,
    size: update.space.size,
    straightening: straighten(update.space, update.z, active, update.products),
    reference,
  };
}

/** Runs parts of chains for some runs; made once per worker. */
export class ChainRunner {
  private readonly model: JointModel;
  private readonly coordinates: StraightCoordinates;
  private readonly z: Float64Array;
  private readonly exact: ExactLaw;
  private readonly steady: readonly SteadyBase[];
  /** Strokes simulated for the present request, where they are kept. */
  private scouts: Scout[] | undefined;

  constructor(
    runs: readonly FittedRun[],
    private readonly problem: PosteriorProblem,
  ) {
    this.model = new JointModel(runs, chainTolerance);
    this.steady = runs.map((_, r) => new SteadyBase(this.model.space, r));
    this.coordinates = new StraightCoordinates(problem.straightening);
    this.z = Float64Array.from(problem.straightening.centre);
    this.exact = (w) => {
      const logVolume = this.place(w);
      const value = this.model.minusLogPosterior(this.z) - logVolume;
      this.scouts?.push({
        z: this.z.slice(),
        residuals: this.model.residualsNow(),
        steady: this.steady.map((one) => one.at(this.z)),
      });
      return value;
    };
  }

  /** Sets the scores at coordinates. @returns log of the volume */
  private place(w: Float64Array): number {
    const { active, straightening } = this.problem;
    this.z.set(straightening.centre);
    for (let a = 0; a < active.length; a++) this.z[active[a] as number] = w[a] as number;
    return this.coordinates.toScores(this.z);
  }

  private nearLaw(near: NearModel): NearLaw {
    const { active, size } = this.problem;
    const histories = new NearHistories(this.model.space, near);
    const all = new Float64Array(size);
    return (w, slope) => {
      const logVolume = this.place(w);
      const value = histories.minusLogPosterior(this.z, all);
      let square = 0;
      for (let j = 0; j < size; j++) {
        const z = this.z[j] as number;
        square += z * z;
        all[j] = flattened * (all[j] as number) + (1 - flattened) * z;
      }
      this.coordinates.toSlopes(all);
      for (let a = 0; a < active.length; a++) slope[a] = all[active[a] as number] as number;
      return flattened * value + ((1 - flattened) * square) / 2 - logVolume;
    };
  }

  run(request: ChainRequest): ChainAnswer {
    const { kind, chain, near, reference, state, steps } = request;
    const law = near === undefined ? undefined : this.nearLaw(near);
    // What was answered before is not ours any more.
    this.scouts = undefined;
    if (kind === "scout" || law === undefined) {
      this.scouts = [];
      const n = reference.centre.length;
      const places =
        law === undefined
          ? localDraws(reference, request)
          : nearDraws(law, reference, { ...request, draws: steps });
      for (let k = 0; k < steps; k++) this.exact(places.slice(k * n, (k + 1) * n));
      return { chain, steps, walked: undefined, scouts: this.scouts, places };
    }
    const begun = state ?? startChain(this.exact, law, reference, request);
    this.scouts = request.isWarmUp ? [] : undefined;
    const walked = walkChain(this.exact, law, reference, begun, request);
    return { chain, steps, walked, scouts: this.scouts ?? [], places: walked.draws };
  }
}

/** Draws of the reference, narrowed. @returns coordinates, row after row */
function localDraws(
  reference: Reference,
  { seed, chain, steps }: Pick<ChainRequest, "seed" | "chain" | "steps">,
): Float64Array {
  const n = reference.centre.length;
  const stream = randomStream(seed, scoutStreams + chain);
  const out = new Float64Array(steps * n);
  for (let k = 0; k < steps; k++)
    placeAt(
      reference,
      Float64Array.from({ length: n }, () => localShare * stream.normal()),
      out.subarray(k * n, (k + 1) * n),
    );
  return out;
}

/** Streams from here on are the scouts'; those of chains lie below. */
const scoutStreams = 2 ** 30;

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
  const { active } = problem;
  const acting = actingValues(update.space);
  let states: readonly (ChainState | undefined)[] = Array.from({ length: chainPlan.chains }, () => undefined);
  let near: NearModel | undefined;
  let { reference } = problem;
  let places: readonly Float64Array[] = [];
  let scouts: readonly Scout[] = [];
  let part = 0;
  const ask = async (kind: ChainRequest["kind"], steps: number, isWarmUp: boolean) => {
    const requests = states.map(
      (state, chain): ChainRequest => ({ kind, seed, chain, part, steps, near, reference, state, isWarmUp }),
    );
    const answers = [...(await run(problem, requests))].sort((a, b) => a.chain - b.chain);
    part++;
    return answers;
  };
  const learn = (answers: readonly ChainAnswer[]): void => {
    scouts = [...scouts, ...answers.flatMap((answer) => answer.scouts)].slice(-mostScouts);
    near = fitNear(update.space, acting, active, scouts);
  };
  const settle = (answers: readonly ChainAnswer[]): void => {
    const rows = answers.flatMap((answer) => rowsOf(answer.places, active.length));
    places = [...places, ...rows].slice(-mostPlaces);
    reference = referenceOf(places, problem.reference, linearCounts);
  };
  const walk = async (steps: number, isWarmUp: boolean): Promise<readonly ChainAnswer[]> => {
    const answers = await ask("walk", steps, isWarmUp);
    states = answers.map(({ walked }) => walked?.state);
    return answers;
  };
  learn(await ask("scout", chainPlan.localScouts, true));
  for (const steps of chainPlan.nearScouts) {
    const answers = await ask("scout", steps, true);
    learn(answers);
    settle(answers);
  }
  for (const steps of chainPlan.learning) {
    const answers = await walk(steps, true);
    learn(answers);
    settle(answers);
  }
  await walk(chainPlan.warmUp, true);
  const parts: Float64Array[][] = states.map(() => []);
  const acceptances: number[] = [];
  let diagnosis = diagnosisOf(update, [], []);
  for (let asked = 0; asked < chainPlan.mostParts; asked++) {
    if (asked > 0 && hasConverged(diagnosis)) break;
    for (const { chain, walked } of await walk(chainPlan.steps, false)) {
      if (walked === undefined) continue;
      parts[chain]?.push(placed(walked.draws, problem));
      acceptances.push(walked.acceptance);
    }
    diagnosis = diagnosisOf(update, active, parts);
  }
  const columns = active.map((_, a) =>
    Float64Array.from(parts.flatMap((own) => [...columnOf(own, a, active.length)])),
  );
  return summaryOf(update, active, columns, {
    seed,
    chains: parts.length,
    draws: (columns[0]?.length ?? 0) / parts.length,
    acceptance: sumOf(acceptances) / Math.max(acceptances.length, 1),
    ...diagnosis,
    converged: hasConverged(diagnosis),
  });
}

function rowsOf(places: Float64Array, n: number): readonly Float64Array[] {
  return Array.from({ length: places.length / n }, (_, k) => places.subarray(k * n, (k + 1) * n));
}

/** Scores of every few draws, row after row. */
function placed(draws: Float64Array, { active, straightening }: PosteriorProblem): Float64Array {
  const n = active.length;
  const coordinates = new StraightCoordinates(straightening);
  const count = Math.floor(draws.length / n / keepEvery);
  const out = new Float64Array(count * n);
  const z = Float64Array.from(straightening.centre);
  for (let k = 0; k < count; k++) {
    const at = ((k + 1) * keepEvery - 1) * n;
    active.forEach((j, a) => {
      z[j] = draws[at + a] as number;
    });
    coordinates.toScores(z);
    active.forEach((j, a) => {
      out[k * n + a] = z[j] as number;
    });
  }
  return out;
}

interface Diagnosis {
  readonly rHat: number;
  readonly bulkSize: number;
  readonly tailSize: number;
  readonly worst: string;
  readonly parameters: readonly ParameterDiagnosis[];
}

function hasConverged({ rHat, bulkSize, tailSize }: Diagnosis): boolean {
  return rHat < largestRHat && Math.min(bulkSize, tailSize) >= leastSize;
}

/** Each parameter, and the worst of all, each number by itself. A chain that does not move has not converged. */
function diagnosisOf(
  { space }: Update,
  active: readonly number[],
  parts: readonly (readonly Float64Array[])[],
): Diagnosis {
  const parameters = active.map((j, a): ParameterDiagnosis => {
    const parameter = space.parameters[j];
    const runId = space.runs[parameter?.run ?? -1]?.stroke.runId;
    return {
      path: parameter?.path ?? "",
      ...(runId === undefined || space.runs.length < 2 ? {} : { runId }),
      ...diagnoseChains(parts.map((own) => columnOf(own, a, active.length))),
    };
  });
  const worst = parameters.reduce<ParameterDiagnosis | undefined>(
    (most, one) => (most === undefined || !(one.rHat <= most.rHat) ? one : most),
    undefined,
  );
  return {
    rHat: worst?.rHat ?? 1,
    bulkSize: Math.min(...parameters.map(({ bulkSize }) => bulkSize)),
    tailSize: Math.min(...parameters.map(({ tailSize }) => tailSize)),
    worst: worst?.path ?? "",
    parameters,
  };
}

function columnOf(parts: readonly Float64Array[], a: number, n: number): Float64Array {
  return Float64Array.from(
    parts.flatMap((draws) => Array.from({ length: draws.length / n }, (_, k) => draws[k * n + a] ?? 0)),
  );
}
