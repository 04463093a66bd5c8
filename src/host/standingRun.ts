/** A run with what still stands of it for the files as they are. */
import type { Reduction, SealedFinding } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import type { RunFinding } from "./reconciliationFile.js";
import type { StoredRun } from "./runFolder.js";

export interface StandingRun {
  readonly run: StoredRun;
  readonly finding: RunFinding | undefined;
  /** What it said of the prediction sealed before it; a value fitted to the run does not change that. */
  readonly sealedFinding: SealedFinding | undefined;
  /** What its log was reduced to; a value fitted to the run does not change that. */
  readonly reduction: Reduction | undefined;
  /** Whether present values were fitted to it: then it is no test of them. */
  readonly isUsedToFit: boolean;
  /** Says why a run shows nothing. */
  readonly notices: readonly Notice[];
}
