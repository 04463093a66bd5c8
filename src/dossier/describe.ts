/** The fields of the valve file in words, for help, the documentation and the page. */
import plain from "../../data/defaults/plain.json" with { type: "json" };
import { type Bounds, type Dimension, formatQuantity } from "../quantity/index.js";
import type { Field, ListField, SectionField } from "./field.js";
import { childPath } from "./path.js";
import { valveFile } from "./schema.js";

/** One field of the valve file. */
export interface FieldDescription {
  /** List items are written as `[]`: "drive.stages[].efficiency". */
  readonly path: string;
  readonly kind: Field["kind"];
  readonly description: string;
  /** Of a physical value. */
  readonly dimension?: Dimension;
  /** Bounds with units: "0 to 1", "above 0 mm"; absent where any value may stand. */
  readonly bounds?: string;
  /** Permitted words of a choice. */
  readonly words?: readonly string[];
  /** As a person would write it. */
  readonly example?: string;
  /** What stands in for the field where it is left out; absent: it is not known. */
  readonly default?: string;
}

/** Every section, list and field of the valve file, each section before its fields. */
export function describeSchema(): readonly FieldDescription[] {
  return below(valveFile, "");
}

function below(field: SectionField | ListField, path: string): readonly FieldDescription[] {
  return Object.entries(field.fields).flatMap(([name, child]) => {
    const here = childPath(path, name);
    return [describe(child, here), ...inside(child, here)];
  });
}

function inside(field: Field, path: string): readonly FieldDescription[] {
  if (field.kind === "section") return below(field, path);
  return field.kind === "list" ? below(field, `${path}[]`) : [];
}

function describe(field: Field, path: string): FieldDescription {
  const { kind, description } = field;
  const standIn = defaultWords(path);
  const common = { path, kind, description, ...(standIn === undefined ? {} : { default: standIn }) };
  switch (field.kind) {
    case "quantity": {
      const bounds = boundsWords(field.bounds, field.dimension);
      const { dimension, example } = field;
      return { ...common, dimension, example, ...(bounds === "" ? {} : { bounds }) };
    }
    case "text":
      return { ...common, example: field.example };
    case "choice":
      return { ...common, words: field.words };
    case "count":
      return { ...common, bounds: field.min === field.max ? `${field.min}` : `${field.min} to ${field.max}` };
    case "section":
    case "list":
      return common;
  }
}

/** Bounds in words, with units; empty where any value may stand. */
export function boundsWords(bounds: Bounds, dimension: Dimension): string {
  const words = (si: number) => formatQuantity(si, dimension);
  const low = bounds.min ?? bounds.minExclusive;
  const high = bounds.max ?? bounds.maxExclusive;
  const above = bounds.min === undefined && bounds.minExclusive !== undefined ? "above " : "";
  const under = bounds.max === undefined && bounds.maxExclusive !== undefined ? "below " : "";
  if (low !== undefined && high !== undefined) return `${above}${words(low)} to ${under}${words(high)}`;
  if (low !== undefined) return `${above === "" ? "at least " : above}${words(low)}`;
  if (high !== undefined) return `${under === "" ? "at most " : under}${words(high)}`;
  return "";
}

/** Defaults that follow from other fields or from a data file of their own. */
const derived: Readonly<Record<string, string>> = {
  "valve.flow_coefficient": "the end of the characteristic, or else from the bore with K = 3 f_T",
  "valve.contraction": "data/defaults/contraction.json",
  "valve.recovery": "data/defaults/liquid-recovery.json",
  "valve.cavitation_onset": "data/defaults/cavitation-onset.json",
  "valve.seat.friction": "from the material",
  "valve.seat.friction_cold_ratio": "from the material",
  "valve.seat.breakaway_ratio": "from the material",
  "valve.seat.dwell_ratio": "from the dwell of the duty or case, data/defaults/dwell.json",
  "valve.seat.stribeck_speed": "data/defaults/stribeck.json",
  "valve.packing.friction": "from the material",
  "valve.packing.radial_stress": "from the material and the supply pressure of the duty",
  "valve.stem.collar_friction": "from the collar's material",
  "valve.bearing.friction": "from the material",
  "valve.hydrodynamic.scale": "data/defaults/hydrodynamic.json; 1 for a declared curve",
  "valve.hydrodynamic.curve": "data/defaults/hydrodynamic.json",
  "drive.stages[].back_efficiency": "2 - 1/efficiency, not below 0",
};

/** What stands in for a field that is left out, or undefined where it stays not known. */
export function defaultWords(path: string): string | undefined {
  const row = plain.defaults.find(({ field }) => field === path);
  if (row === undefined) return derived[path];
  const { value } = row;
  if (typeof value === "string") return value;
  return `{ ${Object.entries(value)
    .map(([key, text]) => `${key}: ${text}`)
    .join(", ")} }`;
}
