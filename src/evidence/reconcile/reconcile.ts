/**
 * Reconciliation: one measured stroke held against the model of the dossier.
 *
 * It says whether prediction and test agree within their uncertainties; which declared inputs, moved
 * within what was declared, explain the histories; how much of the difference each explains; what
 * this test could not tell apart; and when none of the declared inputs explains it. Agreement is
 * never called validation, and updated values are proposed, never written.
 */
import { type ProbabilityInterval, quantileOfSorted } from "../../numerics/index.js";
import { timeDefinitions } from "../../physics/motion/index.js";
import {
  type Band,
  type Ceilings,
  ceilingsOf,
  columnIndex,
  flowMark,
  isAnswerable,
  modelVersion,
  type Plan,
  strokeOf,
  ValveSample,
  valuesOf,
} from "../../predict/index.js";
import { type Comparison, compare, coverageFactor } from "./compare.js";
import { fittedTo } from "./fitted.js";
import type { MeasuredHistory, MeasuredStroke, MeasuredTime } from "./measured.js";
import { mixing, valueAtScore, valuesAtScores } from "./scores.js";
import { shareOut, type TimeLedger, timeAt } from "./share.js";
import { simulateAt, type Update, updateInputs } from "./update.js";

/** What the test is held against: a sealed prediction, or the dossier as it is. */
export interface HeldPrediction {
  /** Hash of the sealed prediction; undefined if it was not made before the test. */
  readonly sealed: string | undefined;
  /** Nominal times by definition [s]; absent where the nominal valve does not arrive. */
  readonly times_s: Readonly<Record<string, number>>;
  /** Standard uncertainty by the declared inputs, by definition [s]. */
  readonly inputUncertainty_s: Readonly<Record<string, number>>;
  /** Band of each definition [s]. */
  readonly band_s: Readonly<Record<string, { readonly low: number; readonly high: number }>>;
  readonly notArriving: ProbabilityInterval | undefined;
  /** Declared inputs that differ from those of a seal whose files have changed since; then it is history. */
  readonly changedSince?: readonly string[];
}

/** One declared input before and after the test, SI. */
export interface UpdatedInput {
  readonly path: string;
  readonly declared: number;
  readonly before: { readonly low: number; readonly high: number };
  readonly after: { readonly value: number; readonly low: number; readonly high: number };
  /** How far it moved, in its declared standard uncertainties [-]. */
  readonly shift: number;
  /** Spread after over spread before [-]; 1 means this test says nothing of it. */
  readonly narrowing: number;
}

/** Two inputs that this test tells apart badly: their updates trade against each other. */
export interface ConfusedPair {
  readonly first: string;
  readonly second: string;
  readonly correlation: number;
}

/** Histories for the overlay: measured, simulated as declared, simulated as updated. */
export interface HistoryOverlay {
  readonly channel: MeasuredHistory["channel"];
  readonly time_s: readonly number[];
  readonly measured: readonly number[];
  readonly declared: readonly number[];
  readonly updated: readonly number[];
}

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
  readonly update: Update;
  readonly overlays: readonly HistoryOverlay[];
}

/** Narrowing above this: the test says nothing of the input. */
export const untouchedNarrowing = 0.95;
/** Correlation after the test above which two inputs count as confused. */
const confusedCorrelation = 0.6;
/** An update further than this many declared uncertainties is no longer what was declared. */
const incredibleShift = 3;
/** Misfit per independent stretch above which the histories are not explained; 1 is expected. */
const largestMisfit = 4;
/** Spread of the updated time that the linear update and the noise of the fit leave [-]. */
const updatedShare = 0.01;

