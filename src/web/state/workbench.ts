/** The state of the page: one dossier, one history of edits, one map of answers by input key. */
import { createStore } from "zustand/vanilla";
import type { FieldDescription } from "../../dossier/index.js";
import type { Fault } from "../../fault/index.js";
import type { HistoryBand } from "../../predict/index.js";
import type { Answer, Evidence, Verdict } from "../../question/index.js";
import type { Reading } from "../compute/protocol.js";
import { type Files, type History, noHistory } from "./history.js";
import type { Conflict } from "./merge.js";
import type { ServedRun } from "./server.js";

/** Answers to one state of the dossier, as far as they are worked out. */
export interface AnswerSet {
  readonly answers: ReadonlyMap<number, Answer>;
  /** Openings behind the band. */
  readonly samples: number;
  readonly isLast: boolean;
}

/** A file on the disk that this page has not made. */
export interface FileConflict {
  readonly path: string;
  readonly text: string;
  readonly sha256: string;
  readonly conflicts: readonly Conflict[];
}

/** A state of the dossier that is kept for comparison. */
export interface Variant {
  readonly name: string;
  readonly files: Files;
  readonly caseId: string;
  readonly verdicts: readonly {
    readonly number: number;
    readonly verdict: Verdict;
    readonly words: string;
  }[];
}

export interface Workbench {
  readonly status: "loading" | "none" | "open";
  readonly folder: string;
  /** What went wrong last, in words with a remedy. */
  readonly trouble: string | undefined;
  /** As on the disk. */
  readonly base: Readonly<Record<string, { readonly text: string; readonly sha256: string }>>;
  /** As edited. */
  readonly files: Files;
  readonly history: History;
  readonly caseId: string;
  readonly evidence: Evidence;
  /** The tests made so far. */
  readonly runs: readonly ServedRun[];
  /** Counts the changes of the evidence. */
  readonly evidenceTurn: number;
  /** Key of what is edited now. */
  readonly key: string;
  readonly results: ReadonlyMap<string, AnswerSet>;
  /** Key of the last state that had any answer: shown as out of date until the present one has its own. */
  readonly lastKey: string | undefined;
  /** Answers to a change that is not yet written into the file. */
  readonly ahead: ReadonlyMap<number, Answer> | undefined;
  /** Bands of histories by case and sense, with the files they belong to. */
  readonly histories: Readonly<
    Record<string, { readonly files: Files; readonly band: HistoryBand | undefined }>
  >;
  readonly reading: Reading | undefined;
  readonly fields: readonly FieldDescription[];
  /** Faults of what was typed and could not be written, by path. */
  readonly refused: Readonly<Record<string, readonly Fault[]>>;
  /** Faults because of which nothing can be read. */
  readonly unreadable: readonly Fault[];
  readonly conflict: FileConflict | undefined;
  readonly variants: readonly Variant[];
  /** Said once to everybody, screen readers too. */
  readonly said: string;
}

export const workbench = createStore<Workbench>(() => ({
  status: "loading",
  folder: "",
  trouble: undefined,
  base: {},
  files: {},
  history: noHistory,
  caseId: "duty",
  evidence: { reconciliations: [] },
  runs: [],
  evidenceTurn: 0,
  key: "",
  results: new Map(),
  lastKey: undefined,
  ahead: undefined,
  histories: {},
  reading: undefined,
  fields: [],
  refused: {},
  unreadable: [],
  conflict: undefined,
  variants: [],
  said: "",
}));

/** An answer as shown, and whether the dossier has changed since. */
export interface ShownAnswer {
  readonly answer: Answer;
  readonly isStale: boolean;
}

/** The newest answer to each question; one that belongs to another state is marked. */
export function shownAnswers({ results, key, lastKey, ahead }: Workbench): readonly ShownAnswer[] {
  const now = results.get(key)?.answers;
  const before = lastKey === undefined ? undefined : results.get(lastKey)?.answers;
  return Array.from({ length: 12 }, (_, index) => index + 1).flatMap((number): readonly ShownAnswer[] => {
    const first = ahead?.get(number);
    if (first !== undefined) return [{ answer: first, isStale: false }];
    const present = ahead === undefined ? now?.get(number) : undefined;
    if (present !== undefined) return [{ answer: present, isStale: false }];
    const old = before?.get(number) ?? now?.get(number);
    return old === undefined ? [] : [{ answer: old, isStale: true }];
  });
}

/** Files that differ from the disk. */
export function unsavedFiles({ files, base }: Workbench): readonly string[] {
  return Object.keys(files).filter((path) => files[path] !== base[path]?.text);
}
