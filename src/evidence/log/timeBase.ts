/** The time of each row, and what is wrong with it: gaps, repeats, steps back, another rate than declared. */
import { type Fault, type Notice, Refusal } from "../../fault/index.js";
import { median } from "../../numerics/index.js";

/** Facts about the time of a log. */
export interface TimeFacts {
  /** Samples per second in the log itself; absent for a single row [Hz]. */
  readonly rate_Hz?: number;
  readonly declaredRate_Hz?: number;
  readonly repeated: Occurrence;
  readonly backward: Occurrence;
  readonly gaps: Occurrence & { readonly missing: number; readonly longest_s: number };
}

/** How often something occurs, and in which line first. */
export interface Occurrence {
  readonly count: number;
  readonly firstLine?: number;
}

export interface TimeBase {
  /** 0 for a row set aside because its time steps back. */
  readonly kept: Uint8Array;
  readonly facts: TimeFacts;
  readonly notices: readonly Notice[];
  /** True where the times given were changed: a counter that began again, bursts spread. */
  readonly isSettled: boolean;
}

/** How the time of rows is to be understood beside its numbers. */
export interface TimeManner {
  readonly declaredRate_Hz: number | undefined;
  /** Name of the column, for the words. */
  readonly name: string;
  /** Times after which its counter begins again from 0, the likelier ahead; none for other clocks [s]. */
  readonly wraps_s: readonly number[];
  /** Rows of one stamp are spread up to the next. */
  readonly isSpread: boolean;
  /** Line of a row in the file. */
  readonly lineOf: (row: number) => number;
}

/** An interval longer than this many usual ones is a gap. */
const gapFrom = 1.5;
/** Rates that differ by more than this are different rates. */
const sameRate = 0.01;
/** A log whose clock steps back more often, or for longer, than this is two logs. */
const mostBackward = 0.01;
/** Share of rows behind the first one from which a log stands in reverse order. */
const newestFirst = 0.9;
/** Share of repeated stamps from which the usual interval is that of the clock, not of the samples. */
const manyRepeats = 0.1;
/** Share of uneven intervals above which gaps are not counted one by one. */
const mostUneven = 0.2;

/** A counter has begun again where it falls from this share of its reach to less than the rest of it. */
const nearWrap = 0.9;
/** Intervals that the usual one is taken from, evenly over the log where it has more. */
const mostIntervals = 200_000;

/**
 * Examines the time of rows, and settles it in place: a counter that begins again goes on, and bursts of
 * one stamp are spread where the mapping says so.
 *
 * A row whose time lies before that of a row above it is set aside and listed; a row whose time repeats
 * is kept, at that same time. Nothing is invented for a gap.
 *
 * @param time_s  of each row, finite
 * Refuses  a log in which more than one row in a hundred lies behind
 */