/** Standard uncertainty and band of every time of a band, for `HeldPrediction`. */
export function heldFromBand(
  band: Band,
  sense: MeasuredStroke["sense"],
  times_s: Readonly<Record<string, number>>,
  sealed?: string,
): HeldPrediction {
  const inputUncertainty: Record<string, number> = {};
  const interval: Record<string, { low: number; high: number }> = {};
  for (const { id } of timeDefinitions) {
    const values = valuesOf(band.rows, columnIndex(`${sense}:${id}`))
      .slice()
      .sort();
    if (values.length < 2) continue;
    // Half the central 68 %: the standard uncertainty of a normal law, and robust for the others.
    inputUncertainty[id] = (quantileOfSorted(values, 0.8413) - quantileOfSorted(values, 0.1587)) / 2;
    const side = (1 - band.coverage) / 2;
    interval[id] = { low: quantileOfSorted(values, side), high: quantileOfSorted(values, 1 - side) };
  }
  return {
    sealed,
    times_s,
    inputUncertainty_s: inputUncertainty,
    band_s: interval,
    notArriving: sense === "opening" ? band.notOpening : band.notClosing,
  };
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
  const comparisons = stroke.times.flatMap((time) => comparisonOf(time, held));
  const lead = leadingOf(comparisons, leading);
  const update = updateInputs(plan, stroke);
  const declared = plan.space.nominal;
  const updated = Float64Array.from(declared);
  valuesAtScores(plan.space, update.z, updated);
  const inputs = updatedInputs(plan, update);
  const definition = lead?.definition ?? leading;
  const ceilings = ceilingsAt(plan, updated, stroke, definition);
  const refusals: string[] = [];
  const measured = lead?.measured_s;
  const changed = held.changedSince;
  const shared =
    measured === undefined || changed !== undefined
      ? undefined
      : shareOut(plan, declared, updated, { sense: stroke.sense, definition, measured_s: measured });
  if (changed !== undefined) refusals.push(changedWords(changed));
  else if (measured === undefined)
    refusals.push("the test has no time by this definition, so there is no difference to share out");
  else if (shared === undefined)
    refusals.push(
      "some mixture of declared and updated values does not arrive, so there is no time to share out",
    );
  if (measured !== undefined && lead !== undefined && changed === undefined)
    refusals.push(...beyondCeiling(measured, lead.dataUncertainty_s, ceilings));
  const isExplained = refusals.length === 0 && explains(shared, lead, inputs, update, refusals);
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
    confused: confusedPairs(plan, update),
    ledger: shared,
    refusals,
    explained: isExplained,
    ceilings,
    update,
    overlays: overlaysOf(plan, stroke, declared, updated, update.clockOffset_s),
  };
}

/** Fields that a sentence names at most. */
const mostFields = 6;

/** Which fields differ from a seal, in words. */
export function changedFieldsWords(paths: readonly string[]): string {
  if (paths.length === 0) return "in no value with a spread";
  const rest = paths.length - mostFields;
  return `${paths.slice(0, mostFields).join(", ")}${rest > 0 ? ` and ${rest} more` : ""}`;
}

/** Why a difference from a seal of another state of the file has no ledger. */
function changedWords(paths: readonly string[]): string {
  return `the valve file has changed since the seal (${changedFieldsWords(paths)}): the difference is not shared out`;
}

/** What a test says of a prediction, without asking why: the leading comparison and the finding. */
export function findingAgainst(
  stroke: MeasuredStroke,
  held: HeldPrediction,
  leading: string,
): Pick<Reconciliation, "leading" | "finding"> {
  const lead = leadingOf(
    stroke.times.flatMap((time) => comparisonOf(time, held)),
    leading,
  );
  return { leading: lead, finding: findingOf(lead, stroke, held) };
}

function comparisonOf(time: MeasuredTime, held: HeldPrediction): Comparison[] {
  const predicted = held.times_s[time.definition];
  const input = held.inputUncertainty_s[time.definition];
  if (predicted === undefined || input === undefined) return [];
  return [compare(time.definition, predicted, input, time)];
}

/** The wanted definition, or the fullest one that the test shows. */
function leadingOf(comparisons: readonly Comparison[], wanted: string): Comparison | undefined {
  const order = [wanted, "command-to-end", "command-to-99-travel", "command-to-90-travel", "travel-10-to-90"];
  for (const id of order) {
    const found = comparisons.find(({ definition }) => definition === id);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** Values fitted to this very run, held against it without a seal: it would agree by construction. */
function isCircular({ dossier }: Plan, held: HeldPrediction, sameLog: readonly string[]): boolean {
  return held.sealed === undefined && fittedTo(dossier, sameLog).length > 0;
}

/** A valve that should not have moved but did, or the other way round, is a finding without a time. */
function findingOf(
  lead: Comparison | undefined,
  stroke: MeasuredStroke,
  held: HeldPrediction,
): Comparison["finding"] {
  const failing = held.notArriving?.estimate;
  if (stroke.arrived === false)
    return failing !== undefined && failing >= unsureFailure ? "cannot tell" : "disagrees";
  if (lead !== undefined) return lead.finding;
  if (stroke.arrived === true && failing !== undefined && failing > 1 - unsureFailure) return "disagrees";
  return "cannot tell";
}

/** A predicted probability of not arriving from which on a stalled test is no surprise. */
const unsureFailure = 0.05;

function updatedInputs(plan: Plan, update: Update): readonly UpdatedInput[] {
  const { space } = plan;
  const n = space.inputs.length;
  const { scores, spread } = scoresOf(plan, update);
  return space.inputs.map((input, j) => {
    const y = scores[j] ?? 0;
    const s = spread[j * n + j] ?? 1;
    const sd = Math.sqrt(s);
    const at = (score: number) => valueAtScore(space, j, score);
    return {
      path: input.path,
      declared: input.members[0]?.declared.value ?? Number.NaN,
      before: { low: at(-two), high: at(two) },
      after: { value: at(y), low: at(y - two * sd), high: at(y + two * sd) },
      shift: y,
      narrowing: sd,
    };
  });
}

const two = 1.96;

/** Scores y = L z at the update and their covariance. */
function scoresOf(plan: Plan, update: Update): { scores: Float64Array; spread: Float64Array } {
  const n = plan.space.inputs.length;
  const L = mixing(plan.space);
  const scores = new Float64Array(n);
  const spread = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let k = 0; k < n; k++) scores[j] = (scores[j] ?? 0) + (L[j * n + k] ?? 0) * (update.z[k] ?? 0);
  }
  const half = new Float64Array(n * n);
  for (let j = 0; j < n; j++)
    for (let m = 0; m < n; m++) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += (L[j * n + k] ?? 0) * (update.covariance[k * n + m] ?? 0);
      half[j * n + m] = sum;
    }
  for (let j = 0; j < n; j++)
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let m = 0; m < n; m++) sum += (half[j * n + m] ?? 0) * (L[i * n + m] ?? 0);
      spread[j * n + i] = sum;
    }
  return { scores, spread };
}

