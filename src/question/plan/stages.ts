/**
 * The order of the tests: dry, pressurised, cold in an inert liquid, then the propellant itself. Each stage
 * adds one hazard to what the one before has shown; the order is common practice, no source.
 *
 * To add a kind of run: its word here, its place in `runPlaces`, its expected values in expected.ts and its
 * instruments in instruments.ts.
 */
import { type Conditions, caseIds, conditionsOf, type Dossier } from "../../dossier/index.js";
import type { NextTests, RatedTest } from "../../evidence/index.js";
import { hazardsOf } from "../cautions.js";
import { coldValve_K } from "../reductionChecks.js";

/** Stages in their order. `nitrogen` is any inert fluid in the cold, `propellant` whatever burns or feeds a fire. */
export const stages = ["dry", "pressurised", "nitrogen", "propellant"] as const;
export type Stage = (typeof stages)[number];

/** What is done in a run: strokes of the whole valve, a leak test of its seats, or a part alone on the bench. */
export type RunKind = "stroke" | "leak" | BenchKind;
export type BenchKind = (typeof benchKinds)[number];
export const benchKinds = ["motor alone", "gearbox alone", "stem locked"] as const;

/** A run and its place in the order. */
export interface RunPlace {
  readonly stage: Stage;
  readonly kind: RunKind;
  readonly caseId: string;
  /** What the ranking of tests says of a part alone. */
  readonly rated?: RatedTest;
}

/** A case or a kind of test of which no run is made, and why. */
export interface NotPlanned {
  readonly what: string;
  readonly why: string;
}

/** A part alone is worth a run where it narrows the decision by this share at least; common practice, no source. */
const leastWorth = 0.1;

/** The stage of some conditions; undefined where nobody gave the fluid. */
export function stageOf(conditions: Conditions): Stage | undefined {
  const { fluid, fluid_temperature, valve_temperature } = conditions;
  if (fluid === undefined) return undefined;
  if (fluid === "none") return "dry";
  const hazards = hazardsOf({ fluid, fluid_temperature, valve_temperature });
  if (hazards.has("oxidiser") || hazards.has("fuel")) return "propellant";
  const temperature = valve_temperature?.value ?? fluid_temperature?.value ?? Number.NaN;
  return temperature < coldValve_K ? "nitrogen" : "pressurised";
}

/** A stage in words: with the fluid of its run where that is no part of its name. */
export function stageWords(stage: Stage, fluid: string | undefined): string {
  switch (stage) {
    case "dry":
      return "dry";
    case "pressurised":
      return "pressurised";
    case "nitrogen":
      return fluid === "nitrogen" || fluid === undefined ? "nitrogen" : `cold ${fluid}`;
    case "propellant":
      return fluid ?? "propellant";
  }
}

/**
 * Every run in the order in which they are to be made: by stage; within one the parts alone, then strokes by
 * rising pressure with the duty last, then the leak test.
 *
 * @param dossier  with the cases that the plan has derived
 * @param next     the ranking of tests; undefined where nothing can be ranked
 */
export function runPlaces(
  dossier: Dossier,
  next: NextTests | undefined,
): { readonly places: readonly RunPlace[]; readonly notPlanned: readonly NotPlanned[] } {
  const notPlanned: NotPlanned[] = [];
  const places: RunPlace[] = [];
  for (const kind of benchKinds) {
    const test = next?.tests.find((one) => one.kind === kind);
    if (test?.known === true && test.narrowing >= leastWorth)
      places.push({ stage: "dry", kind, caseId: test.caseId, rated: test });
    else notPlanned.push({ what: kind, why: benchWords(test) });
  }
  for (const caseId of caseIds(dossier)) {
    const conditions = conditionsOf(dossier, caseId);
    const stage = stageOf(conditions);
    const leak = dossier.valve.cases?.find(({ id }) => id === caseId)?.leak_test;
    if (stage === undefined) notPlanned.push({ what: `case ${caseId}`, why: "its fluid is not given" });
    else places.push({ stage, kind: leak === undefined ? "stroke" : "leak", caseId });
  }
  const ranks = places.map((place) => rankOf(dossier, place));
  const order = places.map((_, i) => i).sort((a, b) => compareRanks(ranks[a] ?? [], ranks[b] ?? []) || a - b);
  return { places: order.flatMap((i) => places[i] ?? []), notPlanned };
}

function benchWords(test: NextTests["tests"][number] | undefined): string {
  if (test === undefined) return "it is not ranked: the opening that the decision hangs on is not known";
  if (!test.known) return `it cannot be rated: ${test.because}`;
  const share = (narrowing: number) => `${Number((100 * narrowing).toPrecision(2))} %`;
  return `it would narrow the decision by ${share(test.narrowing)}, and a run is worth making from ${share(leastWorth)} on`;
}

function rankOf(dossier: Dossier, { stage, kind, caseId }: RunPlace): readonly number[] {
  const pressure = conditionsOf(dossier, caseId).supply_pressure?.value ?? 0;
  const kindRank = kind === "stroke" ? 1 : kind === "leak" ? 2 : 0;
  return [stages.indexOf(stage), kindRank, caseId === "duty" ? 1 : 0, kindRank === 0 ? 0 : pressure];
}

function compareRanks(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
}
