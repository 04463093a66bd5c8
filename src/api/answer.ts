/** The answers to the questions about a valve. Numbers are SI. */
import type { Notice } from "./fault.js";
import type { Picture } from "./picture.js";

/**
 * `holds`: within its limit with the wanted probability. `thin`: within it, with less. `fails`: not within it.
 * `not known`: an input or a piece of evidence is missing. None of them says that a valve may be used.
 */
export type Verdict = "holds" | "thin" | "fails" | "not known";

/** A limit: at most, at least, or between the two. */
export interface Limit {
  readonly most?: number;
  readonly least?: number;
  /** Where it is from, in words. */
  readonly words: string;
}

/** A probability with its confidence interval. */
export interface Probability {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** What a check is, whatever it found. */
export interface CheckFrame {
  /** Stable; docs/checks.md lists them. */
  readonly id: string;
  readonly name: string;
  /** One of `dimensionNames`. */
  readonly dimension: string;
  /** Unit of value, band, limit and margin. */
  readonly siUnit?: string;
  readonly equation: string;
  /** Key into the bibliography with the place, or "common practice, no source". */
  readonly source: string;
  readonly assumptions: readonly string[];
  /** `judged` counts for the verdict of its question; `information` is shown beside it. */
  readonly standing: "judged" | "information";
}

/** A check with a number. */
export interface KnownCheck extends CheckFrame {
  readonly kind: "known";
  readonly verdict: "holds" | "thin" | "fails";
  readonly value: number;
  /** The band that carries `coverage`; undefined where nothing uncertain enters, or none was drawn. */
  readonly band: { readonly low: number; readonly high: number; readonly coverage: number } | undefined;
  readonly limit: Limit;
  /** Distance from value to limit, positive inside. */
  readonly margin: number;
  /** Probability of meeting the limit; undefined without a band. */
  readonly probability: Probability | undefined;
  /** Probability that `holds` asks for. */
  readonly wanted: number;
}

/** A check that fails because there is no number: a valve that does not open has no opening time. */
export interface FailedCheck extends CheckFrame {
  readonly kind: "failed";
  readonly verdict: "fails";
  readonly finding: string;
  readonly limit: Limit | undefined;
  readonly probability: Probability | undefined;
  readonly wanted: number;
}

/** A check that waits for something. It has no value that could be misused. */
export interface UnknownCheck extends CheckFrame {
  readonly kind: "unknown";
  readonly verdict: "not known";
  /** Paths of the fields, or pieces of evidence, that are missing. */
  readonly needs: readonly string[];
  /** Those of `needs` that were entered with a fault. */
  readonly faulty?: readonly string[];
}

/** One number held against one limit, told apart by `kind`. */
export type Check = KnownCheck | FailedCheck | UnknownCheck;

/** A declared value that drives an answer. */
export interface Driver {
  readonly path: string;
  readonly label: string;
  readonly words: string;
  readonly measure: "total effect" | "rank correlation";
  /** For ordering, 0 to 1. */
  readonly share: number;
}

/** A field nobody gave, and the checks that wait for it. */
export interface Gap {
  readonly path: string;
  readonly label: string;
  /** Ids of checks. */
  readonly blocks: readonly string[];
}

/** Numbers in words, each with its unit. */
export interface Table {
  readonly title: string;
  readonly columns: readonly string[];
  /** One text for each column. */
  readonly rows: readonly (readonly string[])[];
}

/** The answer to one question. */
export interface Answer {
  /** Stable: "flow", "opening" and so on. */
  readonly id: string;
  /** 1 to 12. */
  readonly number: number;
  readonly question: string;
  /** The worst of its judged checks. */
  readonly verdict: Verdict;
  readonly sentence: string;
  readonly pictures: readonly Picture[];
  readonly tables: readonly Table[];
  readonly drivers: readonly Driver[];
  readonly checks: readonly Check[];
  readonly gaps: readonly Gap[];
  readonly notices: readonly Notice[];
  /** What can hurt people here. Show them wherever the answer is shown. */
  readonly cautions: readonly string[];
}

/** A value that stood in for one that nobody gave. */
export interface UsedDefault {
  readonly field: string;
  readonly value: string;
  readonly reason: string;
  readonly references: readonly string[];
}

/** Everything that was found about one case. */
export interface ValvePrediction {
  /** Version of the model that made it. */
  readonly model: string;
  readonly case: string;
  readonly seed: number;
  readonly samples: number;
  readonly defaults: readonly UsedDefault[];
  /** One for each question, in order. */
  readonly answers: readonly Answer[];
  readonly notices: readonly Notice[];
}
