/**
 * The answer to one question: a sentence with a number, its band and its limit; then the pictures;
 * then what drives it; then the checks with sources; then what is not known.
 * Every shell prints this one record.
 */
import type { Notice } from "../fault/index.js";
import type { Figure } from "../picture/index.js";
import type { Check, Verdict } from "./check.js";
import type { Requirement, Waiver } from "./standRecord.js";

/** Which declared value drives an answer, and how much. */
export interface Driver {
  readonly path: string;
  readonly label: string;
  /** In words: "takes part in 41 % of the variance of the opening rate". */
  readonly words: string;
  /** What `share` is; measureWords.ts says it to a reader. */
  readonly measure: "total effect" | "rank correlation";
  /** For ordering and bars, 0 to 1; shares of one answer need not add up to 1 [-]. */
  readonly share: number;
  /** Beside a total effect, what would go if this input alone were known: its first effect, 0 to 1 [-]. */
  readonly alone?: number;
}

/** A field nobody gave, and what entering it would change. */
export interface Gap {
  readonly path: string;
  readonly label: string;
  /** Ids of the checks that wait for it. */
  readonly blocks: readonly string[];
}

/** A list of numbers in words, each with its unit. */
export interface Table {
  readonly title: string;
  readonly columns: readonly string[];
  /** One text per column. */
  readonly rows: readonly (readonly string[])[];
}

/** The answer to one question. */
export interface Answer {
  /** Stable id, as "opening". */
  readonly id: string;
  /** 1 to 12, in the order of the engineer's questions. */
  readonly number: number;
  readonly question: string;
  readonly verdict: Verdict;
  /** Lines of their own where it speaks of several runs. */
  readonly sentence: string;
  readonly figures: readonly Figure[];
  readonly tables: readonly Table[];
  readonly drivers: readonly Driver[];
  readonly checks: readonly Check[];
  readonly gaps: readonly Gap[];
  readonly notices: readonly Notice[];
  /** Cautions that belong to this question: what can hurt people here. */
  readonly cautions: readonly string[];
  /** Of question 12: each requirement with the checks that serve it. */
  readonly requirements?: readonly Requirement[];
  /** Of question 12: what is waived, and whether that counts. */
  readonly waivers?: readonly Waiver[];
}
