/**
 * The test plan: from what is open, the runs worth making in their order, each with conditions, expected values,
 * limits at which to stop, instruments, what is called out, and the seal that it will be held against. A plan is a
 * proposal for the responsible people: it commands nothing and releases nothing.
 */
import { type Conditions, conditionsOf, type Dossier } from "../../dossier/index.js";
import {
  type NextTests,
  nextTests,
  type RatedTest,
  type SealedContent,
  type SealedPrediction,
} from "../../evidence/index.js";
import { Refusal } from "../../fault/index.js";
import { type BlockRunner, modelVersion, type PredictionOptions } from "../../predict/index.js";
import type { Answer } from "../answer.js";
import { answersOf } from "../answers.js";
import type { Evidence } from "../context.js";
import { type Hazard, registerOf } from "../hazardRegister.js";
import { checkWords } from "../words.js";
import { type AbortLimit, abortLimits } from "./abortLimits.js";
import { type CalledHazard, cautionsFor, hazardsFor } from "./callOuts.js";
import { type Closing, closesOf, notClosedByRuns } from "./closes.js";
import { withDerivedCases } from "./derivedCases.js";
import { benchValues, type ExpectedValue, strokeValues } from "./expected.js";
import type { Instrument } from "./instrumentNeeds.js";
import { instrumentsFor } from "./instruments.js";
import { leakPlan } from "./leakRun.js";
import { type MadeRun, madeRuns, type RecordedRun, type SealedFiles } from "./madeRun.js";
import { type PlacedCheck, type RunCase, runCase } from "./runCase.js";
import { type SealState, sealState } from "./sealState.js";
import { type NotPlanned, type RunKind, type RunPlace, runPlaces, type Stage, stageWords } from "./stages.js";
import { type StrokeCount, strokeCount } from "./strokeCount.js";
import { timeNeed } from "./timeNeed.js";
import { preconditions, waitsFor } from "./waiting.js";

/** What a plan is made from. The shell reads files and passes them in. */
export interface PlanInput {
  /** As written. */
  readonly dossier: Dossier;
  /** Whose decision is open. */
  readonly caseId: string;
  readonly options: PredictionOptions;
  readonly evidence: Evidence;
  readonly runs: readonly RecordedRun[];
  readonly seals: readonly SealedPrediction[];
  readonly files: SealedContent["files"];
  /** The folder as a command names it. */
  readonly place: string;
  /** The ranking of tests, where one that still holds is at hand; else it is made. */
  readonly next?: NextTests;
}

/** Where a run stands: a ticked one is not asked for again. */
export type RunState = "made" | "to be made" | "waiting";

/** One run of the plan. */
export interface PlannedRun {
  /** Place in the order, from 1. */
  readonly number: number;
  readonly stage: Stage;
  readonly stageWords: string;
  readonly kind: RunKind;
  readonly title: string;
  readonly caseId: string;
  /** Lines of a case that the valve file does not have yet. */
  readonly derivedCase: readonly string[] | undefined;
  readonly conditions: readonly { readonly term: string; readonly words: string }[];
  readonly state: RunState;
  readonly made: readonly MadeRun[];
  readonly waitsFor: readonly string[];
  readonly closes: readonly Closing[];
  /** What the ranking of tests expects of it, in words. */
  readonly narrows: string | undefined;
  readonly strokes: StrokeCount | undefined;
  /** How long a leak test is held at least [s]. */
  readonly hold_s: number | undefined;
  readonly expected: readonly ExpectedValue[];
  readonly limits: readonly AbortLimit[];
  readonly instruments: readonly Instrument[];
  readonly cautions: readonly string[];
  readonly hazards: readonly CalledHazard[];
  readonly seal: SealState;
}

/** A check of the decision that no run closes. */
export interface OpenElsewhere {
  readonly question: number;
  readonly name: string;
  readonly verdict: string;
  readonly words: string;
}

/** The plan. */
export interface TestPlan {
  readonly valve: string | undefined;
  readonly caseId: string;
  readonly model: string;
  readonly options: PredictionOptions;
  readonly files: SealedContent["files"];
  readonly runs: readonly PlannedRun[];
  readonly notPlanned: readonly NotPlanned[];
  readonly openElsewhere: readonly OpenElsewhere[];
}

