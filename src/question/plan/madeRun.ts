/** Runs that were made already: which still stand for the valve as it is, and which have gone stale. */
import { applyDefaults, type Dossier } from "../../dossier/index.js";
import {
  changedFieldsWords,
  changedSince,
  type Finding,
  type SealedContent,
  type SealedPrediction,
} from "../../evidence/index.js";
import { planFor } from "../../predict/index.js";

/** A run as the shell found it. */
export interface RecordedRun {
  readonly id: string;
  readonly caseId: string;
  /** When it was made, ISO 8601; undefined where nobody said. */
  readonly date: string | undefined;
  /** Against the prediction sealed before it, else against the file as it is; undefined where it was held against neither. */
  readonly finding: Finding | undefined;
  /** SHA-256 of the prediction sealed before it that it was held against. */
  readonly sealed: string | undefined;
  /** Against the file as it is, where it was held against that too. */
  readonly present: Finding | undefined;
  readonly isUsedToFit: boolean;
  readonly isReduced: boolean;
  /** Whether its log gave a leak. */
  readonly hasLeak: boolean;
}

/** A run as the plan shows it. */
export interface MadeRun extends RecordedRun {
  /** Made and still valid: the plan asks for no other. */
  readonly isTicked: boolean;
  /** What stands of it, in words. */
  readonly words: string;
}

/** What a run is judged by: the files as they are, and every sealed prediction. */
export interface SealedFiles {
  readonly dossier: Dossier;
  readonly seals: readonly SealedPrediction[];
  readonly files: SealedContent["files"];
}

/** Inputs that differ from those of a seal; undefined where none does. */
export function changedInputs(
  seal: SealedPrediction,
  { dossier, files }: SealedFiles,
): readonly string[] | undefined {
  const changed = changedSince(seal, files, planFor(applyDefaults(dossier, seal.case).dossier, seal.case));
  return changed === undefined || changed.length === 0 ? undefined : changed;
}

/** The runs of a case, judged. @param kind whether it is a leak test that they are asked for */
export function madeRuns(
  runs: readonly RecordedRun[],
  caseId: string,
  kind: "stroke" | "leak",
  of: SealedFiles,
): readonly MadeRun[] {
  return runs
    .filter((run) => run.caseId === caseId)
    .map((run) => ({ ...run, ...(kind === "leak" ? leakStanding(run) : strokeStanding(run, of)) }));
}

type Standing = Pick<MadeRun, "isTicked" | "words">;

function leakStanding({ hasLeak }: RecordedRun): Standing {
  return hasLeak
    ? { isTicked: true, words: "its leak stands for the files as they are" }
    : { isTicked: false, words: "not reduced from the files as they are: `coldturn reduce` does it" };
}

function strokeStanding(run: RecordedRun, of: SealedFiles): Standing {
  const { finding, sealed, present, isUsedToFit, isReduced } = run;
  const fitted = isUsedToFit ? "; present values were fitted to it, so it is no test of them" : "";
  if (finding === undefined)
    return {
      isTicked: false,
      words: isUsedToFit
        ? "stale: present values were fitted to it, so it is no test of them"
        : "stale: not held against the files as they are; `coldturn reconcile` does it",
    };
  const against =
    sealed === undefined
      ? "the file as it is, with nothing sealed before it"
      : "the prediction sealed before it";
  if (finding !== "agrees") {
    const now =
      sealed !== undefined && present === "agrees"
        ? "; the file as it is now agrees, which a new seal would have to show"
        : "";
    const how = finding === "disagrees" ? "disagrees with" : "cannot tell of";
    return { isTicked: false, words: `${how} ${against}${fitted}${now}` };
  }
  const seal = of.seals.find(({ sha256 }) => sha256 === sealed);
  const changed = seal === undefined ? undefined : changedInputs(seal, of);
  if (changed !== undefined)
    return {
      isTicked: false,
      words: `stale: it agreed with ${against}, and since then changed: ${changedFieldsWords(changed)}${fitted}`,
    };
  const reduce = isReduced ? "" : "; `coldturn reduce` gives its torques";
  return { isTicked: !isUsedToFit, words: `agrees with ${against}${fitted}${reduce}` };
}
