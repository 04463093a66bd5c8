/** What the page and its workers say to each other. Everything in it can be sent between threads. */
import type { FieldDescription, UsedDefault } from "../../dossier/index.js";
import type { Fault, Notice } from "../../fault/index.js";
import type { NotedAnswer } from "../../note/index.js";
import type { HistoryBand } from "../../predict/index.js";
import type { Answer, Evidence } from "../../question/index.js";
import type { ChoiceFile, SeekScope, Trade } from "../../seek/index.js";

/** The hand-written files of a dossier, by their path in it. */
export type Texts = Readonly<Record<string, string>>;

/** A state of the dossier, and under which conditions it is looked at. */
export interface Inputs {
  /** Hash of texts, case and evidence. */
  readonly key: string;
  readonly texts: Texts;
  readonly caseId: string;
}

/** A new value of one field: as typed, or a nominal value whose spread stays; or the field is left out. */
export type NewValue = { readonly text: string } | { readonly si: number } | "left out";

/** One value of the file, as far as the page shows and edits it. */
export interface FieldValue {
  readonly path: string;
  /** As it stands in the file; undefined where the file leaves it out. */
  readonly written: string | undefined;
  /** How the program read it; undefined where nothing could be read. */
  readonly readAs: string | undefined;
  /** Where it comes from, in words. */
  readonly from: string | undefined;
  /** Nominal value and the ends of a slider, SI; only of a physical value. */
  readonly slide: { readonly value: number; readonly low: number; readonly high: number } | undefined;
}

/** What was read from a dossier. */
export interface Reading {
  readonly name: string;
  readonly cases: readonly { readonly id: string; readonly words: string }[];
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
  readonly defaults: readonly UsedDefault[];
  readonly values: readonly FieldValue[];
}

/** A change of one field. */
export interface ValueChange {
  readonly turn: number;
  readonly path: string;
  readonly value: NewValue;
}

/** What is asked of the search for other parts: what it would try, one choice as a file, the trade of concepts. */
export type SeekAsked = { readonly texts: Texts } & (
  | { readonly what: "scope"; readonly caseId: string }
  | { readonly what: "choice"; readonly index: number }
  | { readonly what: "trade"; readonly caseId: string }
);

export type SeekTold =
  | { readonly what: "scope"; readonly scope: SeekScope }
  | { readonly what: "choice"; readonly choice: ChoiceFile }
  | { readonly what: "trade"; readonly trade: Trade }
  | { readonly what: "refused"; readonly of: SeekAsked["what"]; readonly faults: readonly Fault[] };
/** A calculation note that is asked for: of the checks of an answer as it is shown. */
export interface NoteWish {
  readonly texts: Texts;
  readonly caseId: string;
  readonly answer: NotedAnswer;
}

/** To a worker. `quick` gives first looks; `thorough` reads, writes and answers everything. */
export type ToWorker =
  | { readonly kind: "evidence"; readonly evidence: Evidence }
  | { readonly kind: "describe" }
  /** A number that counts up whenever the work that is going on has become useless, where threads can share one. */
  | { readonly kind: "counter"; readonly counter: Int32Array }
  | {
      readonly kind: "answer";
      readonly inputs: Inputs;
      readonly focus: number;
      readonly count?: number;
      /** Another state than that of now: nothing that is kept of the present one is touched. */
      readonly isBeside?: boolean;
    }
  /** The work that is going on is of no use any more. */
  | { readonly kind: "stop" }
  /** Another question is looked at: what its first look needs is worked out before an edit asks for it. */
  | { readonly kind: "ready"; readonly focus: number }
  /** An answer ahead of the file: one value differs from what was last read. */
  | ({ readonly kind: "ahead"; readonly focus: number } & ValueChange)
  /** The band of the histories of a stroke. */
  | {
      readonly kind: "histories";
      readonly texts: Texts;
      readonly caseId: string;
      readonly sense: "opening" | "closing";
    }
  /** Of the search for other parts; told back under the same number. */
  | { readonly kind: "seek"; readonly asked: SeekAsked; readonly number: number }
  | ({ readonly kind: "note" } & NoteWish)
  /** Writes values into the text of the valve file. */
  | ({ readonly kind: "write"; readonly text: string } & ValueChange);

/** From a worker. */
export type FromWorker =
  | { readonly kind: "fields"; readonly fields: readonly FieldDescription[] }
  | { readonly kind: "read"; readonly key: string; readonly reading: Reading }
  | {
      readonly kind: "answers";
      readonly key: string;
      /** Those that are worked out so far; each replaces the one of its number. */
      readonly answers: readonly Answer[];
      /** Openings behind the band; 0 for a first look at the nominal values alone. */
      readonly samples: number;
      readonly isLast: boolean;
    }
  /** Without answers where the file must be read first. */
  | {
      readonly kind: "ahead";
      readonly turn: number;
      /** The value as it is to stand in the file. */
      readonly text?: string;
      readonly answers: readonly Answer[];
      readonly samples: number;
    }
  /** Undefined where the motion is not known. */
  | {
      readonly kind: "histories";
      readonly texts: Texts;
      readonly caseId: string;
      readonly sense: "opening" | "closing";
      readonly band: HistoryBand | undefined;
    }
  | { readonly kind: "seek"; readonly told: SeekTold; readonly number: number }
  /** A calculation note as a page; notes come in the order in which they were asked for. */
  | { readonly kind: "note"; readonly page: string }
  | { readonly kind: "written"; readonly turn: number; readonly text: string }
  | {
      readonly kind: "refused";
      readonly turn: number | undefined;
      readonly key: string | undefined;
      readonly faults: readonly Fault[];
    };
