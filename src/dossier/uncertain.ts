/** The values of a dossier one by one, for sampling, effects and reconciliation. */
import type { Declared, Dimension } from "../quantity/index.js";
import type { Dossier } from "./dossier.js";
import { fieldAt, itemAt, type Leaf, leavesOf, refusePath, withItem } from "./path.js";
import { valveFile } from "./schema.js";

/** One physical value of the valve file. */
export interface UncertainInput {
  /** As `drive.stages[0].efficiency`. */
  readonly path: string;
  /** In words: "stage 1 efficiency". */
  readonly label: string;
  readonly dimension: Dimension;
  readonly declared: Declared;
}

/** Every given or filled value of the valve file that has a spread, in the order of the fields. */
export function uncertainInputs(dossier: Dossier): readonly UncertainInput[] {
  return leavesOf(valveFile, dossier.valve)
    .filter(({ path, declared }) => declared.law.kind !== "exact" && !path.startsWith("correlations["))
    .map((leaf) => ({
      path: leaf.path,
      label: labelOf(dossier, leaf),
      dimension: leaf.field.dimension,
      declared: leaf.declared,
    }));
}

/** The value at a path; undefined where it is not known or the path names no physical value. */
export function valueAt(dossier: Dossier, path: string): Declared | undefined {
  const field = fieldAt(valveFile, path);
  // The reader puts nothing but a declared value at a quantity field.
  return field?.kind === "quantity" ? (itemAt(dossier.valve, path) as Declared | undefined) : undefined;
}

/**
 * A copy of a dossier with other values; the dossier itself stays as it is.
 *
 * @param changes  declared value by path
 * Refuses         a path that names no physical value
 */
export function withValues(dossier: Dossier, changes: ReadonlyMap<string, Declared>): Dossier {
  let valve = dossier.valve;
  for (const [path, declared] of changes) {
    if (fieldAt(valveFile, path)?.kind !== "quantity") return refusePath(path);
    valve = withItem(valve, path, declared);
  }
  return { ...dossier, valve };
}

/** Sections whose name says nothing that the field does not say itself. */
const silent = new Set(["valve", "drive", "duty"]);

function labelOf(dossier: Dossier, { path }: Leaf): string {
  const steps = path.split(".");
  const words = steps.flatMap((step, index) => {
    if (index < steps.length - 1 && silent.has(step)) return [];
    const item = /^(\w+)\[(\d+)\]$/.exec(step);
    if (item === null) return [step.replaceAll("_", " ")];
    const [, list = "", position = "0"] = item;
    const id = list === "cases" ? dossier.valve.cases?.[Number(position)]?.id : undefined;
    return [id ?? `${singular(list)} ${Number(position) + 1}`];
  });
  return words.join(" ");
}

function singular(list: string): string {
  return list.replace(/s$/, "");
}
