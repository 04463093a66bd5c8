/** The one reader and the one formatter of numbers. */
import { refuse } from "../fault/index.js";

const plainNumber = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?(?![\d.,]|[eE][+-]?\d)/;

/** Significant digits of a number printed without an uncertainty. */
const usualDigits = 4;

/** Significant digits of a printed standard uncertainty; two, as in [gum-2008, 7.2.6]. */
const uncertaintyDigits = 2;

/**
 * Reads the number at the head of a text; what follows it is the unit.
 *
 * @param text  as typed, trimmed, minus signs already plain
 * @returns     the number and the rest of the text, trimmed
 * Refuses      a decimal comma, digits grouped by spaces, anything that does not begin with a number
 */
export function readNumber(text: string): { readonly value: number; readonly rest: string } {
  refuseComma(text);
  const match = plainNumber.exec(text);
  const value = match === null ? Number.NaN : Number(match[0]);
  if (match === null || !Number.isFinite(value)) {
    refuse(
      "number-unreadable",
      `"${text}" does not begin with a number`,
      "A value is a number, then its unit; powers of ten are written 3e-6.",
      'Write, for example, 0.08, 3e-6 kg m2 or "28 bar(a)".',
    );
  }
  const rest = text.slice(match[0].length).trim();
  const grouped = rest.startsWith("1/") ? null : /^\d+/.exec(rest);
  if (grouped !== null) {
    refuse(
      "number-unreadable",
      `"${text}" has a space inside its number`,
      "Digits are not grouped by spaces.",
      `Write ${match[0]}${grouped[0]}${rest.slice(grouped[0].length)}.`,
    );
  }
  return { value, rest };
}

function refuseComma(text: string): void {
  const match = /^[+-]?\d+(?:,\d+)+(?:\.\d+)?/.exec(text);
  if (match === null) return;
  const found = match[0];
  const rest = text.slice(found.length);
  const point = `${found.replace(",", ".")}${rest}`;
  const joined = `${found.replaceAll(",", "")}${rest}`;
  const grouped = /^[+-]?[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?$/.test(found);
  const several = (found.match(/[,.]/g) ?? []).length > 1;
  refuse(
    "decimal-comma",
    `"${text}" has a comma in its number`,
    "The decimal sign is a point, and digits are not grouped: a comma could mean either.",
    grouped
      ? several
        ? `Write ${joined}.`
        : `Write ${point} or ${joined}, whichever is meant.`
      : `Write ${point}.`,
  );
}

/** How many digits to print. Uncertainty wins over digits. */
export interface NumberStyle {
  /** Significant digits, or "all" for the shortest text that reads back as the same number. */
  readonly digits?: number | "all";
  /** Standard uncertainty in the unit of the number: the number is rounded to its second digit. */
  readonly uncertainty?: number;
}

/**
 * A number as text: significant digits follow the uncertainty if one is given, else four digits
 * without trailing zeros. Powers of ten outside 1e-4 to 1e6. The decimal sign is a point.
 *
 * @param value  any number but NaN, which is a defect of the caller; infinity prints as "infinite"
 */
export function formatNumber(value: number, style: NumberStyle = {}): string {
  if (Number.isNaN(value)) throw new RangeError("a number to be printed is NaN");
  if (!Number.isFinite(value)) return value > 0 ? "infinite" : "-infinite";
  const { uncertainty, digits } = style;
  if (uncertainty !== undefined && uncertainty > 0 && Number.isFinite(uncertainty)) {
    return roundedToPlace(value, lastPlace(uncertainty));
  }
  if (digits === "all") return tidyExponent(String(value === 0 ? 0 : value));
  const significant = Math.min(17, Math.max(1, digits ?? usualDigits));
  const rounded = Number(value.toPrecision(significant));
  if (rounded === 0) return "0";
  if (isPlainSize(rounded)) return tidyExponent(String(rounded));
  return tidyExponent(rounded.toExponential());
}

/** Decimal place of the second significant digit: 0.042 -> -3, 730 -> 1. */
function lastPlace(uncertainty: number): number {
  const exponent = Number(uncertainty.toExponential(uncertaintyDigits - 1).split("e")[1] ?? 0);
  return exponent - (uncertaintyDigits - 1);
}

/** A number rounded to a decimal place, with the zeros that the place carries. */
function roundedToPlace(value: number, place: number): string {
  const size = Math.abs(value);
  // A tiny value with a coarse place is a plain 0.00; with a fine one it needs its power of ten.
  const isPlain = size < 1e6 && place >= -15 && (size >= 1e-4 || place >= -6);
  if (isPlain && place <= 0) return withoutMinusZero(value.toFixed(-place));
  const rounded = Math.round(value / 10 ** place) * 10 ** place;
  if (rounded === 0) return "0";
  if (isPlain) return String(rounded);
  const digits = Number(rounded.toExponential().split("e")[1] ?? 0) - place;
  return tidyExponent(rounded.toExponential(Math.min(20, Math.max(0, digits))));
}

function withoutMinusZero(text: string): string {
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function isPlainSize(value: number): boolean {
  const size = Math.abs(value);
  return size >= 1e-4 && size < 1e6;
}

function tidyExponent(text: string): string {
  return text.replace("e+", "e");
}
