/**
 * Fields that a person entered with a fault. Such a field is not known, and nothing may take its place:
 * no default, and no value that is used where a field is left out.
 */
import type { Fault, Place } from "../fault/index.js";
import type { Shape } from "./field.js";
import { childPath, itemAt, pathsEndingWith } from "./path.js";

/**
 * Paths that a file names and that could not be read, a misspelt name by the name it is near to, and a
 * name at the wrong place by the one place it belongs to (items of lists as `[]`).
 *
 * @param fields  of the file
 * @param value   what is left of it after every rule
 */
export function faultyPaths(
  fields: Shape,
  value: unknown,
  places: ReadonlyMap<string, Place>,
  faults: readonly Fault[],
): ReadonlySet<string> {
  const unread = [...places.keys()].filter((path) => itemAt(value, path) === undefined);
  const reported = faults.flatMap(({ code, where: { field }, near }) => {
    if (field === undefined) return [];
    return code === "unknown-field" ? meant(fields, field, near) : [field];
  });
  return new Set([...unread, ...reported]);
}

function meant(fields: Shape, path: string, near: string | undefined): readonly string[] {
  const end = path.lastIndexOf(".");
  const section = end < 0 ? "" : path.slice(0, end);
  if (near !== undefined) return [childPath(section, near)];
  const homes = pathsEndingWith(fields, path.slice(end + 1));
  return homes.length === 1 ? homes : [];
}

/**
 * Whether a field that is not known was entered with a fault: the field itself, a section or list that
 * holds it, or the name of the part that would fill it.
 */
export function isFaulty({ faulty }: { readonly faulty: ReadonlySet<string> }, path: string): boolean {
  const isNamed = (name: string) => faulty.has(name) || faulty.has(name.replaceAll(/\[\d+\]/g, "[]"));
  const steps = path.split(/(?=\.|\[)/);
  const holders = steps.map((_, index) => steps.slice(0, index + 1).join(""));
  const section = path.slice(0, Math.max(path.lastIndexOf("."), 0));
  return holders.some(isNamed) || isNamed(childPath(section, "part"));
}
