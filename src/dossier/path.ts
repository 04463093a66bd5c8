/** Paths of fields, as `drive.stages[1].efficiency`: reading, replacing and listing what stands there. */
import { refuse } from "../fault/index.js";
import type { Declared } from "../quantity/index.js";
import type { Field, ListField, QuantityField, SectionField, Shape } from "./field.js";

/** One step of a path: a field name, or a position in a list from 0. */
export type Step = string | number;

/** Path of a field inside a section. */
export function childPath(path: string, name: string): string {
  return path === "" ? name : `${path}.${name}`;
}

/** Steps of a path, or undefined if it is none. */
export function stepsOf(path: string): readonly Step[] | undefined {
  if (!/^[A-Za-z_]\w*(\[\d{1,4}\]|\.[A-Za-z_]\w*)*$/.test(path)) return undefined;
  return [...path.matchAll(/[A-Za-z_]\w*|\d+/g)].map(([step]) => (/^\d/.test(step) ? Number(step) : step));
}

/** The field that a path names, or undefined; a list item is described by the list's fields. */
export function fieldAt(root: SectionField, path: string): Field | undefined {
  let here: Field | undefined = root;
  let isItem = true;
  for (const step of stepsOf(path) ?? [""]) {
    if (here === undefined || (here.kind !== "section" && here.kind !== "list")) return undefined;
    if (typeof step === "number") {
      if (here.kind !== "list" || isItem) return undefined;
      isItem = true;
      continue;
    }
    if (here.kind === "list" && !isItem) return undefined;
    here = Object.hasOwn(here.fields, step) ? here.fields[step] : undefined;
    isItem = here?.kind !== "list";
  }
  return here;
}

/** What stands at a path of an object read from a file, or undefined. */
export function itemAt(root: unknown, path: string): unknown {
  let here = root;
  for (const step of stepsOf(path) ?? []) {
    if (typeof here !== "object" || here === null) return undefined;
    here = Object.hasOwn(here, step) ? Reflect.get(here, step) : undefined;
  }
  return here;
}

/**
 * A copy of an object read from a file with another item at a path. Sections on the way that are not
 * known are made; list items are not. Everything off the way is shared with the original.
 */
export function withItem<T>(root: T, path: string, item: unknown): T {
  const steps = stepsOf(path);
  if (steps === undefined) return refusePath(path);
  // The copy has the shape of the original: only what stands at the path differs.
  return replaced(root, steps, item, path) as T;
}

function replaced(here: unknown, steps: readonly Step[], item: unknown, path: string): unknown {
  const [step, ...rest] = steps;
  if (step === undefined) return item;
  if (typeof step === "number") {
    if (!Array.isArray(here) || step >= here.length) return refusePath(path);
    return here.map((entry: unknown, index) => (index === step ? replaced(entry, rest, item, path) : entry));
  }
  const section = typeof here === "object" && here !== null ? here : {};
  return { ...section, [step]: replaced(Reflect.get(section, step), rest, item, path) };
}

/** Refuses a path that names no field of the file. */
export function refusePath(path: string): never {
  return refuse(
    "path-unknown",
    `no field stands at ${path}`,
    "A path names fields by their sections and list items by their position from 0.",
    "Write it as `drive.stages[0].efficiency`; docs/file-reference.md lists the fields",
  );
}

/** A physical value that a file gives, with its path and its field. */
export interface Leaf {
  readonly path: string;
  readonly field: QuantityField;
  readonly declared: Declared;
}

/** Every physical value of an object read from a file, in the order of the fields. */
export function leavesOf(root: SectionField, value: unknown): readonly Leaf[] {
  return sectionLeaves(root, value, "");
}

function sectionLeaves(field: SectionField | ListField, value: unknown, path: string): readonly Leaf[] {
  return Object.entries(field.fields).flatMap(([name, child]) => {
    const item: unknown = typeof value === "object" && value !== null ? Reflect.get(value, name) : undefined;
    return item === undefined ? [] : fieldLeaves(child, item, childPath(path, name));
  });
}

function fieldLeaves(field: Field, value: unknown, path: string): readonly Leaf[] {
  switch (field.kind) {
    case "section":
      return sectionLeaves(field, value, path);
    case "list":
      return Array.isArray(value)
        ? value.flatMap((item: unknown, index) => sectionLeaves(field, item, `${path}[${index}]`))
        : [];
    case "quantity":
      // The reader puts nothing but a declared value at a quantity field.
      return [{ path, field, declared: value as Declared }];
    case "text":
    case "choice":
    case "count":
      return [];
  }
}

/** Paths of all fields with a name, list items written as `[]`. */
export function pathsEndingWith(fields: Shape, name: string, path = ""): readonly string[] {
  return Object.entries(fields).flatMap(([childName, child]) => {
    const here = childPath(path, childName);
    const below =
      child.kind === "section" || child.kind === "list"
        ? pathsEndingWith(child.fields, name, child.kind === "list" ? `${here}[]` : here)
        : [];
    return childName === name ? [here, ...below] : below;
  });
}