function confusedPairs(plan: Plan, update: Update): readonly ConfusedPair[] {
  const n = plan.space.inputs.length;
  const { spread } = scoresOf(plan, update);
  const pairs: ConfusedPair[] = [];
  for (let j = 0; j < n; j++) {
    for (let k = j + 1; k < n; k++) {
      const scale = Math.sqrt((spread[j * n + j] ?? 0) * (spread[k * n + k] ?? 0));
      const correlation = scale > 0 ? (spread[j * n + k] ?? 0) / scale : 0;
      if (Math.abs(correlation) < confusedCorrelation) continue;
      pairs.push({
        first: plan.space.inputs[j]?.path ?? "",
        second: plan.space.inputs[k]?.path ?? "",
        correlation,
      });
    }
  }
  return pairs.sort((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation));
}

function ceilingsAt(
  plan: Plan,
  values: Float64Array,
  stroke: MeasuredStroke,
  definition: string,
): Ceilings | undefined {
  const sample = new ValveSample(plan);
  if (Number.isNaN(timeAt(plan, sample, values, stroke.sense, definition))) return undefined;
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  const mark = flowMark(sample, stroke.sense);
  return ceilingsOf(sample.train(), (train) => {
    const run = strokeOf(plan, sample, train, stroke.sense, mark);
    return run.stroke.outcome === "arrived" ? (run.times[index] ?? Number.NaN) : Number.NaN;
  });
}

function beyondCeiling(measured: number, uncertainty: number, ceilings: Ceilings | undefined): string[] {
  const reach = coverageFactor * uncertainty;
  const ms = (seconds: number) => `${(seconds * 1e3).toFixed(0)} ms`;
  if (ceilings?.fastest !== undefined && measured + reach < ceilings.fastest) {
    return [
      `the test took ${ms(measured)}; without any friction the updated drive still needs ${ms(ceilings.fastest)}: no friction explains it`,
    ];
  }
  if (ceilings?.slowest !== undefined && measured - reach > ceilings.slowest) {
    return [
      `the test took ${ms(measured)}; the slowest opening before friction stalls the updated drive takes ${ms(ceilings.slowest)}: no friction explains it`,
    ];
  }
  return [];
}

function explains(
  ledger: TimeLedger | undefined,
  lead: Comparison | undefined,
  inputs: readonly UpdatedInput[],
  update: Update,
  refusals: string[],
): boolean {
  if (ledger === undefined || lead === undefined) return false;
  const reach = coverageFactor * Math.hypot(lead.dataUncertainty_s, updatedShare * ledger.measured_s);
  if (Math.abs(ledger.unexplained_s) > reach) {
    refusals.push(
      `${(Math.abs(ledger.unexplained_s) * 1e3).toFixed(0)} ms stay unexplained, more than the ${(reach * 1e3).toFixed(0)} ms that the measurement leaves open`,
    );
  }
  for (const { path, shift } of inputs) {
    if (Math.abs(shift) > incredibleShift) {
      refusals.push(
        `${path} would have to lie ${Math.abs(shift).toFixed(1)} declared uncertainties away from what was declared`,
      );
    }
  }
  if (update.misfit > largestMisfit) {
    refusals.push(
      `the updated histories miss the measured ones by ${Math.sqrt(update.misfit).toFixed(1)} times the model discrepancy allowed for`,
    );
  }
  if (!update.converged) refusals.push(`the update did not settle (${update.reason})`);
  return refusals.length === 0;
}

function overlaysOf(
  plan: Plan,
  stroke: MeasuredStroke,
  declared: Float64Array,
  updated: Float64Array,
  clockOffset_s: number,
): readonly HistoryOverlay[] {
  const sample = new ValveSample(plan);
  sample.values.set(declared);
  const before = simulateAt(plan, sample, stroke, 0);
  sample.values.set(updated);
  const after = simulateAt(plan, sample, stroke, clockOffset_s);
  return stroke.histories.map(({ channel, time_s, values }, h) => ({
    channel,
    time_s: [...time_s],
    measured: [...values],
    declared: [...(before[h] ?? [])],
    updated: [...(after[h] ?? [])],
  }));
}