/** Makes the plan. @param run where the blocks of its predictions run.  Refuses an unknown case */
export async function planTests(input: PlanInput, run: BlockRunner): Promise<TestPlan> {
  const { caseId, options, evidence } = input;
  const { dossier, lines } = withDerivedCases(input.dossier);
  const next = input.next ?? attempt(() => nextTests(dossier, caseId));
  const { places, notPlanned } = runPlaces(dossier, next);
  const whole = { stage: "propellant", kind: "stroke", caseId } as const;
  const decision = await runCase(dossier, whole, options, evidence, run);
  const answers = decision.known
    ? answersOf(decision.context.prediction, evidence, decision.context.own)
    : [];
  const open = openChecks(answers);
  const hazards = hazardsOfRegister(evidence, caseId, answers);
  const cases = new Map<string, RunCase>();
  for (const place of places)
    if (!cases.has(place.caseId))
      cases.set(
        place.caseId,
        place.caseId === caseId ? decision : await runCase(dossier, place, options, evidence, run),
      );
  const sealed: SealedFiles = { dossier, seals: input.seals, files: input.files };
  const made = new Map(
    places.map(({ caseId: id, kind }) => [
      id,
      madeRuns(input.runs, id, kind === "leak" ? "leak" : "stroke", sealed),
    ]),
  );
  const runs = places.flatMap((place, i): readonly PlannedRun[] => {
    const of = cases.get(place.caseId);
    if (of === undefined) return [];
    const around = { input, dossier, places, made, open, hazards, sealed, next: place.rated };
    return [{ number: i + 1, ...plannedRun(place, of, around, lines.get(place.caseId)) }];
  });
  return {
    valve: dossier.valve.name,
    caseId,
    model: modelVersion,
    options,
    files: input.files,
    runs,
    notPlanned,
    openElsewhere: notClosedByRuns(
      open,
      runs.flatMap(({ closes }) => closes),
    ).map(({ question, check }) => ({
      question,
      name: check.name,
      verdict: check.verdict,
      words: checkWords(check),
    })),
  };
}

/** What cannot be simulated is not ranked. */
function attempt<T>(act: () => T | undefined): T | undefined {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}

/** The twelfth question repeats the others. */
const lastQuestion = 11;

function openChecks(answers: readonly Answer[]): readonly PlacedCheck[] {
  return answers
    .filter(({ number }) => number <= lastQuestion)
    .flatMap(({ number: question, checks }) =>
      checks
        .filter(({ standing, verdict }) => standing === "judged" && verdict !== "holds")
        .map((check) => ({ question, check })),
    );
}

function hazardsOfRegister(
  { hazards: kept, day = "" }: Evidence,
  caseId: string,
  answers: readonly Answer[],
): readonly Hazard[] | undefined {
  if (kept === undefined || kept.file.caseId !== caseId) return undefined;
  return registerOf(kept.file, answers, day, kept.digest).hazards;
}

interface Around {
  readonly input: PlanInput;
  readonly dossier: Dossier;
  readonly places: readonly RunPlace[];
  readonly made: ReadonlyMap<string, readonly MadeRun[]>;
  readonly open: readonly PlacedCheck[];
  readonly hazards: readonly Hazard[] | undefined;
  readonly sealed: SealedFiles;
  readonly next: RatedTest | undefined;
}

