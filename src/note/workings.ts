/** The case of a note: what the program found, and the nominal valve whose intermediate values are read. */
import {
  type Conditions,
  conditionsOf,
  type Dossier,
  itemAt,
  keywayField,
  materialNamed,
  type UsedDefault,
  type ValveFile,
  valueAt,
} from "../dossier/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import type { TurningInputs } from "../physics/seat/index.js";
import {
  columnIndex,
  isAnswerable,
  type OwnAnswers,
  type OwnFigures,
  type Plan,
  type Prediction,
  planFor,
  ValveSample,
} from "../predict/index.js";
import type { Check, Evidence } from "../question/index.js";
import type { Solid } from "../substance/index.js";
import { NoSuchSteps, Steps } from "./steps.js";

/** What notes are made from. */
export interface NoteCase {
  readonly prediction: Prediction;
  readonly own: OwnAnswers;
  readonly evidence: Evidence;
  readonly defaults: readonly UsedDefault[];
}

/** Writes the steps of a check that has a value. @param value its nominal value, SI */
export type Maker = (steps: Steps, of: Workings, check: Check, value: number) => void;

export class Workings {
  readonly dossier: Dossier;
  readonly conditions: Conditions;
  /** Path of the conditions: duty, or cases[i]. */
  readonly place: string;
  private made: ValveSample | undefined;

  constructor(readonly given: NoteCase) {
    const { dossier, caseId } = given.prediction;
    this.dossier = dossier;
    this.conditions = conditionsOf(dossier, caseId);
    const index = (dossier.valve.cases ?? []).findIndex(({ id }) => id === caseId);
    this.place = index < 0 ? "duty" : `cases[${index}]`;
  }

  get valve(): ValveFile {
    return this.dossier.valve;
  }

  get own(): OwnAnswers {
    return this.given.own;
  }

  newSteps(): Steps {
    return new Steps(this.dossier, this.given.defaults);
  }

  /** The valve at its nominal values, as the strokes have it. */
  get sample(): ValveSample {
    if (this.made === undefined) {
      const { caseId } = this.given.prediction;
      const sample = new ValveSample(planFor(this.dossier, caseId));
      if (!isAnswerable(sample.plan, "flow")) throw new NoSuchSteps("flow");
      sample.updateFlow();
      if (isAnswerable(sample.plan, "torque")) sample.updateTorque();
      this.made = sample;
    }
    return this.made;
  }

  get plan(): Plan {
    return this.sample.plan;
  }

  get turning(): TurningInputs {
    return present(this.sample.turning, "turning torque");
  }

  get train(): RigidTrain {
    if (!isAnswerable(this.plan, "motion")) throw new NoSuchSteps("train");
    return this.sample.train();
  }

  /** A figure of the nominal row. */
  row(column: string): number {
    return present(this.given.prediction.nominal.row[columnIndex(column)], column);
  }

  /** The solid of a name of the valve file. */
  solid(name: string | undefined): Solid {
    return present(materialNamed(this.valve, name), name ?? "material");
  }

  /** Nominal value of a field; undefined where it is left out. */
  value(path: string): number | undefined {
    return valueAt(this.dossier, path)?.value;
  }

  declares(path: string): boolean {
    return this.value(path) !== undefined;
  }

  /** Path of the depth of a joint's keyway, its own or that of the section of its diameter. @param j joint */
  keywayDepth(j: number): string | undefined {
    const field = keywayField(this.valve.valve?.stem ?? {}, j);
    return field.declared === undefined ? undefined : field.path;
  }

  /** Index of the item of a list that has a name; unnamed ones are called by their place. */
  placeNamed(list: string, name: string, unnamed: string): number {
    const items: unknown = itemAt(this.valve, list);
    if (!Array.isArray(items)) throw new NoSuchSteps(list);
    const at = items.findIndex(
      (item: { readonly name?: string }, n) => (item.name ?? `${unnamed} ${n + 1}`) === name,
    );
    if (at < 0) throw new NoSuchSteps(name);
    return at;
  }
}

/** A value, or no steps of this form. */
export function present<T>(value: T | undefined, what: string): T {
  if (value === undefined) throw new NoSuchSteps(what);
  return value;
}

/** A nominal figure of a small band. */
export function nominal({ nominal: figures }: OwnFigures, figure: string): number {
  const value = figures[figure];
  if (value === undefined || Number.isNaN(value)) throw new NoSuchSteps(figure);
  return value;
}

/** Of which part a check is: "tongue" of "Stem torsion, tongue". */
export function partOf({ name }: Check): string {
  const at = name.indexOf(", ");
  return at < 0 ? "" : name.slice(at + 2);
}
