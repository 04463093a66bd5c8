/** Numbers that instruments write for no reading. From trade usage; common practice, no source. */
import { type Curve, onCurve } from "./curve.js";
import type { Conversion } from "./scale.js";

const sentinels = [
  999, 9999, 99999, 999999, 9999.9, 999.9, 99.99, 9999999, 32767, 65535, 2147483647, 1e10, 9.9e9,
];
const known = new Set([...sentinels.flatMap((one) => [one, -one]), -32768, -2147483648]);
/** A sentinel lies this many times further out than every other reading. */
const furtherOut = 5;
/** Fewer other readings do not show where readings lie. */
const fewestOthers = 3;

/** Readings that are no known number for no value. */
export interface OtherReadings {
  readonly count: number;
  /** Largest magnitude. */
  readonly largest: number;
}

/**
 * Numbers among readings that stand for no value: known ones that lie far beyond all others.
 * @returns in rising order; none where the others do not show where readings lie
 */
export function sentinelsIn(readings: readonly number[]): readonly number[] {
  const found = [...new Set(readings)].filter(isKnown);
  if (found.length === 0) return [];
  const others = readings.filter((value) => !isKnown(value));
  const largest = others.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return sentinelsBeyond(found, { count: others.length, largest });
}

/** Whether a reading is one that instruments write for none. */
export function isKnown(reading: number): boolean {
  return known.has(reading);
}

/** Those of some known numbers that lie far beyond the other readings. */
export function sentinelsBeyond(
  found: readonly number[],
  { count, largest }: OtherReadings,
): readonly number[] {
  if (count < fewestOthers) return [];
  return found.filter((value) => Math.abs(value) > furtherOut * Math.max(largest, 1)).sort((a, b) => a - b);
}

/**
 * The known number that is converted to a value; undefined where none is, and where the curve of the
 * conversion is none along which each value has one reading.
 */
export function knownBehind(conversion: Conversion, value: number): number | undefined {
  const { curve, sign, zero } = conversion;
  if (!isOneToOne(curve)) return undefined;
  return [...known].find((reading) => sign * (onCurve(curve, reading) - zero) === value);
}

/** The reading behind a value, but for rounding; undefined along a curve where it need not be the only one. */
export function readingBehind({ curve, sign, zero }: Conversion, value: number): number | undefined {
  if (!isOneToOne(curve)) return undefined;
  const [offset = 0, factor = 0] = curve.coefficients;
  return (sign * value + zero - offset) / factor;
}

function isOneToOne(curve: Curve): curve is Extract<Curve, { readonly kind: "polynomial" }> {
  return curve.kind === "polynomial" && curve.coefficients.length === 2 && curve.coefficients[1] !== 0;
}
