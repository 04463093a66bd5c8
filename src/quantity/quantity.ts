/** Text to SI and back: one value with its unit, without a spread. */
import { refuse } from "../fault/index.js";
import type { Bounds } from "./declared.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import { plainSigns } from "./grammar.js";
import { formatNumber, readNumber } from "./number.js";
import { fromSi, type ReadingOptions, resolveUnit, spreadFromSi, toSi, type Unit } from "./unit.js";

/** Relative rounding that a conversion of units may add; some ulps of double precision. */
const conversionRounding = 1e-14;

/** A quantity as read: its SI value, its number and unit as typed. */
export interface Reading {
  readonly si: number;
  readonly number: number;
  readonly unit: Unit;
}

/**
 * SI value of a quantity typed as engineers write it: "28 bar(a)", "12 lbf in", "-183 degC", "90°",
 * "Kv 40", "50:1".
 *
 * @param text       as typed
 * @param dimension  what the field is
 * @param options    the ambient pressure that gauge pressures count from, if not the standard atmosphere
 * @returns          value in the coherent SI unit of the dimension (`dimensions[dimension].si`)
 * Refuses           unreadable numbers, unknown or missing units, units of another dimension, an absolute
 *                   pressure without (a) or (g), values that physics forbids (below absolute zero)
 */
export function parseQuantity(text: string, dimension: Dimension, options: ReadingOptions = {}): number {
  const reading = readQuantity(text, dimension, options);
  checkBounds(reading.si, dimension, {}, text.trim(), reading.unit);
  return reading.si;
}

/** As `parseQuantity`, with the number and unit as typed, and without the check of bounds. */
export function readQuantity(text: string, dimension: Dimension, options: ReadingOptions = {}): Reading {
  const { value, rest } = splitQuantity(text, dimension);
  const unit = resolveUnit(rest, dimension, numberText(text, value), options);
  if (unit.reciprocal && value === 0) {
    refuse(
      "out-of-bounds",
      `"${text.trim()}" is zero in a reciprocal unit: the ${dimension} would be infinite`,
      "A speed constant is the reciprocal of a torque constant.",
      `Write, for example, "${dimensionRecord(dimension).example}".`,
    );
  }
  return { si: toSi(unit, value), number: value, unit };
}

/** Number and unit words of one quantity, before the unit is looked up. */
export function splitQuantity(
  text: string,
  dimension: Dimension,
): { readonly value: number; readonly rest: string } {
  const plain = plainSigns(text);
  // "Kv 40" is how a data sheet says "40 Kv".
  const coefficient = /^(Kv|Cv)\s*[=:]?\s*(.+)$/.exec(plain);
  const turned = coefficient === null ? plain : `${coefficient[2]} ${coefficient[1]}`;
  const { value, rest } = readNumber(turned);
  if (dimension !== "ratio" && dimension !== "number") return { value, rest };
  const below = /^:\s*(.+)$/.exec(rest);
  if (below?.[1] === undefined) return { value, rest };
  const second = readNumber(below[1]);
  if (!(second.value > 0)) {
    refuse(
      "number-unreadable",
      `"${text.trim()}" divides by ${second.value}`,
      "A ratio a:b is a divided by b, and b is above zero.",
      'Write, for example, "50:1".',
    );
  }
  return { value: value / second.value, rest: second.rest };
}

/** The number as typed, for advice that repeats it. */
function numberText(text: string, value: number): string {
  return /[+-]?[\d.]+(?:[eE][+-]?\d+)?/.exec(plainSigns(text))?.[0] ?? formatNumber(value, { digits: "all" });
}

/**
 * Refuses a value outside the bounds of its field or of physics.
 *
 * @param si    the value, SI
 * @param text  how the user wrote it
 * @param unit  the unit the user thinks in: the bound is stated in it
 */
export function checkBounds(
  si: number,
  dimension: Dimension,
  bounds: Bounds,
  text: string,
  unit: Unit,
): void {
  const record = dimensionRecord(dimension);
  const { least } = record;
  const stated = (bound: number) => formatInUnit(bound, unit, { digits: 6 });
  const refuseBound = (relation: string, because: string) =>
    refuse(
      "out-of-bounds",
      `"${text}" is ${relation}`,
      because,
      `Write ${allowedRange(bounds, least?.value, stated)}, for example "${exampleWithin(record.example, dimension, bounds, unit)}".`,
    );
  if (least !== undefined && (least.exclusive ? si <= least.value : si < least.value)) {
    const relation = si < least.value ? `below ${stated(least.value)}` : `${stated(least.value)}`;
    refuseBound(relation, capital(`${least.because}.`));
  }
  const because = bounds.because ?? `This field is ${record.words} within these bounds.`;
  const { min, max, minExclusive, maxExclusive } = bounds;
  const { belowClosed, aboveClosed } = closedEnds(min, max);
  if (min !== undefined && si < belowClosed) refuseBound(`below ${stated(min)}`, because);
  if (max !== undefined && si > aboveClosed) refuseBound(`above ${stated(max)}`, because);
  if (minExclusive !== undefined && si <= minExclusive)
    refuseBound(`not above ${stated(minExclusive)}`, because);
  if (maxExclusive !== undefined && si >= maxExclusive)
    refuseBound(`not below ${stated(maxExclusive)}`, because);
}