export function examineTime(time_s: Float64Array, manner: TimeManner): TimeBase {
  const n = time_s.length;
  const kept = new Uint8Array(n).fill(1);
  const first_s = time_s[0] ?? 0;
  const step_s = ((time_s[n - 1] ?? 0) - first_s) / (n - 1);
  if (isEven(time_s, first_s, step_s)) return { kept, ...evenTime(step_s, manner.declaredRate_Hz) };
  const wraps = goOn(time_s, manner);
  const spread = manner.isSpread ? spreadBursts(time_s) : undefined;
  const intervals = new Float64Array(Math.max(0, n - 1));
  const rowOf = new Int32Array(Math.max(0, n - 1));
  let latest = Number.NEGATIVE_INFINITY;
  let count = 0;
  let back = 0;
  let firstBack = 0;
  let repeats = 0;
  let firstRepeat = 0;
  for (let i = 0; i < n; i++) {
    const t = time_s[i] ?? 0;
    if (t < latest) {
      kept[i] = 0;
      if (back++ === 0) firstBack = i;
      continue;
    }
    if (t === latest) {
      if (repeats++ === 0) firstRepeat = i;
    } else if (latest > Number.NEGATIVE_INFINITY) {
      rowOf[count] = i;
      intervals[count++] = t - latest;
    }
    latest = t;
  }
  if (back > Math.max(2, mostBackward * n)) refuseBackward(time_s, firstBack, back, manner);
  const all = intervals.subarray(0, count);
  const usual = usualOf(all);
  const gaps = gapsOf(all, usual);
  const isUneven = gaps.uneven > mostUneven * count;
  const covered = gaps.sum - gaps.lost;
  const counted = count + repeats - gaps.count;
  const isCounted = isUneven || repeats > manyRepeats * n;
  const rate = covered > 0 && isCounted ? counted / covered : usual > 0 ? 1 / usual : undefined;
  const { declaredRate_Hz, lineOf } = manner;
  const gapLine = gaps.first === undefined ? undefined : lineOf(rowOf[gaps.first] ?? 0);
  const facts: TimeFacts = {
    ...(rate === undefined ? {} : { rate_Hz: rate }),
    ...(declaredRate_Hz === undefined ? {} : { declaredRate_Hz }),
    repeated: occurrence(repeats, repeats === 0 ? undefined : lineOf(firstRepeat)),
    backward: occurrence(back, back === 0 ? undefined : lineOf(firstBack)),
    gaps: isUneven
      ? { count: 0, missing: 0, longest_s: 0 }
      : { ...occurrence(gaps.count, gapLine), missing: gaps.missing, longest_s: gaps.longest },
  };
  const own = [...wrapNotices(wraps, manner), ...spreadNotices(spread)];
  return {
    kept,
    facts,
    notices: [...own, ...noticesOf(facts, isUneven, usual, n)],
    isSettled: own.length > 0,
  };
}

/** Share of the interval by which a time may lie off even steps in a log that is even. */
export const evenWithin = 0.1;
/** Fewer rows are looked at one by one. */
export const fewestEven = 3;

/** Whether every time lies near even steps from the first to the last: then none repeats, lies behind or is missing. */
function isEven(time_s: Float64Array, first_s: number, step_s: number): boolean {
  if (time_s.length < fewestEven || !(step_s > 0)) return false;
  return time_s.every((t, i) => Math.abs(t - (first_s + i * step_s)) < evenWithin * step_s);
}

/**
 * What is to be said of a log whose times lie near even steps, as `examineTime` finds them.
 * @param step_s  from one row to the next
 */
export function evenTime(step_s: number, declaredRate_Hz: number | undefined): Omit<TimeBase, "kept"> {
  const facts: TimeFacts = {
    rate_Hz: 1 / step_s,
    ...(declaredRate_Hz === undefined ? {} : { declaredRate_Hz }),
    repeated: { count: 0 },
    backward: { count: 0 },
    gaps: { count: 0, missing: 0, longest_s: 0 },
  };
  return { facts, notices: noticesOf(facts, false, step_s, 0), isSettled: false };
}

interface Wraps {
  readonly count: number;
  readonly firstRow: number;
  readonly period_s: number;
}

/** Lets a counter that began again from 0 go on. */
function goOn(time_s: Float64Array, { wraps_s }: TimeManner): Wraps | undefined {
  if (wraps_s.length === 0) return undefined;
  let largest = 0;
  for (const t of time_s) if (t > largest) largest = t;
  const period = wraps_s.find((reach) => largest < reach && largest >= nearWrap * reach);
  if (period === undefined) return undefined;
  let added = 0;
  let count = 0;
  let firstRow = 0;
  let before = Number.NaN;
  for (let i = 0; i < time_s.length; i++) {
    const t = time_s[i] ?? 0;
    if (before >= nearWrap * period && t <= (1 - nearWrap) * period) {
      added += period;
      if (count++ === 0) firstRow = i;
    }
    before = t;
    time_s[i] = t + added;
  }
  return count === 0 ? undefined : { count, firstRow, period_s: period };
}

