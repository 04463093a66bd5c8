/** What a cell of a log says: a number, a gap, a stamp, or words. */
import { isStamp } from "./stamp.js";

/** Decimal sign of a log. */
export type Decimal = "point" | "comma";

/** A reading, or why there is none. */
export type Reading =
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "blank" }
  | { readonly kind: "marker"; readonly means: "no reading" | "over range" }
  | { readonly kind: "words" };

const noReading =
  /^(nan|nul|null|none|n\/?a|#n\/a|#?value!?|-+|\.+|\?+|err(or)?|bad|invalid|missing|1\.#(qnan|ind)\d*)$/i;
const overRange =
  /^[+-]?(over|under|ovr|ovld|ovfl|overload|overflow|overrange|underrange|o\.?l\.?|inf(inity)?|1\.#inf\d*|\*+)$/i;

/** Instruments write 9.9E37 for beyond the range and 9.91E37 for no number (from memory: SCPI-99). */
const overRangeFrom = 9.9e37;

const plain: Record<Decimal, RegExp> = {
  point: /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d+)?$/,
  comma: /^[+-]?(?:\d+,?\d*|,\d+)(?:[eEdD][+-]?\d+)?$/,
};
/**
 * Thousands grouped: by the other sign with a decimal sign behind them, so that no grouping passes for a
 * decimal sign; or by an apostrophe, a no-break blank or a thin one.
 */
const grouped: Record<Decimal, RegExp> = {
  point: /^[+-]?\d{1,3}(?:(?:,\d{3})+\.\d+|(?:['\u2019\u00a0\u202f\u2009]\d{3})+(?:\.\d+)?)$/,
  comma: /^[+-]?\d{1,3}(?:(?:\.\d{3})+,\d+|(?:['\u2019\u00a0\u202f\u2009]\d{3})+(?:,\d+)?)$/,
};
const grouping: Record<Decimal, RegExp> = {
  point: /[,'\u2019\u00a0\u202f\u2009]/g,
  comma: /[.'\u2019\u00a0\u202f\u2009]/g,
};

/**
 * Reads a cell as a number.
 *
 * @param text     without blanks around it
 * @param decimal  the log's decimal sign; the other one is no part of a number
 */
export function readCell(text: string, decimal: Decimal): Reading {
  if (text === "") return { kind: "blank" };
  const number = text.startsWith("\u2212") ? `-${text.slice(1)}` : text;
  if (plain[decimal].test(number)) {
    // Most numbers have a point and no D.
    const asWritten = Number(number);
    const value = Number.isNaN(asWritten) ? Number(number.replace(",", ".").replace(/[dD]/, "e")) : asWritten;
    return Math.abs(value) < overRangeFrom
      ? { kind: "number", value }
      : { kind: "marker", means: "over range" };
  }
  if (grouped[decimal].test(number)) {
    const joined = number.replaceAll(grouping[decimal], "").replace(",", ".");
    return { kind: "number", value: Number(joined) };
  }
  if (noReading.test(text)) return { kind: "marker", means: "no reading" };
  if (overRange.test(text)) return { kind: "marker", means: "over range" };
  return { kind: "words" };
}

const onWords = /^(true|on|open|opened|high|1|yes|ein|auf)$/i;
const offWords = /^(false|off|closed?|shut|low|0|no|aus|zu)$/i;

/** A two-valued cell as 1 or 0, or undefined. */
export function readSwitch(text: string): number | undefined {
  if (onWords.test(text)) return 1;
  return offWords.test(text) ? 0 : undefined;
}

/** True for a cell that belongs into a row of data: a number, a marker or a time stamp. */
export function isData(text: string, decimal: Decimal): boolean {
  const { kind } = readCell(text, decimal);
  return kind === "number" || kind === "marker" || isStamp(text);
}
