/**
 * The kinds of field a file of the dossier is made of, and the type of the object that is read from
 * them. One tree of these records serves the reader, the errors, the JSON Schema, the help text, the
 * documentation, the starting file and the list of uncertain inputs.
 *
 * The reader walks this tree beside the YAML tree, so that each value knows its place, gauge pressures
 * know the atmosphere of their own file, and a bad field is left out without hiding its neighbours.
 */
import type { Bounds, Declared, Dimension } from "../quantity/index.js";

/** A physical value, certain or uncertain. Absent: not known. */
export interface QuantityField {
  readonly kind: "quantity";
  readonly dimension: Dimension;
  readonly bounds: Bounds;
  readonly description: string;
  /** As a person would write it in the file. */
  readonly example: string;
}

/** A word or sentence. */
export interface TextField {
  readonly kind: "text";
  readonly description: string;
  readonly example: string;
}

/** One of a few words. */
export interface ChoiceField<W extends string = string> {
  readonly kind: "choice";
  readonly words: readonly W[];
  readonly description: string;
}

/** A whole number. */
export interface CountField {
  readonly kind: "count";
  readonly min: number;
  readonly max: number;
  readonly description: string;
}

/** Named fields; unknown names are refused. */
export interface SectionField<S extends Shape = Shape> {
  readonly kind: "section";
  readonly fields: S;
  readonly description: string;
}

/** A list of sections with the same fields. */
export interface ListField<S extends Shape = Shape> {
  readonly kind: "list";
  readonly fields: S;
  readonly description: string;
}

export type Field = QuantityField | TextField | ChoiceField | CountField | SectionField | ListField;
/** The fields of a section by name, in the order in which they are shown. */
export type Shape = { readonly [name: string]: Field };

/** What the reader returns for a field; a field that is not known is undefined. */
export type ValueOf<F extends Field> = F extends QuantityField
  ? Declared
  : F extends TextField
    ? string
    : F extends ChoiceField<infer W>
      ? W
      : F extends CountField
        ? number
        : F extends SectionField<infer S>
          ? SectionValue<S>
          : F extends ListField<infer S>
            ? readonly SectionValue<S>[]
            : never;
/** What the reader returns for a section. */
export type SectionValue<S extends Shape> = { readonly [K in keyof S]?: ValueOf<S[K]> | undefined };

/** A physical value. */
export function quantity(
  dimension: Dimension,
  bounds: Bounds,
  description: string,
  example: string,
): QuantityField {
  return { kind: "quantity", dimension, bounds, description, example };
}

/** A word or sentence. */
export function text(description: string, example: string): TextField {
  return { kind: "text", description, example };
}

/** One of a few words. */
export function choice<const W extends string>(words: readonly W[], description: string): ChoiceField<W> {
  return { kind: "choice", words, description };
}

/** A whole number from `min` to `max`. */
export function count(min: number, max: number, description: string): CountField {
  return { kind: "count", min, max, description };
}

/** A named group of fields. */
export function section<const S extends Shape>(fields: S, description: string): SectionField<S> {
  return { kind: "section", fields, description };
}

/** A list of groups of fields. */
export function list<const S extends Shape>(fields: S, description: string): ListField<S> {
  return { kind: "list", fields, description };
}
