/** Bounds of a field and of physics, and the refusal of what lies outside. */
import { refuse } from "../fault/index.js";
import { type Dimension, type DimensionRecord, dimensionRecord } from "./dimension.js";
import { formatInUnit, formatQuantity } from "./printing.js";
import { readQuantity } from "./reading.js";
import { readSpoken, type Spoken } from "./spoken.js";
import { type ReadingOptions, spreadToSi, type Unit } from "./unit.js";

/** Relative rounding that a conversion of units may add; some ulps of double precision. */
const conversionRounding = 1e-14;

/** Physical bounds of a field, SI of its dimension; named as in a JSON Schema. */
export interface Bounds {
  readonly min?: number;
  readonly max?: number;
  /** The value must lie above this, not at it. */
  readonly minExclusive?: number;
  /** The value must lie below this, not at it. */
  readonly maxExclusive?: number;
  /** Why, as a sentence: "An efficiency is the share of power passed on." */
  readonly because?: string;
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
  checkBounds(reading.si, dimension, {}, `"${text.trim()}"`, reading.unit);
  return reading.si;
}

/** A text that reads as a value within its bounds; the ends of a uniform law lie within them too. */
export function boundedText(
  text: string,
  dimension: Dimension,
  bounds: Bounds,
  options: ReadingOptions,
): Spoken {
  const spoken = readSpoken(text, dimension, options);
  const { value, law, unit } = spoken;
  checkBounds(value, dimension, bounds, `"${text}"`, unit);
  if (law.kind !== "uniform") return spoken;
  for (const end of [law.low, law.high]) {
    const subject = `${formatInUnit(end, unit, { digits: 6 })}, an end of "${text}",`;
    checkBounds(end, dimension, bounds, subject, unit);
  }
  return spoken;
}

/**
 * Refuses a value outside the bounds of its field or of physics.
 *
 * @param si       the value, SI
 * @param subject  what to call it in the refusal: the text as typed, in quotation marks
 * @param unit     the unit the user thinks in: the bounds are stated in it
 */
export function checkBounds(
  si: number,
  dimension: Dimension,
  bounds: Bounds,
  subject: string,
  unit: Unit,
): void {
  const { least, words, example } = dimensionRecord(dimension);
  const isImpossible = least !== undefined && (least.exclusive ? si <= least.value : si < least.value);
  if (!isImpossible && isWithin(si, bounds)) return;
  // A bound of zero has no number in a reciprocal unit.
  const stated = (bound: number) =>
    unit.reciprocal ? formatQuantity(bound, dimension) : formatInUnit(bound, unit, { digits: 6 });
  refuse(
    "out-of-bounds",
    `${subject} is ${relation(si, bounds, least, stated)}`,
    isImpossible ? capital(`${least.because}.`) : (bounds.because ?? `This field is ${words} within bounds.`),
    `Write ${allowedRange(bounds, least, stated)}, for example "${exampleWithin(example, dimension, bounds, unit)}".`,
  );
}

function isWithin(si: number, bounds: Bounds): boolean {
  const { min, max, minExclusive, maxExclusive } = bounds;
  // Room for the rounding of a conversion, so that "100 %" is not above 1.
  if (min !== undefined && si < min - conversionRounding * Math.abs(min)) return false;
  if (max !== undefined && si > max + conversionRounding * Math.abs(max)) return false;
  if (minExclusive !== undefined && si <= minExclusive) return false;
  return maxExclusive === undefined || si < maxExclusive;
}

type Least = DimensionRecord["least"];
type Stated = (bound: number) => string;

/** Lowest and highest value of a field, of which either may be open. */
function endsOf(bounds: Bounds, least: Least) {
  const low = bounds.min ?? bounds.minExclusive ?? least?.value;
  const high = bounds.max ?? bounds.maxExclusive;
  const lowIsOpen =
    bounds.min === undefined && (bounds.minExclusive !== undefined || least?.exclusive === true);
  return { low, high, lowIsOpen, highIsOpen: bounds.max === undefined };
}

/** "not between 0 and 1", or the one bound that was passed. */
function relation(si: number, bounds: Bounds, least: Least, stated: Stated): string {
  const { low, high, lowIsOpen, highIsOpen } = endsOf(bounds, least);
  if (low !== undefined && high !== undefined) return `not between ${stated(low)} and ${stated(high)}`;
  if (low !== undefined) return lowIsOpen && si === low ? `not above ${stated(low)}` : `below ${stated(low)}`;
  if (high === undefined) return "outside its bounds";
  return highIsOpen && si === high ? `not below ${stated(high)}` : `above ${stated(high)}`;
}

function allowedRange(bounds: Bounds, least: Least, stated: Stated): string {
  const { low, high, lowIsOpen, highIsOpen } = endsOf(bounds, least);
  if (low !== undefined && high !== undefined) return `a value between ${stated(low)} and ${stated(high)}`;
  if (low !== undefined)
    return lowIsOpen ? `a value above ${stated(low)}` : `a value of at least ${stated(low)}`;
  if (high === undefined) return "another value";
  return highIsOpen ? `a value below ${stated(high)}` : `a value of at most ${stated(high)}`;
}

/** The usual example if it lies within the bounds, else a value that does. */
function exampleWithin(example: string, dimension: Dimension, bounds: Bounds, unit: Unit): string {
  const usual = readQuantity(example, dimension).si;
  if (isWithin(usual, bounds)) return example;
  const { low, high } = endsOf(bounds, undefined);
  if (low !== undefined && high !== undefined) return formatInUnit((low + high) / 2, unit, { digits: 2 });
  const step = (bound: number) => Math.abs(bound) || spreadToSi(unit, 1, 1);
  const inside = low !== undefined ? low + step(low) : high !== undefined ? high - step(high) : usual;
  return formatInUnit(inside, unit, { digits: 2 });
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
