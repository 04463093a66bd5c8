/** One run held against the prediction of its case. */
import { applyDefaults, type Dossier } from "../dossier/index.js";
import {
  changedFieldsWords,
  changedSince,
  fittedTo,
  fittedWithoutStanding,
  type HeldPrediction,
  heldFromBand,
  type MeasuredStroke,
  measureStroke,
  newestBefore,
  type Proposal,
  proposalsOf,
  type Reconciliation,
  reconcile,
  type SealedFinding,
  type SealedPrediction,
  sealedFindingOf,
  seriesOf,
  strokeChannels,
  type TestedCondition,
  type TestedLog,
} from "../evidence/index.js";
import { type Notice, Refusal, refuse } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import {
  keptReduction,
  readNext,
  readRunLog,
  restsOn,
  runsOfSameLog,
  type StoredRun,
  unstandingWords,
} from "../host/index.js";
import {
  closingDefinition,
  isAnswerable,
  modelVersion,
  nominalOf,
  openingDefinition,
  type Plan,
  type Prediction,
  type PredictionOptions,
  planFor,
  predict,
} from "../predict/index.js";
import type { Angle } from "../quantity/index.js";
import { type Answer, type Evidence, testAnswer } from "../question/index.js";
import type { Desk } from "./command.js";
import { conditionsNotice, fileAsTested, sealedAsTested } from "./testedPrediction.js";
import { milliseconds } from "./timeText.js";

/** A run with everything that is said of it. */
export interface HeldRun {
  readonly run: StoredRun;
  readonly stroke: MeasuredStroke;
  /** What its log and run.yaml tell of the conditions of the test. */
  readonly test: TestedLog;
  /** Ids of the runs that hold the same log, this one's among them. */
  readonly sameLog: readonly string[];
  /** What the case predicts now. */
  readonly prediction: Prediction;
  readonly reconciliation: Reconciliation;
  readonly proposals: readonly Proposal[];
  /** What the run says of the prediction sealed before it, whatever became of the file since. */
  readonly sealedFinding: SealedFinding | undefined;
  /** Question 11 about this run alone. */
  readonly answer: Answer;
  readonly notices: readonly Notice[];
}

/**
 * Holds a run against the newest prediction of its case that was sealed before the test, or against the
 * valve file as it is. A seal of another state of the file is history: what it says is told, and the run
 * is held against the present file, unless values of that were fitted to this very run.
 * Refuses a run of a case that is not there, one that shows no stroke, and a case whose motion is not known.
 */
export async function heldRun(
  open: OpenDossier,
  run: StoredRun,
  sealed: readonly SealedPrediction[],
  options: PredictionOptions,
  desk: Desk,
): Promise<HeldRun> {
  const caseId = run.record.case;
  const { dossier } = applyDefaults(open.dossier, caseId);
  const { stroke, test, notices } = await strokeOf(dossier, run);
  const declared = planFor(dossier, caseId);
  if (!isAnswerable(declared, "motion")) refuseUnknown(run, declared.missing.motion);
  const tested = fileAsTested(declared, test);
  const { conditions } = tested;
  const sameLog = await runsOfSameLog(open.files.folder, run);
  const seal = newestBefore(sealed, caseId, run.record.date ?? "");
  const fitted = fittedTo(dossier, sameLog);
  const changed = seal === undefined ? undefined : changedSince(seal, restsOn(open.files), declared);
  const moved =
    seal === undefined ? undefined : await sealedAsTested(seal, dossier, changed ?? [], test, options, desk);
  const fromSeal = moved?.held;
  const source = changed === undefined ? fromSeal : sealAsHistory(fromSeal, changed, fitted);
  // The ledger begins at what the run is held against.
  const plan = source !== undefined && source.asTested === undefined ? declared : tested.plan;
  const prediction = await predict(
    plan.dossier,
    caseId,
    source === undefined ? options : { ...options, samples: 0 },
    desk.run,
  );
  const held = source ?? heldFromNow(prediction, stroke, declared, conditions);
  const leading = stroke.sense === "opening" ? openingDefinition(dossier) : closingDefinition(dossier);
  const reconciliation = reconcile(plan, stroke, held, leading, sameLog);
  // Written beside what the file has now, not beside the reading of this test.
  const proposals = proposalsOf(declared, reconciliation, sameLog);
  const sealedFinding = seal === undefined ? undefined : sealedFindingOf(stroke, seal, fromSeal);
  const about = { seal, changed, isHeld: source !== undefined, past: pastWords(sealedFinding) };
  const evidence = {
    reconciliations: [reconciliation],
    proposals,
    sealedFindings: sealedFinding === undefined ? [] : [sealedFinding],
    ...(await keptBeside(open, run)),
  };
  const answer = testAnswer(prediction, evidence);
  return {
    run,
    stroke,
    test,
    sameLog,
    prediction,
    reconciliation,
    proposals,
    sealedFinding,
    answer,
    notices: [
      heldNotice(run, about, sealed),
      conditionsNotice(held, reconciliation.leading?.definition ?? leading),
      ...tested.notices,
      ...(moved?.notices ?? []),
      ...fittedNotice(fitted, fittedWithoutStanding(dossier, sameLog)),
      ...notices,
    ],
  };
}

/** What other commands found of the run and of its case: its strokes, and which test would tell most. */
async function keptBeside(
  { files }: OpenDossier,
  run: StoredRun,
): Promise<Pick<Evidence, "series" | "notReduced" | "next">> {
  const { id, case: caseId } = run.record;
  const reduction = await keptReduction.read(run, restsOn(files), modelVersion);
  const next = await readNext(files.folder, caseId, restsOn(files), modelVersion);
  return {
    ...(reduction === undefined ? { notReduced: [id] } : { series: seriesOf([reduction]) }),
    ...(next === undefined ? {} : { next }),
  };
}

