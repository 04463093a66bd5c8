/** What a calculation note is: one check with everything by which it can be worked out again on paper. */
import type { Check } from "../question/index.js";

/** Where a value comes from. */
export interface Origin {
  /** Field of the valve file. */
  readonly path?: string;
  /** "from a drawing", "not given, a default: ...", "equation of state of oxygen". */
  readonly words: string;
  /** Keys into the bibliography with the place. */
  readonly source?: string;
}

/** A value with its symbol, or an equation with its result. Numbers are coherent SI. */
export interface NoteLine {
  readonly symbol: string;
  readonly meaning: string;
  /** Coherent SI unit; "" for a bare number. */
  readonly unit: string;
  readonly value: number;
  /** The same in a usual unit, "" where that is the SI one. */
  readonly usual: string;
  /** Where a given value comes from; undefined for a result. */
  readonly origin?: Origin;
  /** Right side of the equation in symbols of lines before; undefined for a given value. */
  readonly equation?: string;
}

/** Lines under a heading, values before the equations that use them. */
export interface NotePart {
  readonly title: string;
  readonly words?: string;
  readonly lines: readonly NoteLine[];
}

/** How a number was found that no closed form gives: an integration, a search, an equation of state. */
export interface NoteMethod {
  readonly words: string;
  /** Step control, tolerances, residuals, what the energy ledger leaves. */
  readonly control: readonly (readonly [what: string, value: string])[];
  /** Sections of the valve file that it reads; their values stand once below the question. */
  readonly reads: readonly string[];
}

/** A declared value as it was typed. */
export interface NoteInput {
  readonly path: string;
  readonly written: string;
  readonly from: string;
}

/** The note of one check. */
export interface CheckNote {
  readonly check: Check;
  /** Number of its question. */
  readonly question: number;
  readonly parts: readonly NotePart[];
  readonly method: NoteMethod | undefined;
  /** Where a replayed step does not give what the program used: what each of them is. No steps are printed then. */
  readonly disagreement: string | undefined;
}

/** The notes of one question. */
export interface QuestionNote {
  readonly number: number;
  readonly question: string;
  readonly notes: readonly CheckNote[];
  /** Declared values of the sections that their methods read. */
  readonly inputs: readonly NoteInput[];
  readonly cautions: readonly string[];
}
