/**
 * Several tests of one valve held against its model together: one update of what they share, the
 * conditions of each test free. It begins from what was declared before any of them was fitted, so
 * that no test counts twice, whatever was accepted since.
 */
import { isAnswerable, modelVersion } from "../../predict/index.js";
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
import { type OpenDirection, openDirections } from "./identify.js";
import type { MeasuredStroke, MeasuredTime } from "./measured.js";
import { type HistoryOverlay, overlaysOf } from "./overlay.js";
import type { FittedRun } from "./parameters.js";
import { linearBands, type PosteriorSummary } from "./posteriorSummary.js";
import { type Proposal, proposalsFor } from "./proposal.js";
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

/** What the joint update says of one run. */
export interface JointRun {
  readonly runId: string;
  readonly caseId: string;
  readonly sense: MeasuredStroke["sense"];
  /** Undefined where the log has no time that could be shared out. */
  readonly ledger: TimeLedger | undefined;
  /** Why the update does not explain this run. */
  readonly refusals: readonly string[];
  readonly overlays: readonly HistoryOverlay[];
}

export interface JointReconciliation {
  readonly model: string;
  readonly runs: readonly JointRun[];
  readonly inputs: readonly UpdatedInput[];
  readonly confused: readonly ConfusedPair[];
  readonly open: readonly OpenDirection[];
  /** Why the update does not stand for all runs; each run has its own besides. */
  readonly refusals: readonly string[];
  /** Whether it explains every run. */
  readonly explained: boolean;
  readonly update: UpdateRecord;
  readonly proposals: readonly Proposal[];
  /** There where the posterior was sampled; unless it has converged, the spreads are those of the linearised one. */
  readonly sampled: PosteriorSummary | undefined;
  /** Values that were put back to what they were before the runs were fitted. */
  readonly putBack: readonly string[];
}

/** A run of a joint update, and the definition its time is shared out by. */
export interface JointInput extends FittedRun {
  readonly definition: string;
}

/** An update of several runs, and what a posterior is sampled from. */
export interface JointUpdate {
  readonly update: Update;
  readonly spread: Float64Array;
}

/** The maximum posterior of several runs. */
export function updateJointly(runs: readonly JointInput[]): JointUpdate {
  for (const { plan } of runs)
    if (!isAnswerable(plan, "motion")) throw new Error("reconciliation needs plans that answer motion");
  const update = updateInputs(runs);
  return { update, spread: spreadOf(update) };
}

/**
 * What an update of several runs says of each of them and of the inputs.
 * @param putBack paths of values that were put back to before they were fitted
 */
export function reconcileJointly(
  runs: readonly JointInput[],
  { update, spread }: JointUpdate,
  putBack: readonly string[],
  sampled?: PosteriorSummary,
): JointReconciliation {
  // Draws that have not converged are told of, and nothing is made of them.
  const drawn = sampled?.converged === true ? sampled : undefined;
  const inputs = drawn?.inputs ?? updatedInputs(update, spread);
  const bands = drawn?.bands ?? linearBands(update);
  const told = runs.map((run, r) => jointRunOf(update, run, r, bands[r]));
  const refusals = [...incredible(inputs), ...unsettledWords(update)];
  const runIds = runs.map(({ stroke }) => stroke.runId);
  return {
    model: modelVersion,
    runs: told,
    inputs,
    confused: confusedPairs(update, drawn?.covariance ?? spread),
    open: openDirections(update, drawn?.covariance ?? spread),
    refusals,
    explained: refusals.length === 0 && told.every((run) => run.refusals.length === 0),
    update: recordOf(update, spread),
    proposals: proposalsFor(
      runs.map(({ plan }) => plan),
      inputs,
      runIds,
      jointRefusals({ refusals, runs: told }),
    ),
    sampled,
    putBack,
  };
}

/** Why an update of several runs does not stand, those of single runs with their run. */
export function jointRefusals({
  refusals,
  runs,
}: Pick<JointReconciliation, "refusals" | "runs">): readonly string[] {
  return [
    ...refusals,
    ...runs.flatMap(({ runId, refusals: own }) => own.map((refusal) => `run ${runId}: ${refusal}`)),
  ];
}

function jointRunOf(
  update: Update,
  { plan, stroke, definition }: JointInput,
  run: number,
  bands: PosteriorSummary["bands"][number] | undefined,
): JointRun {
  const { space, z } = update;
  const time = leadingTime(stroke.times, definition);
  const ledger =
    time === undefined
      ? undefined
      : shareOut(space, run, z, { definition: time.definition, measured_s: time.value_s });
  const refusals = [...refusalsOf(update, run, time, ledger), ...missed(update, run)];
  const overlays = overlaysOf(update, run).map((overlay, h) => {
    const band = bands?.[h];
    return band === undefined ? overlay : { ...overlay, band };
  });
  return {
    runId: stroke.runId,
    caseId: plan.caseId,
    sense: stroke.sense,
    ledger: ledger === undefined ? undefined : { ...ledger, stands: refusals.length === 0 },
    refusals,
    overlays,
  };
}

function refusalsOf(
  { space, z }: Update,
  run: number,
  time: MeasuredTime | undefined,
  ledger: TimeLedger | undefined,
): readonly string[] {
  if (time === undefined) return ["the log has no time that could be shared out"];
  const measured: Pick<Comparison, "measured_s" | "dataUncertainty_s"> = {
    measured_s: time.value_s,
    dataUncertainty_s: time.standardUncertainty_s,
  };
  const ceilings = ceilingsAt(space, run, z, time.definition);
  const beyond = beyondCeiling(measured, ceilings, delayOf(space, run, z));
  if (ledger === undefined)
    return [
      "some mixture of declared and updated values does not arrive, so there is no time to share out",
      ...beyond,
    ];
  return [...beyond, ...leftOver(ledger, time.standardUncertainty_s)];
}