function plannedRun(
  place: RunPlace,
  of: RunCase,
  around: Around,
  derivedCase: readonly string[] | undefined,
): Omit<PlannedRun, "number"> {
  const { input, dossier, places, hazards, sealed } = around;
  const { stage, kind, caseId } = place;
  const conditions = conditionsOf(dossier, caseId);
  const isBench = kind !== "stroke" && kind !== "leak";
  // A part alone shares the case of the dry stroke, whose runs are not its own.
  const made = isBench ? [] : (around.made.get(caseId) ?? []);
  const { state: seal, current } = sealState(place, sealed, input.place, derivedCase !== undefined);
  const limits = abortLimits(place, of);
  const stopAt = limits.find(({ id }) => id === "line-pressure")?.limit;
  const leak =
    kind === "leak"
      ? leakPlan(dossier, conditions, caseId, stage === "pressurised" ? "ambient" : "cold", stopAt)
      : undefined;
  const bench = benchValues(of, place);
  const expected = leak?.values ?? bench?.values ?? (kind === "stroke" ? strokeValues(of, current) : []);
  const strokes = kind === "stroke" && of.known ? strokeCount(of.context, input.evidence, caseId) : undefined;
  const register =
    hazards === undefined
      ? undefined
      : { hazards: hazards.length, open: hazards.filter(({ open }) => open.length > 0).length };
  const waits = waitsFor({
    dossier,
    place,
    of,
    made: around.made,
    places,
    register,
    needs: leak?.needs ?? [],
  });
  const names = new Set([
    ...limits.map(({ check }) => check),
    ...preconditions(dossier, place, of).map(({ check }) => check.name),
  ]);
  return {
    stage,
    stageWords: stageWords(stage, conditions.fluid),
    kind,
    title: titleOf(dossier, place),
    caseId,
    derivedCase,
    conditions: conditionWords(dossier, place),
    state: made.some(({ isTicked }) => isTicked) ? "made" : waits.length > 0 ? "waiting" : "to be made",
    made,
    waitsFor: waits,
    closes: closesOf(place, of, { open: around.open, evidence: input.evidence, made, strokes }),
    narrows: place.rated === undefined ? undefined : narrowingWords(place.rated),
    strokes,
    hold_s: leak?.hold_s,
    expected,
    limits,
    instruments:
      leak?.instruments ??
      (of.known
        ? instrumentsFor({
            place,
            context: of.context,
            values: expected,
            limits,
            time: timeNeed(of.context, expected, current),
            bench,
          })
        : []),
    cautions: cautionsFor(dossier, place),
    hazards: hazardsFor(hazards ?? [], names),
    seal,
  };
}

const kindTitles: Readonly<Record<RunKind, string>> = {
  stroke: "Strokes",
  leak: "Leak test of the seats",
  "motor alone": "Motor alone, free run-up",
  "gearbox alone": "Motor and gears without the valve, free run-up",
  "stem locked": "Stem held, voltage raised in steps",
};

function titleOf(dossier: Dossier, { kind, caseId }: RunPlace): string {
  const description = dossier.valve.cases?.find(({ id }) => id === caseId)?.description;
  const isBench = kind !== "stroke" && kind !== "leak";
  const words = isBench ? undefined : caseId === "duty" ? "The duty itself" : description;
  return words === undefined ? kindTitles[kind] : `${kindTitles[kind]}: ${words}`;
}

function narrowingWords({ narrowing, tells }: RatedTest): string {
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  const inputs = tells.map(({ path, narrowing: own }) => `${path} (${percent(own)})`).join(", ");
  return `expected to narrow the decision's standard uncertainty by ${percent(narrowing)}${inputs === "" ? "" : `, by way of ${inputs}`}; what it shows is entered in valve.yaml by hand`;
}

/** Conditions as declared; a blank one is not known. */
function conditionWords(dossier: Dossier, { caseId, kind }: RunPlace): PlannedRun["conditions"] {
  const conditions = conditionsOf(dossier, caseId);
  const own = dossier.valve.cases?.find(({ id }) => id === caseId)?.open_circuit_voltage;
  const { fluid } = conditions;
  const isDry = fluid === "none";
  const temperatures = ["valve_temperature", "motor_temperature", "gearbox_temperature"] as const;
  const pressures = ["fluid_temperature", "supply_pressure", "back_pressure"] as const;
  const isLeak = kind === "leak";
  const ofDrive = isLeak ? temperatures.slice(0, 1) : temperatures;
  const names = isDry ? ofDrive : [...pressures, ...ofDrive];
  const wordsOf = (declared: Conditions["dwell"]) =>
    declared === undefined
      ? "not known"
      : declared.text === "" || declared.text.startsWith("{")
        ? declared.readAs
        : declared.text;
  return [
    { term: "fluid", words: fluid === undefined ? "not known" : isDry ? "none, dry" : fluid },
    ...names.map((name) => ({ term: name.replaceAll("_", " "), words: wordsOf(conditions[name]) })),
    ...(isDry ? [] : [{ term: "outlet", words: conditions.outlet ?? "not known" }]),
    ...(isLeak
      ? []
      : [
          { term: "time closed before", words: wordsOf(conditions.dwell) },
          { term: "supply", words: wordsOf(own ?? dossier.valve.drive?.supply?.open_circuit_voltage) },
        ]),
  ];
}