/** The measured stroke. Refuses a run in which none can be compared. */
async function strokeOf(
  dossier: Dossier,
  run: StoredRun,
): Promise<{
  readonly stroke: MeasuredStroke;
  readonly test: TestedLog;
  readonly notices: readonly Notice[];
}> {
  const travel = dossier.valve.valve?.travel?.value;
  if (travel === undefined) refuseUnknown(run, ["valve.travel"]);
  const { id, moves, conditions = {} } = run.record;
  const log = await readRunLog(run);
  const { stroke, events, notices } = measureStroke(id, strokeChannels(log), travel as Angle, moves);
  if (stroke !== undefined)
    return { stroke, test: { log, events, sense: stroke.sense, stated: conditions }, notices };
  throw new Refusal([
    {
      code: "no-stroke",
      where: { file: run.file.path },
      found: `run ${id} shows no stroke that could be compared: ${notices.map(({ text }) => text).join("; ")}`,
      allowed: "A stroke begins with a command and moves the angle.",
      mend: "Correct the mapping in run.yaml, or set the event by hand under moved_events with who and why",
    },
  ]);
}

function heldFromNow(
  { band, nominal, definition }: Prediction,
  { sense }: MeasuredStroke,
  declared: Plan,
  conditions: readonly TestedCondition[],
): HeldPrediction {
  if (band === undefined)
    return refuse(
      "no-band",
      "without samples there is no band to hold a test against",
      "",
      "Ask for some, for example --samples 4000",
    );
  const held = heldFromBand(band, sense, nominal[sense]?.times_s ?? {});
  if (conditions.length === 0) return held;
  const declaredTimes_s = nominalOf(declared, definition)[sense]?.times_s ?? {};
  return { ...held, asTested: { conditions, declaredTimes_s } };
}

/** A seal of another state of the file is held against only where the present file has learnt from the run. */
function sealAsHistory(
  fromSeal: HeldPrediction | undefined,
  changed: readonly string[],
  fitted: readonly string[],
): HeldPrediction | undefined {
  return fromSeal === undefined || fitted.length === 0 ? undefined : { ...fromSeal, changedSince: changed };
}

interface About {
  readonly seal: SealedPrediction | undefined;
  /** Fields that differ from the seal. */
  readonly changed: readonly string[] | undefined;
  /** Whether the finding is against the seal. */
  readonly isHeld: boolean;
  /** What the seal says of the test, in words. */
  readonly past: string;
}

function pastWords(past: SealedFinding | undefined): string {
  if (past === undefined) return "";
  const { leading, finding } = past;
  if (leading === undefined) return finding;
  const { predicted_s, measured_s, error_s, coverageFactor, validationUncertainty_s } = leading;
  const reach = coverageFactor * validationUncertainty_s;
  const say = (seconds: number) => milliseconds(seconds, Math.max(Math.abs(error_s), reach) / 10);
  return `${finding}, predicted ${say(predicted_s)}, measured ${say(measured_s)}, they differ by ${say(Math.abs(error_s))} where ${say(reach)} were open`;
}

/** What the run was held against, and whether that was fixed before the test. */
function heldNotice(
  { record }: StoredRun,
  { seal, changed, isHeld, past }: About,
  sealed: readonly SealedPrediction[],
): Notice {
  if (seal !== undefined) {
    const which = `sealed ${seal.made}, SHA-256 ${seal.sha256.slice(0, 12)}, before the test of ${record.date ?? ""}`;
    if (changed === undefined)
      return { code: "held-against-seal", text: `held against the prediction ${which}` };
    const since = `the valve file has changed since (${changedFieldsWords(changed)})`;
    return {
      code: "seal-outdated",
      text: isHeld
        ? `held against the prediction ${which}; ${since}: this is history and says nothing of the file as it is now`
        : `held against the valve file as it is now; the prediction ${which}, is of another state of it: ${since}. Against that seal: ${past}`,
    };
  }
  const own = sealed.filter((one) => one.case === record.case);
  const why =
    own.length === 0
      ? "no prediction of this case is sealed"
      : record.date === undefined
        ? "the run does not say when the test was made (date in run.yaml), so no sealed prediction can be shown to be older"
        : `the predictions of this case were sealed after the test of ${record.date}, or on its day (give the time of day too, then they can be told apart)`;
  return { code: "held-against-file", text: `held against the valve file as it is now: ${why}` };
}

/** Values that were fitted to the very run they are now held against. */
function fittedNotice(paths: readonly string[], unstanding: readonly string[]): readonly Notice[] {
  return paths.length === 0
    ? []
    : [
        {
          code: "fitted-to-this-run",
          text: `${paths.join(", ")} in the valve file ${paths.length > 1 ? "were" : "was"} fitted to this very run: agreement with it is no test of them, and no values are proposed: a test counts once${unstandingWords(unstanding, paths)}`,
        },
      ];
}

function refuseUnknown({ record, file }: StoredRun, missing: readonly string[]): never {
  throw new Refusal([
    {
      code: "reconcile-not-known",
      where: { file: file.path },
      found: `run ${record.id} cannot be held against the valve file: not known ${missing.length > 1 ? "are" : "is"} ${missing.join(", ")}`,
      allowed: "A stroke can be simulated once torque, drive and conditions of the case are known.",
      mend: "Enter them in valve.yaml; `coldturn check` shows what else is missing",
    },
  ]);
}
