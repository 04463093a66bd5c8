/** What a test says of the prediction that was sealed before it; no later edit of the valve file changes that. */
import type { Comparison } from "../reconcile/compare.js";
import { findingAgainst } from "../reconcile/finding.js";
import type { HeldPrediction } from "../reconcile/held.js";
import type { MeasuredStroke } from "../reconcile/measured.js";
import { heldFromSeal, type SealedPrediction } from "./seal.js";

/** The finding of one run against the newest prediction of its case that was sealed before it. */
export interface SealedFinding {
  readonly runId: string;
  readonly caseId: string;
  readonly sense: MeasuredStroke["sense"];
  /** SHA-256 of the sealed prediction. */
  readonly sealed: string;
  /** When it was made, ISO 8601 with zone. */
  readonly made: string;
  /** Version of the model that predicted. */
  readonly model: string;
  /** The comparison that the finding is about, if the test has its time. */
  readonly leading: Comparison | undefined;
  readonly finding: Comparison["finding"];
  readonly notArriving: HeldPrediction["notArriving"];
  readonly asTested?: HeldPrediction["asTested"];
}

/** Holds a stroke against a seal. @param held the seal at the conditions of the test, where they were measured */
export function sealedFindingOf(
  stroke: MeasuredStroke,
  sealed: SealedPrediction,
  held: HeldPrediction = heldFromSeal(sealed, stroke.sense),
): SealedFinding {
  return {
    runId: stroke.runId,
    caseId: sealed.case,
    sense: stroke.sense,
    sealed: sealed.sha256,
    made: sealed.made,
    model: sealed.model,
    ...findingAgainst(stroke, held, sealed.definition),
    notArriving: held.notArriving,
    ...(held.asTested === undefined ? {} : { asTested: held.asTested }),
  };
}
