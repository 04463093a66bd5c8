/** A dossier with one value changed, without reading its file again: for an answer while the value is still being typed. */

import { parseDeclared } from "../quantity/index.js";
import { contradictionsOf } from "./contradiction.js";
import type { Dossier } from "./dossier.js";
import { fieldAt } from "./path.js";
import { valveFile } from "./schema.js";
import { valueAt, withValues } from "./uncertain.js";

/**
 * The dossier that reading the file with this value would give, as read and before its defaults.
 *
 * @param raw  what would stand in the file: a text, or the object that a text in braces stands for
 * @returns    undefined where only reading tells: a field that is left out so far, a pressure that
 *             others count from or that counts from another, and where fields have a fault or would
 *             contradict each other
 * Refuses     what cannot be read, and what lies outside the bounds of the field
 */
export function changedDossier(dossier: Dossier, path: string, raw: unknown): Dossier | undefined {
  const field = fieldAt(valveFile, path);
  const before = valueAt(dossier, path);
  if (field?.kind !== "quantity" || before === undefined || dossier.faulty.size > 0) return undefined;
  if (path.endsWith("ambient_pressure") || /\(g\)|gauge|barg|psig/.test(JSON.stringify(raw)))
    return undefined;
  const changed = withValues(dossier, new Map([[path, parseDeclared(raw, field.dimension, field.bounds)]]));
  const { notKnown } = contradictionsOf(
    { valve: changed.valve, findings: [], givenBy: new Map(), faulty: [] },
    dossier.places,
  );
  return notKnown.length > 0 ? undefined : changed;
}
