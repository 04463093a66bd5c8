/**
 * A check: one number held against one limit, and what the model says of it.
 *
 * The decision follows the guard-band idea of [jcgm-106]: what counts is the probability that the
 * quantity keeps its limit, given the declared uncertainties. It is printed beside the verdict.
 *
 *   holds      the probability of keeping the limit reaches the wanted one
 *   thin       the nominal value keeps the limit, the probability is below the wanted one
 *   fails      the nominal value does not keep the limit
 *   not known  an input or a piece of evidence is missing; such a check has no value to misuse
 *
 * To add a check: one function in the file of its question that returns a Check, one line in that
 * question's list, its row in docs/checks.md, and its test with the published source beside it.
 */
import type { Dimension } from "../quantity/index.js";

export type Verdict = "holds" | "thin" | "fails" | "not known";

/** The limit of a check, SI: at most, at least, or between the two. */
export interface Limit {
  readonly most?: number;
  readonly least?: number;
  /** What the limit is, in words with its own source: "duty.open_within.time". */
  readonly words: string;
}

interface CheckFrame {
  /** Stable id, as "opening-time". */
  readonly id: string;
  readonly name: string;
  readonly dimension: Dimension;
  /** Equation in one line, with the symbols of its source. */
  readonly equation: string;
  /** Key into the bibliography with the place, or "common practice, no source". */
  readonly source: string;
  readonly assumptions: readonly string[];
}

/** A check that could be evaluated. Numbers are SI of `dimension`. */
export interface KnownCheck extends CheckFrame {
  readonly verdict: "holds" | "thin" | "fails";
  readonly value: number;
  /** The band that carries `coverage`; undefined where nothing uncertain enters. */
  readonly band: { readonly low: number; readonly high: number; readonly coverage: number } | undefined;
  readonly limit: Limit;
  /** Distance from value to limit, positive inside, in the unit of the value. */
  readonly margin: number;
  /** Probability of keeping the limit with its confidence interval; undefined without a band. */
  readonly probability: { readonly estimate: number; readonly low: number; readonly high: number } | undefined;
  /** Probability that the verdict `holds` asks for. */
  readonly wanted: number;
}

/** A check that cannot be evaluated: no value, but what is needed for one. */
export interface UnknownCheck extends CheckFrame {
  readonly verdict: "not known";
  /** Paths of the fields, or the pieces of evidence, that are missing. */
  readonly needs: readonly string[];
}

export type Check = KnownCheck | UnknownCheck;

/** The worst verdict of several: fails, then thin, then not known, then holds. */
export function worstVerdict(checks: readonly Check[]): Verdict {
  const order: readonly Verdict[] = ["fails", "thin", "not known", "holds"];
  return order.find((verdict) => checks.some((check) => check.verdict === verdict)) ?? "not known";
}

export function isWithin(value: number, limit: Limit): boolean {
  return value <= (limit.most ?? Number.POSITIVE_INFINITY) && value >= (limit.least ?? Number.NEGATIVE_INFINITY);
}

/** Distance to the nearer side of a limit, positive inside. */
export function marginTo(value: number, limit: Limit): number {
  return Math.min((limit.most ?? Number.POSITIVE_INFINITY) - value, value - (limit.least ?? Number.NEGATIVE_INFINITY));
}

/** Verdict by nominal value and probability; without a band the nominal value alone decides. */
export function verdictOf(
  value: number,
  limit: Limit,
  probability: number | undefined,
  wanted: number,
): KnownCheck["verdict"] {
  if (!isWithin(value, limit)) return "fails";
  return probability === undefined || probability >= wanted ? "holds" : "thin";
}
