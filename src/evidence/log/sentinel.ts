/** Numbers that instruments write for no reading. From trade usage; common practice, no source. */

const sentinels = [
  999, 9999, 99999, 999999, 9999.9, 999.9, 99.99, 9999999, 32767, 65535, 2147483647, 1e10, 9.9e9,
];
const known = new Set([...sentinels.flatMap((one) => [one, -one]), -32768, -2147483648]);
/** A sentinel lies this many times further out than every other reading. */
const furtherOut = 5;

/**
 * Numbers among readings that stand for no value: known ones that lie far beyond all others.
 * @returns in rising order; none where the others do not show where readings lie
 */
export function sentinelsIn(readings: readonly number[]): readonly number[] {
  const found = [...new Set(readings)].filter((value) => known.has(value));
  if (found.length === 0) return [];
  const others = readings.filter((value) => !known.has(value));
  if (others.length < 3) return [];
  const largest = others.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return found.filter((value) => Math.abs(value) > furtherOut * Math.max(largest, 1)).sort((a, b) => a - b);
}
