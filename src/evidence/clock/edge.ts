/** Edges of a channel that stands at two levels, and where another one leaves its rest. */
import { median } from "../../numerics/index.js";

/** An instant in a log, between two of its samples. */
export interface Edge {
  readonly time_s: number;
  /** Of the instant, even over the interval between the samples [gum-2008, 4.3.7]. */
  readonly standardUncertainty_s: number;
  readonly isRise: boolean;
}

/** Levels closer than this share of the swing count as one; a swing below is no command. */
const swingShare = 0.5;

/**
 * Edges of a command: where it passes the middle between its levels.
 *
 *   t = (t_before + t_after) / 2,   u = (t_after - t_before) / sqrt(12)
 *
 * @returns none for a channel that does not change
 */
export function edgesOf(time_s: Float64Array, values: Float64Array): readonly Edge[] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (!(high - low > 1e-9)) return [];
  const middle = low + swingShare * (high - low);
  const edges: Edge[] = [];
  let before: number | undefined;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const last = before === undefined ? undefined : (values[before] ?? value);
    if (before !== undefined && last !== undefined && last > middle !== value > middle) {
      const [t0 = 0, t1 = 0] = [time_s[before], time_s[i]];
      edges.push({
        time_s: (t0 + t1) / 2,
        standardUncertainty_s: (t1 - t0) / Math.sqrt(12),
        isRise: value > middle,
      });
    }
    before = i;
  }
  return edges;
}

/** Samples at the start that show the rest. */
const restShare = 0.05;
/** A departure from rest is this many deviations of the noise, and at least this share of the whole swing. */
const deviations = 6;
const leastShare = 0.05;

/** Where a channel first leaves its rest for good; undefined where it does not. */
export function onsetOf(time_s: Float64Array, values: Float64Array): Edge | undefined {
  const count = Math.max(5, Math.floor(values.length * restShare));
  const rest = values.slice(0, count).filter((value) => !Number.isNaN(value));
  if (rest.length < 3) return undefined;
  const level = median(rest);
  // 1.4826 makes the median of absolute departures of a normal law its deviation.
  const noise = 1.4826 * median(rest.map((value) => Math.abs(value - level)));
  const swing = values.reduce((most, value) => Math.max(most, Math.abs(value - level) || 0), 0);
  const bound = Math.max(deviations * noise, leastShare * swing);
  if (!(swing > bound) || bound === 0) return undefined;
  const isOut = (i: number) => Math.abs((values[i] ?? level) - level) > bound;
  for (let i = 1; i + 1 < values.length; i++) {
    if (!(isOut(i) && isOut(i + 1))) continue;
    const [t0 = 0, t1 = 0] = [time_s[i - 1], time_s[i]];
    return { time_s: t0, standardUncertainty_s: (t1 - t0) / Math.sqrt(3), isRise: (values[i] ?? 0) > level };
  }
  return undefined;
}
