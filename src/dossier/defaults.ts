/**
 * Values for fields left out. A default is used only where the file does not name the field: a field
 * with a fault stays not known, and so does what would follow from it. What belongs to the user's own hardware has no default.
 */
import { type Declared, parseDeclared } from "../quantity/index.js";
import { defaultRules, type Proposal } from "./defaultRules.js";
import { conditionsOf, type Dossier } from "./dossier.js";
import { isFaulty } from "./faulty.js";
import type { ListField, QuantityField } from "./field.js";
import { childPath, fieldAt, itemAt, withItem } from "./path.js";
import { valveFile } from "./schema.js";

/** A default that was used, for the sheet. */
export interface UsedDefault {
  /** Path of the field, or of the table. */
  readonly field: string;
  /** The value in words; rows of a table one after the other. */
  readonly value: string;
  /** Why this value. */
  readonly reason: string;
  /** Keys into data/references.json with the place, or "common practice, no source". */
  readonly references: readonly string[];
}

/** A dossier without gaps that data can fill. */
export interface FilledDossier {
  /** Filled values have the origin "default". */
  readonly dossier: Dossier;
  /** In the order in which they were filled. */
  readonly defaults: readonly UsedDefault[];
}

/**
 * Fills what was left out and has a default.
 *
 * @param dossier  as read; it stays as it is
 * @param caseId   `duty` or the id of a case: the growth of breakaway follows from the dwell declared there
 * Refuses         an unknown case
 */
export function applyDefaults(dossier: Dossier, caseId = "duty"): FilledDossier {
  const conditions = conditionsOf(dossier, caseId);
  let valve = dossier.valve;
  const defaults: UsedDefault[] = [];
  for (const rule of defaultRules) {
    for (const proposal of rule(valve, conditions, (path) => isFaulty(dossier, path))) {
      if (itemAt(valve, proposal.path) !== undefined || isFaulty(dossier, proposal.path)) continue;
      if (proposal.kind === "as") {
        const { path, as, reason, references } = proposal;
        defaults.push({ field: path, value: as, reason, references });
        continue;
      }
      const item = itemOf(proposal);
      valve = withItem(valve, proposal.path, item);
      const { path, reason, references } = proposal;
      defaults.push({ field: path, value: wordsOf(item), reason, references });
    }
  }
  return { dossier: { ...dossier, valve }, defaults };
}

type Row = { readonly [name: string]: Declared };

function itemOf(proposal: Proposal): Declared | readonly Row[] {
  const field = fieldAt(valveFile, proposal.path);
  if (proposal.kind === "value" && field?.kind === "quantity")
    return declaredOf(field, proposal.value, proposal);
  if (proposal.kind === "table" && field?.kind === "list") {
    return proposal.rows.map((row) =>
      Object.fromEntries(
        Object.entries(row).map(([name, raw]) => [name, declaredOf(cellOf(field, name), raw, proposal)]),
      ),
    );
  }
  throw new Error(`the default of ${proposal.path} does not fit its field`);
}

function cellOf(field: ListField, name: string): QuantityField {
  const cell = field.fields[name];
  if (cell?.kind === "quantity") return cell;
  throw new Error(`a default names ${childPath("", name)}, which is no value of its table`);
}

function declaredOf(field: QuantityField, raw: unknown, { reason, references }: Proposal): Declared {
  return {
    ...parseDeclared(raw, field.dimension, field.bounds, { origin: "default" }),
    because: reason,
    reference: references.join("; "),
  };
}

function wordsOf(item: Declared | readonly Row[]): string {
  if (!isTable(item)) return item.readAs;
  return item
    .map((row) =>
      Object.values(row)
        .map(({ text }) => text)
        .join(": "),
    )
    .join("; ");
}

function isTable(item: Declared | readonly Row[]): item is readonly Row[] {
  return Array.isArray(item);
}