interface Spread {
  readonly bursts: number;
  readonly rows: number;
  readonly longest_s: number;
}

/** Spreads rows of one stamp evenly up to the next stamp; the last burst as the one before it. */
function spreadBursts(time_s: Float64Array): Spread | undefined {
  const n = time_s.length;
  let bursts = 0;
  let rows = 0;
  let longest = 0;
  let step = 0;
  for (let i = 0; i < n; ) {
    const t = time_s[i] ?? 0;
    let end = i + 1;
    while (end < n && time_s[end] === t) end++;
    const next = time_s[end];
    if (next !== undefined && next > t) step = (next - t) / (end - i);
    for (let k = i + 1; k < end; k++) time_s[k] = t + (k - i) * step;
    if (end - i > 1) {
      bursts++;
      rows += end - i;
      longest = Math.max(longest, step * (end - i));
    }
    i = end;
  }
  return bursts === 0 ? undefined : { bursts, rows, longest_s: longest };
}

function wrapNotices(wraps: Wraps | undefined, { name, lineOf }: TimeManner): readonly Notice[] {
  if (wraps === undefined) return [];
  const { count, firstRow, period_s } = wraps;
  return [
    {
      code: "log-counter-wrapped",
      text: `the counter "${name}" began again from 0 ${count === 1 ? "once" : `${count} times`}, ${count === 1 ? "" : "first "}in line ${lineOf(firstRow)}; ${brief(period_s)} s were added at each turn`,
      field: "mapping.time.wraps_at",
    },
  ];
}

function spreadNotices(spread: Spread | undefined): readonly Notice[] {
  if (spread === undefined) return [];
  const { bursts, rows, longest_s } = spread;
  return [
    {
      code: "log-bursts-spread",
      text: `${rows} rows stand in ${bursts} bursts of one stamp each; they were spread evenly up to the next stamp, each stamp as that of its first row. If the logger stamps the last row, every time here is late by up to ${ms(longest_s)}`,
      field: "mapping.time.bursts",
    },
  ];
}

/** Median interval, of every so many where the log is long. */
function usualOf(intervals: Float64Array): number {
  if (intervals.length === 0) return 0;
  const stride = Math.ceil(intervals.length / mostIntervals);
  const some = Float64Array.from(
    { length: Math.ceil(intervals.length / stride) },
    (_, i) => intervals[i * stride] ?? 0,
  );
  return median(some);
}

function occurrence(count: number, firstLine: number | undefined): Occurrence {
  return { count, ...(firstLine === undefined ? {} : { firstLine }) };
}

function gapsOf(intervals: Float64Array, usual: number) {
  let count = 0;
  let missing = 0;
  let longest = 0;
  let lost = 0;
  let sum = 0;
  let uneven = 0;
  let first: number | undefined;
  for (let i = 0; i < intervals.length; i++) {
    const interval = intervals[i] ?? 0;
    sum += interval;
    if (Math.abs(interval - usual) > 0.2 * usual) uneven++;
    if (!(interval > gapFrom * usual)) continue;
    count++;
    missing += Math.max(1, Math.round(interval / usual) - 1);
    longest = Math.max(longest, interval);
    lost += interval;
    first ??= i;
  }
  return { count, missing, longest, lost, sum, uneven, first };
}

