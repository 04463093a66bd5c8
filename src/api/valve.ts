/** A valve file: read, begun, edited, described. */
import { editValveText, jsonSchema, readDossier, starterFile } from "../dossier/index.js";
import type { Fault, Notice } from "./fault.js";
import { OpenValve } from "./openValve.js";

/** A valve as its file declares it. Only `readValve` and `readFolder` make one. */
export interface Valve {
  readonly name: string | undefined;
  /** Ids of the conditions that the file describes: `duty`, then its cases. */
  readonly cases: readonly string[];
  /** Every fault of the files, in their order. A field with a fault is not known; all others stand. */
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
}

/** What belongs to a valve file besides its text. */
export interface ValveSurroundings {
  /** How the file is called in faults; `valve.yaml` where it is left out. */
  readonly path?: string;
  /** The team's own parts and solids, one text each, as in the folder `parts/` of a dossier. */
  readonly parts?: readonly { readonly path: string; readonly text: string }[];
}

/** One value to be written into a valve file. */
export interface ValueEdit {
  /** As `drive.stages[0].efficiency`. */
  readonly path: string;
  /** As a person would write it: `0.11 +/- 0.015`, or `{ from: 300 N, to: 500 N }`. */
  readonly value: string;
}

/** Reads a valve file. Throws for nothing that a person may have written: see `faults` of the result. */
export function readValve(text: string, { path = "valve.yaml", parts = [] }: ValveSurroundings = {}): Valve {
  return new OpenValve(readDossier({ valve: { path, text }, parts }));
}

/** A valve file with every field blank and explained. */
export function blankValveFile(name: string): string {
  return starterFile(name);
}

/** The valve file as a JSON Schema, draft 2020-12, for editors. */
export function valveFileSchema(): Readonly<Record<string, unknown>> {
  return jsonSchema();
}

/**
 * The text of a valve file with other values; comments, order and every line without a change stay, byte for byte.
 *
 * Refuses a text that is no YAML, a path that names no single value, a list item that does not exist
 */
export function editValveFile(text: string, edits: readonly ValueEdit[]): string {
  return editValveText(text, edits);
}