/** Closed bounds with room for the rounding of a conversion: "100 %" is not above 1. */
function closedEnds(
  min = Number.NEGATIVE_INFINITY,
  max = Number.POSITIVE_INFINITY,
): { readonly belowClosed: number; readonly aboveClosed: number } {
  return {
    belowClosed: min - conversionRounding * Math.abs(min || 0),
    aboveClosed: max + conversionRounding * Math.abs(max || 0),
  };
}

function allowedRange(bounds: Bounds, least: number | undefined, stated: (bound: number) => string): string {
  const low = bounds.min ?? bounds.minExclusive ?? least;
  const high = bounds.max ?? bounds.maxExclusive;
  const above = bounds.min === undefined && bounds.minExclusive !== undefined ? "above" : "at least";
  if (low !== undefined && high !== undefined) return `a value between ${stated(low)} and ${stated(high)}`;
  if (low !== undefined) return `a value of ${above} ${stated(low)}`;
  if (high !== undefined) return `a value of at most ${stated(high)}`;
  return "another value";
}

/** The usual example if it lies within the bounds, else a value that does. */
function exampleWithin(example: string, dimension: Dimension, bounds: Bounds, unit: Unit): string {
  const low = bounds.min ?? bounds.minExclusive ?? Number.NEGATIVE_INFINITY;
  const high = bounds.max ?? bounds.maxExclusive ?? Number.POSITIVE_INFINITY;
  const usual = readQuantity(example, dimension).si;
  if (usual > low && usual < high) return example;
  if (Number.isFinite(low) && Number.isFinite(high))
    return formatInUnit((low + high) / 2, unit, { digits: 2 });
  return formatInUnit(Number.isFinite(low) ? 2 * low || 1 : high / 2, unit, { digits: 2 });
}

/** How a quantity is printed. */
export interface QuantityStyle {
  /** Unit to print in; the preferred unit of the dimension if absent. */
  readonly unit?: string;
  /** Standard uncertainty, SI: the digits follow it. */
  readonly uncertainty?: number;
  /** Significant digits, or "all" for text that reads back as the same number to rounding. */
  readonly digits?: number | "all";
}

/**
 * A quantity as text: number, space, unit. Digits follow the uncertainty if one is given, else four.
 * `parseQuantity(formatQuantity(x, d, { digits: "all" }), d)` is x to rounding of the last bits.
 *
 * @param si         value in SI of the dimension
 * @param style      a gauge unit counts from the standard atmosphere unless `options` says otherwise
 */
export function formatQuantity(
  si: number,
  dimension: Dimension,
  style: QuantityStyle = {},
  options: ReadingOptions = {},
): string {
  return formatInUnit(si, displayUnit(si, dimension, style.unit, options), style);
}

/**
 * A value with its standard uncertainty, in a form that a dossier reads: "28.02 +/- 0.35 bar(a)".
 * The uncertainty has two significant digits and the value as many decimals.
 *
 * @param si           value, SI
 * @param uncertainty  standard uncertainty, >= 0, SI
 */
export function formatUncertain(
  si: number,
  uncertainty: number,
  dimension: Dimension,
  style: { readonly unit?: string } = {},
  options: ReadingOptions = {},
): string {
  const unit = displayUnit(si, dimension, style.unit, options);
  if (!(uncertainty > 0)) return formatInUnit(si, unit, {});
  const spread = spreadFromSi(unit, si, uncertainty);
  const value = formatNumber(fromSi(unit, si), { uncertainty: spread });
  return withUnit(`${value} +/- ${formatNumber(spread, { uncertainty: spread })}`, unit.text);
}

/**
 * The unit a value of this size is printed in: ms below a second, mm below a metre.
 *
 * @param si  the value, or the largest of a column that shares one unit, SI
 */
export function preferredUnit(si: number, dimension: Dimension): string {
  const { display, si: base } = dimensionRecord(dimension);
  if (si === 0 || !Number.isFinite(si)) return display.at(-1)?.unit ?? base;
  return display.find((step) => Math.abs(si) < step.below)?.unit ?? base;
}

function displayUnit(
  si: number,
  dimension: Dimension,
  unit: string | undefined,
  options: ReadingOptions,
): Unit {
  return resolveUnit(unit ?? preferredUnit(si, dimension), dimension, "1", options);
}

/** An SI value in a resolved unit, as text. */
export function formatInUnit(
  si: number,
  unit: Unit,
  style: { readonly uncertainty?: number; readonly digits?: number | "all" },
): string {
  const { uncertainty, digits } = style;
  const number = formatNumber(fromSi(unit, si), {
    ...(digits === undefined ? {} : { digits }),
    ...(uncertainty === undefined ? {} : { uncertainty: spreadFromSi(unit, si, uncertainty) }),
  });
  return withUnit(number, unit.text);
}

/** Number and unit with a space between, as SI asks also before % [sp811, 7.10.2]. */
function withUnit(number: string, unit: string): string {
  return unit === "" ? number : `${number} ${unit}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
