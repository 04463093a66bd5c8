/**
 * What a run waits for: the stage before it, its prediction, and the checks that must hold before anybody
 * fills the valve. A line that is empty releases nothing: the responsible people decide.
 */
import { conditionsOf, type Dossier } from "../../dossier/index.js";
import { hazardsOf } from "../cautions.js";
import { checkWords, missingWords } from "../words.js";
import type { MadeRun } from "./madeRun.js";
import { checksNamed, type PlacedCheck, type RunCase } from "./runCase.js";
import { type RunPlace, stages, stageWords } from "./stages.js";

/** Checks that must hold before pressure, before cold liquid, before an oxidiser. */
const beforePressure = ["proof", "end-rating"] as const;
const beforeCold = ["min-temp-material", "torque-path-material"] as const;
/** Before a liquid that warming makes expand; a gas has nothing to shut in. */
const beforeLiquid = ["cavity-pressure", "segment-relief"] as const;
/** Of question 8 all but the oxygen at the drive, which the run itself shows. */
const beforeOxidiser = [
  "ignition-screen",
  "gas-velocity",
  "compression-temperature",
  "material-standing",
  "metal-friction-pv",
  "cleanliness",
  "lubricant",
  "electrical-continuity",
] as const;

/** What the preconditions of a run are judged by. */
export interface Readiness {
  readonly dossier: Dossier;
  readonly place: RunPlace;
  readonly of: RunCase;
  /** Runs made of every planned case. */
  readonly made: ReadonlyMap<string, readonly MadeRun[]>;
  readonly places: readonly RunPlace[];
  /** Hazards of the register and how many are open; undefined where there is none for the decision. */
  readonly register: { readonly hazards: number; readonly open: number } | undefined;
  /** Figures without which the run cannot be planned. */
  readonly needs: readonly string[];
}

/** The checks that a run must wait for while they do not hold. */
export function preconditions(
  dossier: Dossier,
  { stage, caseId, kind }: RunPlace,
  of: RunCase,
): readonly PlacedCheck[] {
  if (stage === "dry") return [];
  const ids: string[] = [...beforePressure];
  if (stage !== "pressurised") ids.push(...beforeCold, ...(kind === "stroke" ? beforeLiquid : []));
  if (stage === "propellant" && kind === "stroke" && hazardsOf(conditionsOf(dossier, caseId)).has("oxidiser"))
    ids.push(...beforeOxidiser);
  return checksNamed(of, ...ids);
}

/** Everything that a run waits for, one reason a line; none where it can be proposed. */
export function waitsFor(readiness: Readiness): readonly string[] {
  const { dossier, place, of, needs } = readiness;
  const { stage, kind } = place;
  const checks = preconditions(dossier, place, of).filter(
    ({ check }) => check.verdict === "fails" || check.verdict === "not known",
  );
  return [
    ...stagesBefore(readiness),
    ...(of.known ? missingMotion(of, kind) : [`its prediction: ${of.because}`]),
    ...needs.map((need) => `${need}, not known`),
    ...checks.map(
      ({ check, question }) => `${check.name} (question ${question}): ${check.verdict}, ${checkWords(check)}`,
    ),
    ...(stage === "propellant" && kind === "stroke" ? beforePropellant(readiness) : []),
  ];
}

function missingMotion(of: RunCase & { readonly known: true }, kind: RunPlace["kind"]): readonly string[] {
  if (kind === "leak") return [];
  const { missing } = of.context.prediction;
  return missing.motion.length === 0 ? [] : [`its prediction. ${missingWords(missing.motion)}`];
}

/** The nearest stage before this one of which strokes are planned. */
function stagesBefore({ dossier, place, made, places }: Readiness): readonly string[] {
  const isBench = place.kind !== "stroke" && place.kind !== "leak";
  const before = stages.slice(0, stages.indexOf(place.stage)).reverse();
  const last = before.find((stage) => places.some((one) => one.stage === stage && one.kind === "stroke"));
  if (isBench || last === undefined) return [];
  const of = places.filter(({ stage, kind }) => stage === last && kind === "stroke");
  const runs = of.flatMap(({ caseId }) => made.get(caseId) ?? []);
  if (runs.some(isExplained)) return [];
  const names = of.map(({ caseId }) => caseId).join(" or ");
  const fluid = conditionsOf(dossier, of[0]?.caseId ?? "duty").fluid;
  const [first] = runs;
  const found =
    first === undefined
      ? "not made yet"
      : `run ${first.id} ${first.finding === undefined ? "is not held against a prediction" : "does not agree, and nothing explains it yet"}`;
  return [`the ${stageWords(last, fluid)} run (${names}): ${found}`];
}

/** A run after which the next stage can be proposed: it agreed, or what was off has been found and taken into the file. */
function isExplained({ finding, present, isUsedToFit }: MadeRun): boolean {
  return finding === "agrees" || present === "agrees" || isUsedToFit;
}

function beforePropellant({ dossier, place, register }: Readiness): readonly string[] {
  const hazards = hazardsOf(conditionsOf(dossier, place.caseId));
  return [
    ...(hazards.has("fuel")
      ? ["the say of specialists on ignition: no check of this program speaks of a fuel"]
      : []),
    ...(register === undefined
      ? ["a register of hazards: none is kept for these conditions, `coldturn hazards` makes one"]
      : register.open > 0
        ? [`the register of hazards: ${register.open} of ${register.hazards} are open`]
        : []),
  ];
}
