/** The one place that reads a clock. */

/** Seconds since 1970 that stand in for the present, as reproducible builds use them. */
const fixedInstant = "SOURCE_DATE_EPOCH";

/**
 * The present as ISO 8601 in UTC, to the second: `2031-04-18T09:30:00Z`. Where the environment names a
 * SOURCE_DATE_EPOCH, that instant stands in, so that a documented example prints the same every day.
 */
export function now(): string {
  const epoch = process.env[fixedInstant];
  const milliseconds = epoch !== undefined && /^\d{1,11}$/.test(epoch) ? Number(epoch) * 1000 : Date.now();
  return new Date(milliseconds).toISOString().replace(/\.\d{3}Z$/, "Z");
}

/** Seconds on a clock that never jumps; differences alone have a meaning [s]. */
export function elapsedSeconds(): number {
  return performance.now() / 1000;
}
