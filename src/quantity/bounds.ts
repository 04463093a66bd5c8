/** Bounds of a field and of physics, and the refusal of what lies outside. */
import { refuse } from "../fault/index.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import { formatInUnit } from "./printing.js";
import { readQuantity } from "./reading.js";
import { readSpoken, type Spoken } from "./spoken.js";
import type { ReadingOptions, Unit } from "./unit.js";

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
  checkBounds(reading.si, dimension, {}, text.trim(), reading.unit);
  return reading.si;
}

/** A text that reads as a value within its bounds. */
export function boundedText(
  text: string,
  dimension: Dimension,
  bounds: Bounds,
  options: ReadingOptions,
): Spoken {
  const spoken = readSpoken(text, dimension, options);
  const { value, law, unit } = spoken;
  checkBounds(value, dimension, bounds, text, unit);
  if (law.kind === "uniform") {
    for (const end of [law.low, law.high]) {
      checkBounds(
        end,
        dimension,
        bounds,
        `${formatInUnit(end, unit, { digits: 6 })}, the end of "${text}",`,
        unit,
      );
    }
  }
  return spoken;
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

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
