/**
 * A check: one number held against one limit, and what the model says of it.
 *
 * The decision follows the guard-band idea of [jcgm-106-2012]: what counts is the probability that the
 * quantity meets its limit, given the declared uncertainties. It is printed beside the verdict.
 *
 *   holds      the probability of meeting the limit reaches the wanted one
 *   thin       the nominal value meets the limit, the probability is below the wanted one
 *   fails      the nominal value does not meet the limit, or there is none: a valve that does not open
 *              has no opening time; or the limit is more likely broken than met; or the check is of a
 *              percentile (a time: its 95th percentile within the limit) and the probability is below
 *              the wanted one by more than its confidence interval leaves open
 *   not known  an input or a piece of evidence is missing; such a check has no value to misuse
 *
 * To add a check: one function in the file of its question that returns a Check, one line in that
 * question's list, its row in docs/checks.md, and its test with the published source beside it. Its
 * definition declares what of the checklists it serves; `node dist/tools/docs.js` writes docs/coverage.md.
 */
import type { DesignCheckId, FailureModeId } from "../dossier/index.js";
import type { Dimension } from "../quantity/index.js";

/** What is said of a check or a question; the file's head says when. */
export type Verdict = "holds" | "thin" | "fails" | "not known";

/** The limit of a check, SI: at most, at least, or between the two. */
export interface Limit {
  readonly most?: number;
  readonly least?: number;
  /** What the limit is, in words with its own source: "duty.open_within.time". */
  readonly words: string;
}

/** What a check is, whatever the valve. */
export interface CheckDefinition {
  /** Stable id, as "opening-time". Checks made once for each run share one. */
  readonly id: string;
  /** Which considerations of data/checklists/design-checks.json it answers. */
  readonly designChecks: readonly DesignCheckId[];
  /** Against which modes of data/checklists/failure-modes.json it computes something. */
  readonly failureModes: readonly FailureModeId[];
  readonly name: string;
  readonly dimension: Dimension;
  /** Equation in one line, with the symbols of its source. */
  readonly equation: string;
  /** Key into the bibliography with the place, or "common practice, no source". */
  readonly source: string;
  readonly assumptions: readonly string[];
}

interface CheckFrame extends CheckDefinition {
  /** Unit in which its numbers are printed, not the one they are held in; "" for a bare ratio; of a count what it counts, as "samples". */
  readonly unit: string;
  /** Unit of its numbers as they are held: value, band, limit and margin. Every answer gives it. */
  readonly siUnit?: string;
  /** `judged` counts for the verdict of its question; `information` is shown beside it. */
  readonly standing: "judged" | "information";
}

interface Probability {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** A check that could be evaluated. Numbers are SI of `dimension`. */
export interface KnownCheck extends CheckFrame {
  readonly kind: "known";
  readonly verdict: "holds" | "thin" | "fails";
  readonly value: number;
  /** The band that carries `coverage`; undefined where nothing uncertain enters. */
  readonly band: { readonly low: number; readonly high: number; readonly coverage: number } | undefined;
  /** Where declared uncertainties would move the value and none of them was drawn: it has no band for that reason. */
  readonly isNominal?: boolean;
  readonly limit: Limit;
  /** Distance from value to limit, positive inside, in the unit of the value. */
  readonly margin: number;
  /** Probability of meeting the limit with its confidence interval; undefined without a band. */
  readonly probability: Probability | undefined;
  /** Probability that the verdict `holds` asks for; NaN where duty.probability has a fault. */
  readonly wanted: number;
}

/** A check that fails because its quantity does not exist: the finding stands in place of a number. */
export interface FailedCheck extends CheckFrame {
  readonly kind: "failed";
  readonly verdict: "fails";
  /** Why there is no number: "does not open: it stalls at 0 deg, 3.1 N m short at the stem". */
  readonly finding: string;
  readonly limit: Limit | undefined;
  readonly probability: Probability | undefined;
  readonly wanted: number;
}

/** A check that cannot be evaluated: no value, but what is needed for one. */
export interface UnknownCheck extends CheckFrame {
  readonly kind: "unknown";
  readonly verdict: "not known";
  /** Paths of the fields, or the pieces of evidence, that are missing. */
  readonly needs: readonly string[];
  /** Those of `needs` that were entered with a fault. */
  readonly faulty?: readonly string[];
}

/** A check in any of its three forms, told apart by `kind`. */
export type Check = KnownCheck | FailedCheck | UnknownCheck;

/** From the worst verdict to the best. */
const worstFirst: readonly Verdict[] = ["fails", "thin", "not known", "holds"];

/** The worst of several verdicts: fails, then thin, then not known, then holds; not known without any. */
export function worstOf(verdicts: readonly Verdict[]): Verdict {
  return worstFirst.find((verdict) => verdicts.includes(verdict)) ?? "not known";
}

/** The worst verdict of the checks that are judged; those for information do not count. */
export function worstVerdict(checks: readonly Check[]): Verdict {
  return worstOf(checks.filter(({ standing }) => standing === "judged").map(({ verdict }) => verdict));
}

/** Whether a value meets a limit; a value on the limit does. */
export function isWithin(value: number, limit: Limit): boolean {
  return (
    value <= (limit.most ?? Number.POSITIVE_INFINITY) && value >= (limit.least ?? Number.NEGATIVE_INFINITY)
  );
}

/** Distance to the nearer side of a limit, positive inside. */
export function marginTo(value: number, limit: Limit): number {
  return Math.min(
    (limit.most ?? Number.POSITIVE_INFINITY) - value,
    value - (limit.least ?? Number.NEGATIVE_INFINITY),
  );
}

/**
 * `nominal`: the nominal value and a probability that is too low leave it thin. `percentile`: the
 * criterion is the probability itself, so one that is surely too low fails.
 */
export type Criterion = "nominal" | "percentile";

/** A limit met with a smaller probability than this is more likely broken than met [-]. */
const evenChance = 0.5;

/**
 * Verdict by nominal value and probability; without a band the nominal value alone decides. A limit holds
 * where the samples show it: the lower end of the probability's interval reaches the wanted one.
 */
export function verdictOf(
  value: number,
  limit: Limit,
  probability: Probability | undefined,
  wanted: number,
  criterion: Criterion = "nominal",
): KnownCheck["verdict"] {
  if (!isWithin(value, limit)) return "fails";
  if (probability === undefined || probability.low >= wanted) return "holds";
  if (probability.estimate < evenChance) return "fails";
  return criterion === "percentile" && probability.high < wanted ? "fails" : "thin";
}
