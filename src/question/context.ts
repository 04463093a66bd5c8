/** What every question answers from: one prediction, the tests made so far, and short ways to read them. */
import {
  type Conditions,
  conditionsOf,
  isFaulty,
  itemAt,
  type StandFile,
  type UncertainInput,
  uncertainInputs,
  type ValveFile,
} from "../dossier/index.js";
import {
  grantedWords,
  type JointReconciliation,
  type NextTests,
  type PastEvent,
  type Proposal,
  type Reconciliation,
  type Reduction,
  type SealedFinding,
  type SeriesReport,
} from "../evidence/index.js";
import { clopperPearson, type ProbabilityInterval } from "../numerics/index.js";
import {
  columnIndex,
  meetingProbability,
  OwnAnswers,
  type Prediction,
  usualProbability,
} from "../predict/index.js";
import type { Table } from "./answer.js";
import type { Limit } from "./check.js";
import type { HazardEvidence } from "./hazardRegister.js";
import { type SamplePoints, samplePointsOf } from "./samplePoints.js";

/** What tests have shown. */
export interface Evidence {
  readonly reconciliations: readonly Reconciliation[];
  /** What each run said of the prediction that was sealed before it, whatever became of the valve file since. */
  readonly sealedFindings?: readonly SealedFinding[];
  /** What the logs were reduced to. */
  readonly reductions?: readonly Reduction[];
  /** Updated values that await acceptance. */
  readonly proposals?: readonly Proposal[];
  /** Ids of runs that were not held against the files as they are. */
  readonly notHeld?: readonly string[];
  /** Ids of runs that present values were fitted to. */
  readonly usedToFit?: readonly string[];
  /** Several runs held against the valve together. */
  readonly joint?: JointReconciliation;
  /** Repeated strokes of the runs that were reduced. */
  readonly series?: SeriesReport;
  /** Ids of runs that were not reduced, or not from the files as they are: no series has their strokes. */
  readonly notReduced?: readonly string[];
  /** What was predicted, measured and updated, oldest first. */
  readonly history?: readonly PastEvent[];
  /** The register of hazards, if the dossier has one. */
  readonly hazards?: HazardEvidence;
  /** Who owes what, and what is waived, if the dossier says so. */
  readonly stand?: StandFile;
  /** Sealed predictions, oldest first. */
  readonly seals?: readonly { readonly sha256: string; readonly made: string; readonly caseId: string }[];
  /** Go / no-go sheets that were printed into the dossier, and what each says has changed since. */
  readonly sheets?: readonly { readonly name: string; readonly changed: readonly string[] }[];
  /** What two persons of a team decided upon a sheet. */
  readonly decisions?: readonly Decision[];
  /** The day for which what expires is judged, ISO 8601; left out: nothing that expires is known to hold. */
  readonly day?: string;
  /** Which test would tell most of the case, as last ranked. */
  readonly next?: NextRanking;
  /** The test plan of the case, as last made. */
  readonly plan?: PlanMade;
}

/** A test plan that was made at some time. */
export interface PlanMade {
  /** ISO 8601. */
  readonly made: string;
  readonly found: KeptPlan;
  /** Names of what it rests on and what has changed since; none while it holds. */
  readonly changed: readonly string[];
}

/** What is kept of a plan: its runs in words, and where their cards were written. */
export interface KeptPlan {
  readonly table: Table;
  /** The file with the cards, as a path within the dossier where it lies there. */
  readonly cards: string;
}

/** What one person of a team decided upon a sheet, as the team's database keeps it. */
export interface Decision {
  /** Name of the sheet in the dossier, and SHA-256 of its bytes. */
  readonly sheet: string;
  readonly sha256: string;
  /** As typed: "go", "no-go", "go with waivers". */
  readonly word: string;
  readonly login: string;
  readonly name: string;
  readonly at: string;
  readonly why: string;
  /** What it is worth: "one of two", "two persons agree", "two persons differ". */
  readonly standing: string;
}

/** A ranking of tests that was made at some time. */
export interface NextRanking {
  /** ISO 8601. */
  readonly made: string;
  readonly found: NextTests;
  /** Names of what it rests on and what has changed since; none while it holds. */
  readonly changed: readonly string[];
}

