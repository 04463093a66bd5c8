/**
 * Numbers that are dates: seconds since 1970 or 1904, days since the end of 1899. Told by their size,
 * which no time since a logger's start has; common practice, no source.
 */

/** What a column of dates counts. */
export interface Epoch {
  readonly unit: string;
  /** Day it counts from. */
  readonly epoch: string;
}

const secondsPerDay = 86_400;
/** Tests between these days are recognised. */
const earliest = Date.UTC(1995, 0, 1) / 1000;
const latest = Date.UTC(2060, 0, 1) / 1000;

/** Likelier ahead. A number of seconds can be a date by 1970 or by 1904, but the dates lie 66 years apart. */
const epochs: readonly Epoch[] = [
  { unit: "s", epoch: "1970-01-01" },
  { unit: "ms", epoch: "1970-01-01" },
  { unit: "µs", epoch: "1970-01-01" },
  { unit: "ns", epoch: "1970-01-01" },
  { unit: "s", epoch: "1904-01-01" },
  { unit: "day", epoch: "1899-12-30" },
];
const sizes: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, µs: 1e-6, ns: 1e-9, day: secondsPerDay };

/**
 * What the numbers of a time column count, where they are dates between 1995 and 2060.
 *
 * @param first  reading;  @param unit  as the log states it; another unit than it is not considered
 */
export function guessEpoch(first: number, unit: string | undefined): Epoch | undefined {
  return epochs.find((one) => {
    if (unit !== undefined && unit !== one.unit) return false;
    // A bare count of tens of thousands is rather a sample number or milliseconds: days say so.
    if (one.unit === "day" && unit === undefined && Number.isInteger(first)) return false;
    const at = instantOf(first, one);
    return at >= earliest && at < latest;
  });
}

/** Seconds since 1970 of a reading. */
function instantOf(reading: number, { unit, epoch }: Epoch): number {
  return reading * (sizes[unit] ?? 1) + Date.parse(epoch) / 1000;
}

/** A reading as a date in words, to the second; the clock's zone is not known. */
export function dateOf(reading: number, epoch: Epoch): string {
  const seconds = instantOf(reading, epoch);
  if (!(Math.abs(seconds) < 8e12)) return "no date";
  return new Date(Math.floor(seconds) * 1000).toISOString().slice(0, 19);
}
