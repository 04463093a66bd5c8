/** Declared values in words: the nominal value, and where it comes from. */
import { type Declared, formatQuantity, type Origin } from "../quantity/index.js";

/** Where a value comes from, as a person would say it. */
export const originWords: Readonly<Record<Origin, string>> = {
  assumed: "assumed",
  catalogue: "from a catalogue or data sheet",
  drawing: "from a drawing",
  measured: "measured",
  fitted: "fitted to a test",
  standard: "from a standard",
  default: "not given, a default",
};

/** Where a value comes from, with its reason and document: "from a drawing: seat ring, revision B". */
export function provenanceText({ origin, because, reference }: Declared): string {
  const reason = because === undefined ? "" : `: ${because}`;
  const document = reference === undefined ? "" : ` (${reference})`;
  return `${originWords[origin]}${reason}${document}`;
}

/** A value without its spread, in the unit that was typed: "52 mm". */
export function nominalText({ value, dimension, unit }: Declared): string {
  // Gauge pressures count from an atmosphere that is not at hand here: they are said as absolute.
  return formatQuantity(value, dimension, dimension === "pressure" || unit === "" ? {} : { unit });
}