/** What a question answers from. */
export interface Context {
  readonly prediction: Prediction;
  readonly evidence: Evidence;
  /** What does not come from the strokes. */
  readonly own: OwnAnswers;
  readonly conditions: Conditions;
  readonly duty: NonNullable<ValveFile["duty"]>;
  /** Probability with which a limit is to be kept; NaN where it was entered with a fault [-]. */
  readonly wanted: number;
  /** Declared values with a spread, by path. */
  readonly inputs: ReadonlyMap<string, UncertainInput>;
  /** Where each input stood in each sample of the band. */
  readonly points: SamplePoints | undefined;
}

/** Gathers what the questions answer from. */
export function contextOf(
  prediction: Prediction,
  evidence: Evidence,
  own = new OwnAnswers(prediction.dossier, prediction.caseId, prediction.options),
): Context {
  const { dossier, caseId } = prediction;
  const duty = dossier.valve.duty ?? {};
  return {
    prediction,
    evidence,
    own,
    conditions: conditionsOf(dossier, caseId),
    duty,
    wanted:
      duty.probability?.value ?? (isFaulty(dossier, "duty.probability") ? Number.NaN : usualProbability),
    inputs: new Map(uncertainInputs(dossier).map((input) => [input.path, input])),
    points: samplePointsOf(prediction),
  };
}

/** Nominal value of a column, or undefined where it does not exist. */
export function nominalValue({ prediction }: Context, column: string): number | undefined {
  const value = prediction.nominal.row[columnIndex(column)];
  return value === undefined || Number.isNaN(value) ? undefined : value;
}

/** A band narrower than this share of its value is none: nothing uncertain enters. */
const noSpread = 1e-6;

/** Band of a column; undefined without a band, and where nothing uncertain enters. */
export function bandFor(
  { prediction }: Context,
  column: string,
): { readonly low: number; readonly high: number; readonly coverage: number } | undefined {
  const { band } = prediction;
  const figure = band?.figures[column];
  if (band === undefined || figure === undefined) return undefined;
  const low = figure.low.value;
  const high = figure.high.value;
  return high - low <= noSpread * Math.abs(high) ? undefined : { low, high, coverage: band.coverage };
}

/** Probability that a column meets a limit; undefined without a band. */
export function chanceOf(
  { prediction }: Context,
  column: string,
  limit: Pick<Limit, "most" | "least">,
): ProbabilityInterval | undefined {
  const { band } = prediction;
  if (band === undefined) return undefined;
  const trials = band.samples - band.impossible;
  if (trials < 1) return undefined;
  // A figure that no sample has (every one stalls) is kept by none.
  return meetingProbability(band, column, limit) ?? clopperPearson(0, trials, band.confidence);
}

/** A field in words, with the run whose own value it is: "supply open circuit voltage, run 2026-04-14-dry". */
export function labelInRun(context: Context, path: string, runId: string | undefined): string {
  return `${labelOf(context, path)}${runId === undefined ? "" : `, run ${runId}`}`;
}

/** A field in words: "drive stage 1 efficiency". */
export function labelOf({ inputs }: Context, path: string): string {
  return inputs.get(path)?.label ?? grantedWords(path) ?? pathWords(path);
}

function pathWords(path: string): string {
  return path
    .replace(/^(valve|drive|duty)\./, "")
    .replace(/s\[(\d+)\]/g, (_, index: string) => ` ${Number(index) + 1}`)
    .replaceAll(".", " ")
    .replaceAll("_", " ");
}

/** Those of some paths that were entered with a fault and are not known for it. */
export function faultsAmong(
  { prediction: { dossier } }: Pick<Context, "prediction">,
  paths: readonly string[],
): readonly string[] {
  return paths.filter((path) => itemAt(dossier.valve, path) === undefined && isFaulty(dossier, path));
}

/** Whether the case has a liquid that flows. */
export function hasFlow({ prediction }: Context): boolean {
  return prediction.nominal.flow !== undefined;
}
