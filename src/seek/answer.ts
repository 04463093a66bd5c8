/**
 * What a search found: the front, why each other candidate lost, and what relaxing each limit would buy.
 */
import type { SeekBlockResult } from "./block.js";
import type { CandidateResult, Miss, Sieve } from "./candidate.js";
import type { Criterion, CriterionId } from "./criteria.js";
import { frontOf, type Objective, objectives, rankOf } from "./front.js";
import type { SeekPlan } from "./plan.js";
import { type ChoiceNames, choiceAt, namesOf } from "./space.js";

/** A candidate with its names. */
export interface NamedResult extends CandidateResult {
  readonly names: ChoiceNames;
}

/** How many candidates lost for one reason. */
export interface LossCount {
  readonly sieve: Sieve;
  readonly id: CriterionId;
  readonly kind: Miss["kind"];
  readonly count: number;
}

/** One step of relaxing a limit. */
export interface RelaxationStep {
  /** Value that the limit would have to have, SI. */
  readonly limit: number;
  /** Candidates that it lets in, up to it. */
  readonly count: number;
  /** The candidate that comes in at this step. */
  readonly choice: NamedResult;
  /** What that is better in than every choice before: its figure, and the best of before, null without any. */
  readonly gains: readonly {
    readonly objective: Objective["id"];
    readonly from: number | null;
    readonly to: number;
  }[];
}

export interface Relaxation {
  readonly id: CriterionId;
  /** Candidates that break this limit and no other. */
  readonly alone: number;
  readonly steps: readonly RelaxationStep[];
}

export interface SeekAnswer {
  readonly model: string;
  readonly caseId: string;
  readonly seed: number;
  readonly samples: number;
  readonly wanted: number;
  readonly candidates: number;
  readonly limits: readonly (Omit<Criterion, "most" | "least"> & {
    readonly most: number | null;
    readonly least: number | null;
  })[];
  readonly objectives: readonly Objective[];
  /** Candidates that meet every limit. */
  readonly passing: number;
  readonly front: readonly NamedResult[];
  readonly losses: readonly LossCount[];
  readonly relaxations: readonly Relaxation[];
  /** Of every candidate that lost, in their order: why. */
  readonly losers: readonly Loser[];
}

export interface Loser {
  readonly index: number;
  readonly sieve: Sieve;
  /** Limits that it breaks, as far as it was followed; none where it is beaten. */
  readonly misses: readonly Miss[];
  /** The choice of the front that beats it. */
  readonly beatenBy?: number;
}

/** Steps shown of a relaxation. */
const mostSteps = 5;

/** Puts the results of all blocks together, given in any order. */
export function seekAnswer(plan: SeekPlan, blocks: readonly SeekBlockResult[]): SeekAnswer {
  const results = blocks.flatMap(({ results: own }) => own).sort((a, b) => a.index - b.index);
  const passing = results.filter(({ misses }) => misses.length === 0);
  const { front, beaten } = frontOf(passing);
  const beatenBy = new Map(beaten.map(({ index, by }) => [index, by]));
  const named = (result: CandidateResult): NamedResult => ({
    ...result,
    names: namesOf(plan.space, choiceAt(plan.space, result.index)),
  });
  const { order, criteria, space } = plan;
  return {
    model: order.model,
    caseId: order.caseId,
    seed: order.seed,
    samples: order.samples,
    wanted: criteria.wanted,
    candidates: space.count,
    limits: criteria.list.map(({ most, least, ...rest }) => ({
      ...rest,
      most: most === undefined || !Number.isFinite(most) ? null : most,
      least: least ?? null,
    })),
    objectives,
    passing: passing.length,
    front: front.map(named),
    losses: lossesOf(results),
    relaxations: criteria.list.flatMap((criterion) => {
      const found = relaxationOf(criterion, results, passing, named);
      return found === undefined ? [] : [found];
    }),
    losers: results.flatMap(({ index, sieve, misses }): readonly Loser[] => {
      const by = beatenBy.get(index);
      if (misses.length > 0) return [{ index, sieve, misses }];
      return by === undefined ? [] : [{ index, sieve, misses, beatenBy: by }];
    }),
  };
}

/** Counted by the first limit that each breaks. */
function lossesOf(results: readonly CandidateResult[]): readonly LossCount[] {
  const counts = new Map<string, LossCount>();
  for (const { misses } of results) {
    const first = misses[0];
    if (first === undefined) continue;
    const key = `${first.sieve} ${first.id} ${first.kind}`;
    const { sieve, id, kind } = first;
    counts.set(key, { sieve, id, kind, count: (counts.get(key)?.count ?? 0) + 1 });
  }
  return [...counts.values()].sort((a, b) => b.count - a.count);
}

/**
 * What relaxing one limit would let in: the candidates that break it alone and came to the band, in the
 * order of the limit that each would need; shown are the first, and those that are better in something than
 * every choice before.
 */
function relaxationOf(
  { id, most }: Criterion,
  results: readonly CandidateResult[],
  passing: readonly CandidateResult[],
  named: (result: CandidateResult) => NamedResult,
): Relaxation | undefined {
  const alone = results.flatMap((result) => {
    const [miss, other] = result.misses;
    const limit = miss?.needed;
    const isAlone = miss?.id === id && other === undefined && result.sieve === "band";
    return isAlone && limit !== null && limit !== undefined ? [{ result, limit }] : [];
  });
  if (alone.length === 0) return undefined;
  // A limit upwards is relaxed by more, one downwards by less.
  const sense = most === undefined ? -1 : 1;
  alone.sort((a, b) => sense * (a.limit - b.limit) || a.result.index - b.result.index);
  const best = objectives.map((objective) =>
    passing.reduce((least, result) => Math.min(least, rankOf(result, objective)), Number.POSITIVE_INFINITY),
  );
  const steps: RelaxationStep[] = [];
  alone.forEach(({ result, limit }, place) => {
    const gains = objectives.flatMap((objective, k) => {
      const rank = rankOf(result, objective);
      const before = best[k] ?? Number.POSITIVE_INFINITY;
      if (!(rank < before)) return [];
      best[k] = rank;
      const value = (number: number) => (objective.better === "less" ? number : -number);
      return [
        { objective: objective.id, from: Number.isFinite(before) ? value(before) : null, to: value(rank) },
      ];
    });
    if (steps.length >= mostSteps || (gains.length === 0 && steps.length > 0)) return;
    steps.push({ limit, count: place + 1, choice: named(result), gains });
  });
  return { id, alone: alone.length, steps };
}
