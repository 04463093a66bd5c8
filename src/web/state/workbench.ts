/** The state of the page: one dossier, one history of edits, one map of answers by input key. */
import { createStore } from "zustand/vanilla";
import type { FieldDescription } from "../../dossier/index.js";
import type { RunRecord } from "../../evidence/index.js";
import type { Fault } from "../../fault/index.js";
import type { HistoryBand } from "../../predict/index.js";
import type { Answer, Evidence, Verdict } from "../../question/index.js";
import type { Reading } from "../compute/protocol.js";
import { type Files, type History, noHistory } from "./history.js";
import type { Conflict } from "./merge.js";

export interface SampledAnswer {
  readonly answer: Answer;
  /** Openings behind its band; 0 where only the nominal values are known so far. */
  readonly samples: number;
}

/** Answers to one state of the dossier, as far as they are worked out. */
export interface AnswerSet {
  readonly answers: ReadonlyMap<number, SampledAnswer>;
  readonly isLast: boolean;
}

/** A file on the disk that this page has not made. */
export interface FileConflict {
  readonly path: string;
  readonly text: string;
  readonly sha256: string;
  readonly conflicts: readonly Conflict[];
}

/** A run of the dossier, and what it has been used for. */
export interface ServedRun {
  readonly record: RunRecord;
  readonly isUsedToFit: boolean;
  readonly isHeld: boolean;
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
  /** Number of the choice of the search for other parts that it is. */
  readonly choice?: number;
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
  readonly ahead:
    | {
        readonly turn: number;
        readonly answers: ReadonlyMap<number, SampledAnswer>;
        /** A newer change still waits for its answer. */
        readonly isStale: boolean;
      }
    | undefined;
  /** An edit was given whose answer is not shown yet: what is shown is from before it. */
  readonly isAwaiting: boolean;
  /** Bands of histories by case and sense, with the files they belong to. */
  readonly histories: Readonly<
    Record<string, { readonly files: Files; readonly band: HistoryBand | undefined }>
  >;
  readonly reading: Reading | undefined;
  /** Key of the state that was read: another one than `key` until an edit has been read again. */
  readonly readingKey: string;
  readonly fields: readonly FieldDescription[];
  /** Faults of what was typed and could not be written, by path. */
  readonly refused: Readonly<Record<string, readonly Fault[]>>;
  /** Faults because of which nothing can be read. */
  readonly unreadable: readonly Fault[];
  /** The state beside that of now that cannot be read, and why. */
  readonly besideRefused: { readonly key: string; readonly faults: readonly Fault[] } | undefined;
  readonly conflict: FileConflict | undefined;
  readonly variants: readonly Variant[];
  /** File in which a variant was kept last, by its name. */
  readonly savedVariants: Readonly<Record<string, string>>;
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
  isAwaiting: false,
  histories: {},
  reading: undefined,
  readingKey: "",
  fields: [],
  refused: {},
  unreadable: [],
  besideRefused: undefined,
  conflict: undefined,
  variants: [],
  savedVariants: {},
  said: "",
}));

/** An answer as shown. */
export interface ShownAnswer extends SampledAnswer {
  /** The dossier has changed since. */
  readonly isStale: boolean;
}

/** The newest answer to a question; one that belongs to another state is marked. The same object as long as it stays. */
export function shownAnswer(
  { results, key, lastKey, ahead }: Workbench,
  number: number,
): ShownAnswer | undefined {
  const first = ahead?.answers.get(number);
  if (first !== undefined) return shownAs(first, ahead?.isStale === true);
  const now = results.get(key)?.answers.get(number);
  if (ahead === undefined && now !== undefined) return shownAs(now, false);
  const before = lastKey === undefined ? undefined : results.get(lastKey)?.answers.get(number);
  const old = now ?? before;
  return old === undefined ? undefined : shownAs(old, true);
}

/** The shown form of each answer, so that what has not changed is not drawn again. */
const shownForms = new WeakMap<SampledAnswer, { fresh: ShownAnswer; stale: ShownAnswer }>();

function shownAs(sampled: SampledAnswer, isStale: boolean): ShownAnswer {
  const known = shownForms.get(sampled) ?? {
    fresh: { ...sampled, isStale: false },
    stale: { ...sampled, isStale: true },
  };
  shownForms.set(sampled, known);
  return isStale ? known.stale : known.fresh;
}

/** The newest answer to each question. */
export function shownAnswers(bench: Workbench): readonly ShownAnswer[] {
  return Array.from({ length: 12 }, (_, index) => shownAnswer(bench, index + 1)).filter(
    (shown) => shown !== undefined,
  );
}

/** Files that differ from the disk. */
export function unsavedFiles({ files, base }: Workbench): readonly string[] {
  return Object.keys(files).filter((path) => files[path] !== base[path]?.text);
}
