/**
 * What a search found: the front, why each other candidate lost, and what relaxing each limit would buy.
 */
import type { SeekBlockResult } from "./block.js";
import type { CandidateResult, Miss, Sieve } from "./candidate.js";
import type { Criterion, CriterionId, Unlimited } from "./criteria.js";
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
  /** The one that came nearest to the limit, and the limit it would need, SI; null where none has a figure. */
  readonly nearest: { readonly index: number; readonly names: ChoiceNames; readonly value: number } | null;
  /** Fields that the first of them lacks. */
  readonly needs: readonly string[];
}

/** A limit as a record has it: null where it has no such end. */
export type SeekLimit = Omit<Criterion, "most" | "least"> & {
  readonly most: number | null;
  readonly least: number | null;
};

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
  readonly limits: readonly SeekLimit[];
  /** What could be limited and is not. */
  readonly unlimited: readonly Unlimited[];
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
    limits: limitsOf(criteria.list),
    unlimited: criteria.unlimited,
    objectives,
    passing: passing.length,
    front: front.map(named),
    losses: lossesOf(results, limitsOf(criteria.list), (index) => namesOf(space, choiceAt(space, index))),
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

/** Limits as a record has them. */
export function limitsOf(list: readonly Criterion[]): readonly SeekLimit[] {
  return list.map(({ most, least, ...rest }) => ({
    ...rest,
    most: most === undefined || !Number.isFinite(most) ? null : most,
    least: least ?? null,
  }));
}

/** Counted by the first limit that each breaks. */
function lossesOf(
  results: readonly CandidateResult[],
  limits: readonly SeekLimit[],
  names: (index: number) => ChoiceNames,
): readonly LossCount[] {
  const groups = new Map<string, { readonly first: Miss; readonly own: CandidateResult[] }>();
  for (const result of results) {
    const [first] = result.misses;
    if (first === undefined) continue;
    const key = `${first.sieve} ${first.id} ${first.kind}`;
    const group = groups.get(key) ?? { first, own: [] };
    group.own.push(result);
    groups.set(key, group);
  }
  return [...groups.values()]
    .map(({ first: { sieve, id, kind, needs = [] }, own }) => {
      const near =
        kind === "not known"
          ? undefined
          : nearestOf(
              own,
              limits.find((one) => one.id === id),
            );
      const nearest = near === undefined ? null : { ...near, names: names(near.index) };
      return { sieve, id, kind, count: own.length, nearest, needs };
    })
    .sort((a, b) => b.count - a.count);
}

/** The one that came nearest to the limit that each breaks first. */
function nearestOf(
  own: readonly CandidateResult[],
  limit: SeekLimit | undefined,
): { readonly index: number; readonly value: number } | undefined {
  const isUpwards = (limit?.most ?? null) !== null;
  let best: { readonly index: number; readonly value: number } | undefined;
  for (const { index, misses } of own) {
    const value = misses[0]?.needed ?? misses[0]?.nominal ?? null;
    if (value === null) continue;
    if (best === undefined || (isUpwards ? value < best.value : value > best.value)) best = { index, value };
  }
  return best;
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
