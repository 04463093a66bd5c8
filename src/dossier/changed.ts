/** A dossier with one value changed, without reading its file again: for an answer while the value is still being typed. */

import { parseDeclared } from "../quantity/index.js";
import { contradictionsOf } from "./contradiction.js";
import type { Dossier } from "./dossier.js";
import { fieldAt, itemAt } from "./path.js";
import { valveFile } from "./schema.js";
import { valueAt, withValues } from "./uncertain.js";

/**
 * The dossier that reading the file with this value would give, as read and before its defaults. A field
 * that is left out so far is added, with the sections on its way.
 *
 * @param raw  what would stand in the file: a text, or the object that a text in braces stands for
 * @returns    undefined where only reading tells: a field of a list item that is not there, a pressure
 *             that others count from or that counts from another, and where fields have a fault or would
 *             contradict each other
 * Refuses     what cannot be read, and what lies outside the bounds of the field
 */
export function changedDossier(dossier: Dossier, path: string, raw: unknown): Dossier | undefined {
  const field = fieldAt(valveFile, path);
  if (field?.kind !== "quantity" || dossier.faulty.size > 0) return undefined;
  const isAdded = valueAt(dossier, path) === undefined;
  if (isAdded && !hasPlaceFor(dossier, path)) return undefined;
  if (path.endsWith("ambient_pressure") || /\(g\)|gauge|barg|psig/.test(JSON.stringify(raw)))
    return undefined;
  const changed = withValues(dossier, new Map([[path, parseDeclared(raw, field.dimension, field.bounds)]]));
  const { notKnown } = contradictionsOf(
    { valve: changed.valve, findings: [], givenBy: new Map(), faulty: [] },
    // Rules ask of a place only where it is given; where it stands in the file is for their findings.
    isAdded ? new Map([...dossier.places, [path, {}]]) : dossier.places,
  );
  return notKnown.length > 0 ? undefined : changed;
}

/** Whether the list items on the way to a field are there. */
function hasPlaceFor(dossier: Dossier, path: string): boolean {
  const lastItem = /^.*\]/.exec(path)?.[0];
  return lastItem === undefined || itemAt(dossier.valve, lastItem) !== undefined;
}