function noticesOf(facts: TimeFacts, isUneven: boolean, usual: number, rows: number): readonly Notice[] {
  const notices: Notice[] = [];
  const { repeated, backward, gaps, rate_Hz: rate, declaredRate_Hz: declared } = facts;
  refuseOtherUnit(rate, declared);
  const first = (what: Occurrence) => `first in line ${what.firstLine ?? "?"}`;
  if (gaps.count > 0) {
    notices.push({
      code: "log-gap",
      text: `${gaps.count} gap${gaps.count === 1 ? "" : "s"} in time, ${first(gaps)}: about ${gaps.missing} samples are missing, the longest gap is ${ms(gaps.longest_s)}; nothing was put in their place`,
    });
  }
  if (repeated.count > 0) {
    const each = rows / Math.max(1, rows - repeated.count);
    const coarse =
      each > 1.5
        ? `; each stamp stands about ${each.toFixed(1)} times, so the clock is coarser than the sampling`
        : "";
    notices.push({
      code: "log-repeated-stamp",
      text: `${repeated.count} row${repeated.count === 1 ? " repeats" : "s repeat"} the time of the row above, ${first(repeated)}; both rows were kept, at that same time${coarse}`,
    });
  }
  if (backward.count > 0) {
    notices.push({
      code: "log-backward-stamp",
      text: `${backward.count} row${backward.count === 1 ? "" : "s"} lie${backward.count === 1 ? "s" : ""} before a row above, ${first(backward)}; set aside and listed`,
    });
  }
  if (isUneven) {
    notices.push({
      code: "log-uneven",
      text: `the samples are uneven in time, usually ${ms(usual)} apart; gaps were not counted`,
    });
  }
  if (rate !== undefined && declared !== undefined && Math.abs(rate / declared - 1) > sameRate) {
    notices.push({
      code: "log-rate-differs",
      text: `the log declares ${brief(declared)} Hz, its own time column gives ${brief(rate)} Hz; the time column was used`,
    });
  }
  return notices;
}

/** A rate that differs from the declared one by a power of 1000: the unit of the time column is another. */
function refuseOtherUnit(rate: number | undefined, declared: number | undefined): void {
  if (rate === undefined || declared === undefined || !(declared > 0)) return;
  const power = Math.round(Math.log10(rate / declared) / 3);
  if (power === 0 || Math.abs(rate / declared / 1000 ** power - 1) > sameRate) return;
  throw new Refusal([
    {
      code: "log-time-unit-contradicted",
      where: {},
      found: `the log declares ${brief(declared)} Hz, its time column as mapped gives ${brief(rate)} Hz: a factor of 1000, as between s, ms and us`,
      allowed: "Times that are wrong by a thousand make every time of the stroke wrong by a thousand.",
      mend: `Map the unit that the column has, for example time.unit: ${power < 0 ? "ms" : "s"}. If the column is right as mapped, write its own rate: time.declared_rate: ${brief(rate)} Hz`,
    },
  ]);
}

function refuseBackward(
  time_s: Float64Array,
  row: number,
  count: number,
  { name, lineOf }: TimeManner,
): never {
  const line = lineOf(row);
  const [first, last] = [time_s[0] ?? 0, time_s[time_s.length - 1] ?? 0];
  if (last < first && count >= newestFirst * (time_s.length - 1)) {
    throw new Refusal([
      {
        code: "log-time-backward",
        where: { line },
        found: `"${name}" falls from row to row, from ${brief(first)} s to ${brief(last)} s: the newest row stands first`,
        allowed: "Time rises from row to row; read as it stands, an opening would look like a closing.",
        mend: `Sort the rows by "${name}", oldest first, and import the sorted log.`,
      },
    ]);
  }
  const fault: Fault = {
    code: "log-time-backward",
    where: { line },
    found: `"${name}" steps back in line ${line}, from ${brief(time_s[row - 1] ?? 0)} s to ${brief(time_s[row] ?? 0)} s, and ${count} rows lie before a row above them`,
    allowed:
      "Time rises from row to row. A few rows out of order are set aside; this many mean a second recording or another column.",
    mend: "Part the file at that line, or map the time to the sample number with its rate.",
  };
  throw new Refusal([fault]);
}

function ms(seconds: number): string {
  return seconds < 1 ? `${brief(seconds * 1000)} ms` : `${brief(seconds)} s`;
}

function brief(value: number): string {
  return String(Number(value.toPrecision(5)));
}
