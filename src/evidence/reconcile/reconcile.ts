/**
 * Reconciliation: one measured stroke held against the model of the dossier.
 *
 * It says whether prediction and test agree within their uncertainties; which declared inputs, moved
 * within what was declared, explain the histories; how much of the difference each explains; what
 * this test could not tell apart; and when none of the declared inputs explains it. Agreement is
 * never called validation, and updated values are proposed, never written.
 */
import { type Ceilings, isAnswerable, modelVersion, type Plan } from "../../predict/index.js";
import { leadingTime } from "../run/leadingTime.js";
import type { Comparison } from "./compare.js";
import {
  beyondCeiling,
  ceilingsAt,
  delayOf,
  incredible,
  leftOver,
  missed,
  unsettledWords,
} from "./explain.js";
import { comparisonsOf, findingOf } from "./finding.js";
import { fittedTo } from "./fitted.js";
import { changedWords, type HeldPrediction } from "./held.js";
import type { MeasuredStroke } from "./measured.js";
import { type HistoryOverlay, overlaysOf } from "./overlay.js";
import { shareOut, type TimeLedger } from "./share.js";
import { type Update, updateInputs } from "./update.js";
import {
  type ConfusedPair,
  confusedPairs,
  recordOf,
  spreadOf,
  type UpdatedInput,
  type UpdateRecord,
  updatedInputs,
} from "./updated.js";

export interface Reconciliation {
  readonly model: string;
  readonly runId: string;
  readonly caseId: string;
  readonly sense: MeasuredStroke["sense"];
  readonly held: HeldPrediction;
  readonly comparisons: readonly Comparison[];
  /** The comparison that the finding is about, if the test has its time. */
  readonly leading: Comparison | undefined;
  readonly finding: Comparison["finding"];
  readonly inputs: readonly UpdatedInput[];
  readonly confused: readonly ConfusedPair[];
  readonly ledger: TimeLedger | undefined;
  /** Why there is no ledger, or why the explanation does not stand. */
  readonly refusals: readonly string[];
  /** Whether the update explains the test within its uncertainties. */
  readonly explained: boolean;
  readonly ceilings: Ceilings | undefined;
  readonly update: UpdateRecord;
  readonly overlays: readonly HistoryOverlay[];
}

/**
 * Reconciles one stroke.
 * @param leading definition that the finding is about
 * @param sameLog ids of the runs that hold the same log, this run's among them
 */
export function reconcile(
  plan: Plan,
  stroke: MeasuredStroke,
  held: HeldPrediction,
  leading: string,
  sameLog: readonly string[] = [stroke.runId],
): Reconciliation {
  if (!isAnswerable(plan, "motion")) throw new Error("reconciliation needs a plan that answers motion");
  const comparisons = comparisonsOf(stroke, held);
  const lead = leadingTime(comparisons, leading);
  const update = updateInputs([{ plan, stroke }]);
  const spread = spreadOf(update);
  const inputs = updatedInputs(update, spread);
  const definition = lead?.definition ?? leading;
  const ceilings = ceilingsAt(update.space, 0, update.z, definition);
  const { ledger, refusals } = explanationOf(update, lead, held.changedSince, ceilings, inputs);
  return {
    model: modelVersion,
    runId: stroke.runId,
    caseId: plan.caseId,
    sense: stroke.sense,
    held,
    comparisons,
    leading: lead,
    finding: isCircular(plan, held, sameLog) ? "cannot tell" : findingOf(lead, stroke, held),
    inputs,
    confused: confusedPairs(update, spread),
    ledger: ledger === undefined ? undefined : { ...ledger, stands: refusals.length === 0 },
    refusals,
    explained: ledger !== undefined && refusals.length === 0,
    ceilings,
    update: recordOf(update, spread),
    overlays: overlaysOf(update, 0),
  };
}

/** The ledger of a single run's update, and why it does not stand. */
function explanationOf(
  update: Update,
  lead: Comparison | undefined,
  changed: readonly string[] | undefined,
  ceilings: Ceilings | undefined,
  inputs: readonly UpdatedInput[],
): { readonly ledger: TimeLedger | undefined; readonly refusals: readonly string[] } {
  const { space, z } = update;
  if (changed !== undefined) return { ledger: undefined, refusals: [changedWords(changed)] };
  if (lead === undefined)
    return {
      ledger: undefined,
      refusals: ["the test has no time by this definition, so there is no difference to share out"],
    };
  const ledger = shareOut(space, 0, z, lead);
  const beyond = beyondCeiling(lead, ceilings, delayOf(space, 0, z));
  if (ledger === undefined)
    return {
      ledger,
      refusals: [
        "some mixture of declared and updated values does not arrive, so there is no time to share out",
        ...beyond,
      ],
    };
  return {
    ledger,
    refusals: [
      ...beyond,
      ...leftOver(ledger, lead.dataUncertainty_s),
      ...incredible(inputs),
      ...missed(update),
      ...unsettledWords(update),
    ],
  };
}

/** Values fitted to this very run, held against it without a seal: it would agree by construction. */
function isCircular({ dossier }: Plan, held: HeldPrediction, sameLog: readonly string[]): boolean {
  return held.sealed === undefined && fittedTo(dossier, sameLog).length > 0;
}
