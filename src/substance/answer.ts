/** Everything on file about a fluid or a solid at one condition: what `coldturn property` prints. */
import type { Notice } from "../fault/index.js";
import type { Dimension } from "../quantity/index.js";

/** One property with where it is from. */
export interface PropertyRow {
  /** Name in JSON: "viscosity". */
  readonly id: string;
  readonly words: string;
  /** SI. */
  readonly value: number;
  readonly dimension: Dimension;
  /** Interval of the value where the source gives one, SI. */
  readonly low?: number;
  readonly high?: number;
  /** Stated uncertainty in words, where there is no interval. */
  readonly uncertainty?: string;
  /** Range of temperature of the data [K], where it is the property's own. */
  readonly TMin?: number;
  readonly TMax?: number;
  /** Keys into data/references.json, or words where there is no source. */
  readonly sources: readonly string[];
  readonly note?: string;
}

/** A property that is asked for and not known, with the reason. */
export interface MissingRow {
  readonly id: string;
  readonly words: string;
  readonly reason: string;
}

/** The properties of one phase, or of a mixture. */
export interface PropertyGroup {
  readonly title: string;
  readonly rows: readonly PropertyRow[];
  readonly missing: readonly MissingRow[];
}

export interface SubstanceAnswer {
  readonly kind: "fluid" | "solid";
  readonly id: string;
  readonly name: string;
  /** One sentence: state, temperature, pressure. */
  readonly summary: string;
  /** "liquid", "two-phase", "superheated liquid", ...; "solid" for a solid. */
  readonly state: string;
  readonly groups: readonly PropertyGroup[];
  /** Lines about the data: range, equation, cautions. */
  readonly remarks: readonly string[];
  readonly notices: readonly Notice[];
}
