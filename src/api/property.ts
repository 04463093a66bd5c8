/** Properties of fluids and solids, with their sources. */
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import { substanceAnswer } from "../substance/index.js";
import type { Notice } from "./fault.js";
import { toSi } from "./quantity.js";

/** The condition at which properties are wanted: texts with units, or SI numbers. */
export interface Condition {
  readonly temperature?: string | number;
  /** Of a fluid, absolute. */
  readonly pressure?: string | number;
  /** Of a fluid, both phases together. */
  readonly density?: string | number;
  /** Where a solid was measured, for its contraction; 293 K where it is left out. */
  readonly from?: string | number;
  /** Follow a liquid below its vapour pressure. */
  readonly superheated?: boolean;
}

/** One property with where it is from. */
export interface Property {
  readonly id: string;
  readonly words: string;
  /** SI. */
  readonly value: number;
  /** One of `dimensionNames`. */
  readonly dimension: string;
  /** Interval of the value, where the source gives one. */
  readonly low?: number;
  readonly high?: number;
  readonly uncertainty?: string;
  readonly sources: readonly string[];
  readonly note?: string;
}

/** The properties of one phase, or of a mixture. */
export interface PropertyGroup {
  readonly title: string;
  readonly rows: readonly Property[];
  /** Asked for and not known, with the reason. */
  readonly missing: readonly { readonly id: string; readonly words: string; readonly reason: string }[];
}

/** What is on file about a substance at one condition. */
export interface SubstanceProperties {
  readonly kind: "fluid" | "solid";
  readonly id: string;
  readonly name: string;
  /** "liquid", "two-phase", "solid" and so on. */
  readonly state: string;
  readonly summary: string;
  readonly groups: readonly PropertyGroup[];
  readonly remarks: readonly string[];
  readonly notices: readonly Notice[];
}

/**
 * Properties of a substance by name: `properties("oxygen", { temperature: "90 K", pressure: "28 bar(a)" })`.
 * A fluid with a temperature or a pressure alone is taken as boiling.
 *
 * Refuses  an unknown name, a condition that fixes no state, one beyond the data
 */
export function properties(name: string, condition: Condition): SubstanceProperties {
  const { temperature, pressure, density, from, superheated = false } = condition;
  const given = (value: string | number | undefined, dimension: string): number | undefined =>
    typeof value === "string" ? toSi(value, dimension) : value;
  return substanceAnswer(name, {
    T: given(temperature, "temperature") as Temperature | undefined,
    p: given(pressure, "pressure") as Pressure | undefined,
    rho: given(density, "density") as Density | undefined,
    from: given(from, "temperature") as Temperature | undefined,
    isSuperheated: superheated,
  });
}
