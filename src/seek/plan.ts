/** The plan of a search: what may be combined, what it is judged by, and everything that the blocks share. */
import type { Dossier } from "../dossier/index.js";
import { Refusal, refuse } from "../fault/index.js";
import { capacityFigure, OwnAnswers, planFor } from "../predict/index.js";
import { Evaluator, type EvaluatorOptions } from "./candidate.js";
import { type Criteria, criteriaOf } from "./criteria.js";
import { openOrder, type SeekOrder, wantedProbability } from "./order.js";
import { type SeekSpace, spaceOf } from "./space.js";
import { SeekTables } from "./tables.js";

export interface SeekPlan {
  readonly order: SeekOrder;
  /** As declared, without defaults. */
  readonly declared: Dossier;
  readonly space: SeekSpace;
  readonly criteria: Criteria;
  readonly tables: SeekTables;
  /** Least torque that stem and coupling bear for a moment, nominal; not a number where it is not known [N m]. */
  readonly stemCapacity: number;
}

/**
 * Plans a search; the same order gives the same plan on any host.
 * Refuses an unknown case, a dossier in which nothing may be tried or of which no candidate can be simulated.
 */
export function seekPlan(order: SeekOrder): SeekPlan {
  const { declared, dossier, library } = openOrder(order);
  const space = spaceOf(declared, library);
  const tables = new SeekTables(declared, order.caseId, space, order.seed, order.samples);
  if (tables.missing.length > 0)
    refuse(
      "seek-not-known",
      `no candidate can be simulated: not known are ${[...new Set(tables.missing)].join(", ")}`,
      "The opening of every candidate needs the conditions of the case and what is not tried of valve and drive.",
      "Declare them in valve.yaml; `coldturn check` shows where they are needed",
    );
  const stemCapacity = capacityOfStem(dossier, order);
  const plan = attempted(() => planFor(dossier, order.caseId));
  const criteria = criteriaOf(
    dossier,
    plan,
    wantedProbability(declared.valve),
    space.valves.length > 1,
    !Number.isNaN(stemCapacity),
  );
  return { order, declared, space, criteria, tables, stemCapacity };
}

/** An evaluator of the candidates of a plan. */
export function evaluatorOf(
  { tables, criteria, stemCapacity }: SeekPlan,
  options: EvaluatorOptions = {},
): Evaluator {
  return new Evaluator(tables, criteria, stemCapacity, options);
}

/** Least of what sections, joints and coupling of the declared valve bear at the nominal values. */
function capacityOfStem(dossier: Dossier, { caseId, seed }: SeekOrder): number {
  const { sections, joints } = dossier.valve.valve?.stem ?? {};
  if ((sections ?? joints) === undefined) return Number.NaN;
  const strength = attempted(() => new OwnAnswers(dossier, caseId, { seed, samples: 0 }).strength);
  const found = (strength?.elements ?? [])
    .filter(({ carries, loads }) => carries === "valve.stem" && loads.includes("locked rotor"))
    .map(({ id }) => strength?.figures.nominal[capacityFigure(id)] ?? Number.NaN);
  return found.length === 0 ? Number.NaN : Math.min(...found);
}

function attempted<T>(act: () => T): T | undefined {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}
