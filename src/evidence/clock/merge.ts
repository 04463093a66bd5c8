/** Several logs of one test as one, on the clock of the first. */
import type { RoleId } from "../log/roles.js";
import { type ClockAlignment, onRunClock } from "./alignment.js";

/** A log as far as it can be joined with others. */
export interface JoinableLog {
  readonly time_s: Float64Array;
  readonly channels: readonly {
    readonly role: RoleId;
    readonly values: Float64Array;
    readonly standardUncertainty?: number;
  }[];
}

/** Logs on one clock. */
export interface JoinedLog extends JoinableLog {
  readonly channels: readonly (JoinableLog["channels"][number] & { readonly file?: string })[];
  readonly clocks?: readonly ClockAlignment[];
}

/** A further log with its clock. */
export interface FurtherLog {
  readonly log: JoinableLog;
  readonly clock: ClockAlignment;
}

/**
 * Joins logs. The rows are those of the log that holds the angle, or of the first; the channels of the
 * others are put between their own samples. A command is as its last sample; between the two samples of
 * an edge it is not known, so that an edge is no sharper than its own log has it. A channel that two logs
 * hold is taken from the log that was named first.
 *
 * @returns channels not a number where their own log does not reach
 */
export function joinLogs(first: JoinableLog, file: string, further: readonly FurtherLog[]): JoinedLog {
  if (further.length === 0) return first;
  const all = [
    { log: first, file, offset_s: 0, drift: 0 },
    ...further.map(({ log, clock }) => ({ log, drift: 0, ...clock })),
  ];
  const base = all.find(({ log }) => log.channels.some(({ role }) => role === "angle")) ?? all[0];
  if (base === undefined) return first;
  const time_s = base.log.time_s.map((t) => onRunClock(base, t));
  const taken = new Set<string>();
  const channels = all.flatMap((one) =>
    one.log.channels.flatMap((channel) => {
      if (channel.role !== "other" && taken.has(channel.role)) return [];
      taken.add(channel.role);
      if (one === base) return [{ ...channel, file: one.file }];
      const own = one.log.time_s.map((t) => onRunClock(one, t));
      const values = between(own, channel.values, time_s, channel.role === "command");
      return [{ ...channel, values, file: one.file }];
    }),
  );
  return { time_s, channels, clocks: further.map(({ clock }) => clock) };
}

/** Values at other times, in between or as the sample before. */
function between(
  time_s: Float64Array,
  values: Float64Array,
  at_s: Float64Array,
  isHeld: boolean,
): Float64Array {
  let i = 0;
  const last = time_s.length - 1;
  const edge = isHeld ? swingOf(values) / 2 : Number.POSITIVE_INFINITY;
  return at_s.map((t) => {
    if (t < (time_s[0] ?? Number.POSITIVE_INFINITY) || t > (time_s[last] ?? Number.NEGATIVE_INFINITY))
      return Number.NaN;
    while (i < last - 1 && (time_s[i + 1] ?? 0) <= t) i++;
    const [t0 = 0, t1 = 0, v0 = Number.NaN, v1 = Number.NaN] = [
      time_s[i],
      time_s[i + 1],
      values[i],
      values[i + 1],
    ];
    if (t >= t1) return v1;
    if (isHeld) return t > t0 && edge > 0 && Math.abs(v1 - v0) > edge ? Number.NaN : v0;
    return v0 + ((v1 - v0) * (t - t0)) / (t1 - t0);
  });
}

function swingOf(values: Float64Array): number {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    low = Math.min(low, Number.isNaN(value) ? low : value);
    high = Math.max(high, Number.isNaN(value) ? high : value);
  }
  return high - low;
}
