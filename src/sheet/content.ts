/** What a sheet is printed from. The shell reads files, hashes them and reads the clock; all of it is passed in. */
import type { UsedDefault } from "../dossier/index.js";
import type { Reconciliation, SealedFinding, SealedPrediction } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import type { Prediction } from "../predict/index.js";
import type { Answer, Decision } from "../question/index.js";

/** A file that something rests on. */
export interface HashedFile {
  /** As shown: relative to the dossier. */
  readonly name: string;
  /** SHA-256 as lower-case hex. */
  readonly sha256: string;
}

/** One recorded test. */
export interface SheetRun {
  readonly id: string;
  readonly caseId: string;
  /** When it was recorded, ISO 8601; undefined where its record does not say. */
  readonly recorded: string | undefined;
  /** The untouched log of the logger; undefined where it is not at hand. */
  readonly log: HashedFile | undefined;
  /** Its strokes, each held against a prediction; none where nothing could be compared. */
  readonly reconciliations: readonly Reconciliation[];
  /** What it said of the predictions sealed before it. */
  readonly sealedFindings?: readonly SealedFinding[];
  readonly notices: readonly Notice[];
}

/** Everything a sheet prints. Same content, same bytes. */
export interface SheetContent {
  /** Name, case, inputs, seed and model version are read from it. */
  readonly prediction: Prediction;
  /** Of this prediction, in order. */
  readonly answers: readonly Answer[];
  /** What was filled in where the valve file says nothing. */
  readonly defaults: readonly UsedDefault[];
  /** Every run of the dossier, also of other cases, oldest first. */
  readonly runs: readonly SheetRun[];
  /** Every sealed prediction of the dossier, oldest first. */
  readonly seals: readonly SealedPrediction[];
  /** Every file that the sheet rests on. */
  readonly files: readonly HashedFile[];
  /** Day for which it is judged what has expired, ISO 8601. No instant of printing stands on a sheet. */
  readonly day: string;
  /** What persons of a team decided upon earlier sheets; none outside of a team. */
  readonly decisions?: readonly Decision[];
  /** stand.yaml has faults: what it waives and who owes what is not known to the whole. */
  readonly isStandFaulty?: boolean;
  /** Caveats of the reading and of the shell; those of the answers come with them. */
  readonly notices: readonly Notice[];
}
