/** The path of the torque from motor to ball: everything on it that a torque can overload, and what it bears. */
import {
  conditionsOf,
  type Dossier,
  isFaulty,
  type StrengthFactors,
  strengthFactors,
} from "../dossier/index.js";
import type { Declared } from "../quantity/index.js";
import type { HeatAnswer } from "./heat.js";
import type { InputSpace } from "./inputs.js";
import { type OfValues, PathGatherer } from "./pathGatherer.js";
import { bearingId, gatherJoint, type PathJoint, shearId } from "./pathJoints.js";
import { crackId, fatigueId, gatherSection, type PathFactors, type PathSection } from "./pathSections.js";
import type { Plan } from "./plan.js";

/** Torques that a part is held against; `turning` is the greatest slow one of a stroke. */
export type LoadId = "locked rotor" | "jammed" | "opening" | "closing" | "turning";

/** Peaks that come rarely, and those of each stroke. */
export const everyLoad = ["locked rotor", "jammed", "opening", "closing"] as const;
const strokeLoads = ["opening", "closing"] as const;
/** A jammed ball leaves the stop alone. */
const stopLoads = ["locked rotor", "opening", "closing"] as const;

/** One thing on the path of the torque that a torque can overload. */
export interface PathElement {
  readonly id: string;
  /** "tongue". */
  readonly name: string;
  readonly kind: "section" | "bearing" | "shear" | "coupling" | "rated" | "peak" | "momentary" | "stop";
  /** Where its torque is read: drive.stages[i], drive.coupling, valve.stem, drive.stop. */
  readonly carries: string;
  /** Those that it is held against. */
  readonly loads: readonly LoadId[];
  /** Fields without which it is not known what it bears. */
  readonly missing: readonly string[];
}

export const capacityFigure = (id: string) => `${id}: capacity`;
export const marginFigure = (id: string) => `${id}: margin`;
export const useFigure = (id: string, load: LoadId) => `${id}: ${load}`;
export const lifeFigure = (j: number) => fatigueId(j);
export const flawFigure = (j: number) => crackId(j);
export const leastCurrentFigure = "least current";
export const largestCurrentFigure = "largest current";
/** Least of all sections. */
export const leastLifeFigure = "life";
export const leastFlawFigure = "flaw";
/** How far the declared limit is inside both, in ampere; negative outside. */
export const roomFigure = "room of the current limit";

/** The path of one valve in one case. */
export interface TorquePath {
  readonly factors: StrengthFactors;
  readonly sections: readonly PathSection[];
  readonly joints: readonly PathJoint[];
  readonly elements: readonly PathElement[];
  readonly capacities: ReadonlyMap<string, OfValues>;
  readonly missing: Readonly<Record<string, readonly string[]>>;
  readonly figures: readonly string[];
  readonly own: InputSpace;
}

/** Gathers sections, joints, coupling, stages and stop with what each bears. */
export function torquePath(dossier: Dossier, caseId: string, plan: Plan, heat: HeatAnswer): TorquePath {
  const { valve, drive } = dossier.valve;
  const index = (dossier.valve.cases ?? []).findIndex(({ id }) => id === caseId);
  conditionsOf(dossier, caseId);
  const collected = new PathGatherer(dossier, plan, index < 0 ? "duty" : `cases[${index}]`, heat);
  const factors = usableFactors(dossier);
  const sections = (valve?.stem?.sections ?? []).map((fields, j) =>
    gatherSection(collected, fields, j, factors),
  );
  const joints = (valve?.stem?.joints ?? []).map((fields, j) => gatherJoint(collected, fields, j, factors));
  const capacities = new Map<string, OfValues>();
  const elements: Omit<PathElement, "missing">[] = [];
  const add = (element: Omit<PathElement, "missing">, capacity: OfValues) => {
    elements.push(element);
    capacities.set(element.id, capacity);
  };
  const rated = (
    id: string,
    kind: PathElement["kind"],
    name: string,
    carries: string,
    loads: readonly LoadId[],
    [field, declared]: readonly [string, Declared | undefined],
  ) => add({ id, name, kind, carries, loads }, collected.need([id], `${carries}.${field}`, declared));
  for (const { id, name, capacity } of sections)
    add({ id, name, kind: "section", carries: "valve.stem", loads: everyLoad }, capacity);
  joints.forEach(({ name, bearing, shear }, j) => {
    const common = { name, carries: "valve.stem", loads: everyLoad };
    if (bearing !== undefined) add({ id: bearingId(j), kind: "bearing", ...common }, bearing);
    if (shear !== undefined) add({ id: shearId(j), kind: "shear", ...common }, shear);
  });
  const { rated_torque, momentary_torque } = drive?.coupling ?? {};
  const at = "drive.coupling";
  rated("coupling", "coupling", "momentary torque of the coupling", at, everyLoad, [
    "momentary_torque",
    momentary_torque,
  ]);
  rated(
    "rated coupling",
    "coupling",
    "rated torque of the coupling",
    at,
    ["turning"],
    ["rated_torque", rated_torque],
  );
  (drive?.stages ?? []).forEach((stage, j) => {
    const name = stage.name ?? `gear stage ${j + 1}`;
    const carries = `drive.stages[${j}]`;
    rated(`rated stage ${j}`, "rated", name, carries, ["turning"], ["rated_torque", stage.rated_torque]);
    rated(`peak of stage ${j}`, "peak", name, carries, strokeLoads, ["peak_torque", stage.peak_torque]);
    rated(`momentary stage ${j}`, "momentary", name, carries, everyLoad, [
      "momentary_torque",
      stage.momentary_torque,
    ]);
  });
  rated("stop", "stop", "end stop", "drive.stop", stopLoads, [
    "momentary_torque",
    drive?.stop?.momentary_torque,
  ]);
  const missingOf = (id: string) => collected.gather.missingFor(id);
  const known = elements.map((element) => ({ ...element, missing: missingOf(element.id) }));
  return {
    factors,
    sections,
    joints,
    elements: known,
    capacities,
    missing: Object.fromEntries(
      sections.flatMap((_, j) => [fatigueId(j), crackId(j)].map((id) => [id, missingOf(id)])),
    ),
    figures: [
      ...known.flatMap(({ id, loads }) => [
        capacityFigure(id),
        marginFigure(id),
        ...loads.map((load) => useFigure(id, load)),
      ]),
      ...sections.flatMap((_, j) => [lifeFigure(j), flawFigure(j)]),
      leastLifeFigure,
      leastFlawFigure,
      leastCurrentFigure,
      largestCurrentFigure,
      roomFigure,
    ],
    own: collected.gather.space([], []),
  };
}

/** The factors; of one that was entered with a fault nothing stands in. */
function usableFactors(dossier: Dossier): StrengthFactors & PathFactors {
  const factors = strengthFactors(dossier.valve.valve?.strength);
  const isOpen = (field: string) => isFaulty(dossier, `valve.strength.${field}`);
  const isRuleOpen = isOpen("verified_by");
  const kept = (field: string, value: number | undefined) =>
    isOpen(field) || isRuleOpen ? undefined : value;
  return {
    ...factors,
    yield: kept("yield_factor", factors.yield),
    ultimate: kept("ultimate_factor", factors.ultimate),
    life: kept("life_factor", factors.life),
  };
}
