/**
 * Errors that go together after a fit, as rank correlations for the valve file. A test that holds a load firm
 * leaves friction and preload wide, each for the other: written as independent they would make a band far
 * wider than what the test left open.
 */
import { type Dossier, isTableCell, uncertainInputs } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { gaussianCopula } from "../../numerics/index.js";
import { fittedWords } from "./fitted.js";
import { isCondition } from "./parameters.js";
import type { Proposal } from "./proposal.js";
import type { UpdateRecord } from "./updated.js";

/** Two fitted values and the correlation that the fit leaves between them. */
export interface FittedCorrelation {
  readonly first: string;
  readonly second: string;
  /** Of normal errors, after the tests [-]. */
  readonly correlation: number;
  /** The same as a rank correlation, as the valve file takes it [-]. */
  readonly rank: number;
  readonly because: string;
}

/** A correlation as it is declared. */
export interface DeclaredRank {
  readonly first: string;
  readonly second: string;
  readonly rank: number;
  readonly because: string | undefined;
}

/** What a file has to go together. */
export interface TogetherIn {
  /** Paths of its single values with a spread. */
  readonly paths: readonly string[];
  /** Its correlations that say enough to count. */
  readonly correlations: readonly DeclaredRank[];
}

/** @param dossier  as it was read, without defaults: only what the file says can be joined there */
export function togetherIn(dossier: Dossier): TogetherIn {
  return {
    paths: uncertainInputs(dossier).flatMap(({ path }) => (isTableCell(path) ? [] : [path])),
    correlations: (dossier.valve.correlations ?? []).flatMap(({ first, second, rank, because }) =>
      first === undefined || second === undefined || rank === undefined
        ? []
        : [{ first, second, rank: rank.value, because }],
    ),
  };
}

/** A weaker correlation is left out. Our choice, no source: single ones change nothing, many together a little. */
const noticeableCorrelation = 0.05;
/** Ranks that cannot all be true with those declared are brought nearer to 0, so much at a time, so often at most. */
const drawnNearer = 0.97;
const mostDrawn = 120;

/**
 * The correlations that a fit leaves among what the file says of the valve: also of values that it does not
 * propose, for what a test holds firm is their combination with those that it does.
 *
 *   rank = (6/pi) asin(r/2)   for two normal values [pearson-1907]
 *
 * Left-out weak ones and the rounding may leave ranks that cannot all be true: all of the fit's are then brought
 * nearer to 0 together, until their matrix is positive definite with those that stay declared.
 *
 * @param record    parameters and the covariance of their scores after the tests
 * @param file      the file as it is: its values, and its correlations, of which the fit's pairs are replaced
 */
export function fittedCorrelations(
  proposals: readonly Proposal[],
  { parameters, covariance }: Pick<UpdateRecord, "parameters" | "covariance">,
  runIds: readonly string[],
  file: TogetherIn,
): readonly FittedCorrelation[] {
  const [some] = proposals;
  if (some === undefined) return [];
  const n = parameters.length;
  // What each of several runs has for itself is there several times, and none of them is the file's.
  const isShared = (path: string): boolean => parameters.filter((one) => one.path === path).length === 1;
  const asked = parameters.flatMap(({ path }, j) =>
    file.paths.includes(path) && !isCondition(path) && isShared(path) ? [{ path, j }] : [],
  );
  const found = asked.flatMap(({ path: second, j }, b) =>
    asked.slice(0, b).flatMap(({ path: first, j: i }): readonly FittedCorrelation[] => {
      const scale = Math.sqrt((covariance[i * n + i] ?? 0) * (covariance[j * n + j] ?? 0));
      const correlation = scale > 0 ? (covariance[i * n + j] ?? 0) / scale : 0;
      const known = file.correlations.find((row) => isPair(row, { first, second }));
      const rank = rankOf(correlation);
      if (known === undefined ? Math.abs(correlation) < noticeableCorrelation : rank === known.rank)
        return [];
      const because = fittedWords(runIds, String(known?.rank ?? 0), known?.because, some.refusals);
      return [{ first, second, correlation, rank, because }];
    }),
  );
  const others = file.correlations.filter((row) => !found.some((one) => isPair(row, one)));
  let share = 1;
  for (let k = 0; k < mostDrawn && !canBeTrue([...others, ...found.map((one) => scaled(one, share))]); k++)
    share *= drawnNearer;
  return found.map((one) => scaled(one, share));
}

/** Whether two correlations join the same values. */
export function isPair(
  one: Pick<DeclaredRank, "first" | "second">,
  other: Pick<DeclaredRank, "first" | "second">,
): boolean {
  return (
    (one.first === other.first && one.second === other.second) ||
    (one.first === other.second && one.second === other.first)
  );
}

const rankOf = (correlation: number): number => rounded((6 / Math.PI) * Math.asin(correlation / 2));

/** Ends that no two values reach: then they would be one. */
const mostRank = 0.99;

function rounded(rank: number): number {
  return Number(Math.min(Math.max(rank, -mostRank), mostRank).toFixed(2));
}

function scaled(one: FittedCorrelation, share: number): FittedCorrelation {
  return share === 1 ? one : { ...one, rank: rounded(share * one.rank) };
}

/** Whether all ranks can be true at once, with room for rounding. */
function canBeTrue(rows: readonly Pick<DeclaredRank, "first" | "second" | "rank">[]): boolean {
  const names = [...new Set(rows.flatMap(({ first, second }) => [first, second]))];
  const matrix = names.map((row) =>
    names.map((column) =>
      row === column ? 1 : (rows.find((one) => isPair(one, { first: row, second: column }))?.rank ?? 0),
    ),
  );
  if (names.length === 0) return true;
  try {
    gaussianCopula(matrix);
    return true;
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return false;
  }
}
