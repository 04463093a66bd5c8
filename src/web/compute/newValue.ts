/** A new value as a person would write it: what was typed, or a moved nominal value with its spread. */
import { type Declared, type Dimension, formatQuantity, formatUncertain } from "../../quantity/index.js";
import type { NewValue } from "./protocol.js";

/** @param before the value that stands there, or that stands in where the field is left out, if any */
export function valueText(value: Exclude<NewValue, "left out">, before: Declared | undefined): string {
  if ("text" in value) return value.text.trim();
  if (before === undefined) return String(value.si);
  return movedText(value.si, before);
}

/** The law of a value around another nominal one; its width stays. */
function movedText(si: number, { law, value, dimension, unit }: Declared): string {
  const style = unitStyle(dimension, unit);
  const words = (at: number) => formatQuantity(at, dimension, { ...style, digits: 5 });
  const by = si - value;
  switch (law.kind) {
    case "exact":
      return words(si);
    case "normal":
      return formatUncertain(si, law.deviation, dimension, style);
    case "uniform":
      return `{ from: ${words(law.low + by)}, to: ${words(law.high + by)} }`;
    case "triangular":
      return `{ nominal: ${words(si)}, low: ${words(law.low + by)}, high: ${words(law.high + by)} }`;
  }
}

/** A pressure is said as absolute: the atmosphere that a gauge counts from is not at hand. */
function unitStyle(dimension: Dimension, unit: string): { readonly unit?: string } {
  return dimension === "pressure" || unit === "" ? {} : { unit };
}
