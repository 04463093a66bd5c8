/**
 * Choices that no other choice beats: of those that meet every limit, each is at least as good as any other
 * in something. One figure that is not known counts as worse than any that is known, so that a part of
 * which nobody gave the mass claims no advantage in it.
 */
import type { CandidateResult, FigureId } from "./candidate.js";

/** What choices are ranked by. */
export interface Objective {
  readonly id: ObjectiveId;
  readonly figure: FigureId;
  readonly name: string;
  /** Which number of the figure counts: the end of the band on the worse side, or the nominal value. */
  readonly of: "low" | "high" | "nominal" | "probability";
  readonly better: "more" | "less";
}

export type ObjectiveId =
  | "probability"
  | "torque-margin"
  | "gear-margin"
  | "stem-margin"
  | "current"
  | "mass"
  | "cost";

export const objectives: readonly Objective[] = [
  {
    id: "probability",
    figure: "opening-time",
    name: "probability of opening in time",
    of: "probability",
    better: "more",
  },
  { id: "torque-margin", figure: "torque-margin", name: "torque margin", of: "low", better: "more" },
  { id: "gear-margin", figure: "gear-margin", name: "margin of the stages", of: "low", better: "more" },
  { id: "stem-margin", figure: "stem-margin", name: "margin of the stem", of: "low", better: "more" },
  { id: "current", figure: "current", name: "peak current", of: "high", better: "less" },
  { id: "mass", figure: "mass", name: "mass", of: "nominal", better: "less" },
  { id: "cost", figure: "cost", name: "price", of: "nominal", better: "less" },
];

/** Figures that differ by less are alike: rounding makes no choice better than another. */
const digitsTold = 6;

/** A figure as it counts for the ranking: the smaller the better, infinite where it is not known. */
export function rankOf({ figures }: CandidateResult, { figure, of, better }: Objective): number {
  const value = figures?.[figure]?.[of] ?? null;
  if (value === null) return Number.POSITIVE_INFINITY;
  const told = Number(value.toPrecision(digitsTold));
  return better === "less" ? told : -told;
}

/** The front among candidates, and which of it beats each of the others. */
export interface Front {
  readonly front: readonly CandidateResult[];
  readonly beaten: readonly { readonly index: number; readonly by: number }[];
}

/** The choices that no other beats. @param passing  candidates that meet every limit */
export function frontOf(passing: readonly CandidateResult[], by: readonly Objective[] = objectives): Front {
  const ranked = passing.map((result) => ({
    result,
    ranks: by.map((objective) => rankOf(result, objective)),
  }));
  // What beats another is not behind it in this order, so one pass over the front found so far is enough.
  ranked.sort((a, b) => compared(a.ranks, b.ranks) || a.result.index - b.result.index);
  const front: typeof ranked = [];
  const beaten: { index: number; by: number }[] = [];
  for (const each of ranked) {
    const better = front.find((one) => beats(one.ranks, each.ranks));
    if (better === undefined) front.push(each);
    else beaten.push({ index: each.result.index, by: better.result.index });
  }
  const inOrder = (a: { index: number }, b: { index: number }) => a.index - b.index;
  return { front: front.map(({ result }) => result).sort(inOrder), beaten: beaten.sort(inOrder) };
}

function compared(a: readonly number[], b: readonly number[]): number {
  for (let k = 0; k < a.length; k++) {
    const difference = (a[k] ?? 0) === (b[k] ?? 0) ? 0 : (a[k] ?? 0) - (b[k] ?? 0);
    if (difference !== 0) return difference;
  }
  return 0;
}

/** At least as good in everything and better in something, or equal in all and named before. */
function beats(a: readonly number[], b: readonly number[]): boolean {
  return a.every((rank, k) => rank <= (b[k] ?? Number.POSITIVE_INFINITY));
}
