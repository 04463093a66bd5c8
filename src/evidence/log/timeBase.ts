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
  /** False for a row set aside because its time steps back. */
  readonly kept: readonly boolean[];
  readonly facts: TimeFacts;
  readonly notices: readonly Notice[];
}

/** An interval longer than this many usual ones is a gap. */
const gapFrom = 1.5;
/** Rates that differ by more than this are different rates. */
const sameRate = 0.01;
/** A log whose clock steps back more often, or for longer, than this is two logs. */
const mostBackward = 0.01;
/** Share of repeated stamps from which the usual interval is that of the clock, not of the samples. */
const manyRepeats = 0.1;
/** Share of uneven intervals above which gaps are not counted one by one. */
const mostUneven = 0.2;

/**
 * Examines the time of rows.
 *
 * A row whose time lies before that of a row above it is set aside and listed; a row whose time repeats
 * is kept, at that same time. Nothing is invented for a gap.
 *
 * @param time_s  of each row, finite;  @param lines  line of each row in the file
 * @param name    of the column, for the words
 * Refuses  a log in which more than one row in a hundred lies behind
 */
export function examineTime(
  time_s: ArrayLike<number>,
  lines: ArrayLike<number>,
  declaredRate_Hz: number | undefined,
  name: string,
): TimeBase {
  const n = time_s.length;
  const kept: boolean[] = [];
  let latest = Number.NEGATIVE_INFINITY;
  let back = 0;
  let firstBack: number | undefined;
  const intervals: number[] = [];
  const intervalLines: number[] = [];
  let repeats = 0;
  let firstRepeat: number | undefined;
  for (let i = 0; i < n; i++) {
    const t = time_s[i] ?? 0;
    const line = lines[i] ?? 0;
    kept.push(t >= latest);
    if (t < latest) {
      back++;
      firstBack ??= line;
      continue;
    }
    if (t === latest) {
      repeats++;
      firstRepeat ??= line;
    } else if (i > 0 && Number.isFinite(latest)) {
      intervals.push(t - latest);
      intervalLines.push(line);
    }
    latest = t;
  }
  if (back > Math.max(2, mostBackward * n)) refuseBackward(time_s, lines, back, firstBack ?? 0, name);
  const usual = intervals.length === 0 ? 0 : median(intervals);
  const uneven = intervals.filter((interval) => Math.abs(interval - usual) > 0.2 * usual).length;
  const gaps = gapsOf(intervals, intervalLines, usual);
  const isUneven = uneven > mostUneven * intervals.length;
  const covered = intervals.reduce((a, b) => a + b, 0) - gaps.lost;
  const counted = intervals.length + repeats - gaps.count;
  const isCounted = isUneven || repeats > manyRepeats * n;
  const rate = covered > 0 && isCounted ? counted / covered : usual > 0 ? 1 / usual : undefined;
  const facts: TimeFacts = {
    ...(rate === undefined ? {} : { rate_Hz: rate }),
    ...(declaredRate_Hz === undefined ? {} : { declaredRate_Hz }),
    repeated: occurrence(repeats, firstRepeat),
    backward: occurrence(back, firstBack),
    gaps: isUneven
      ? { count: 0, missing: 0, longest_s: 0 }
      : { ...occurrence(gaps.count, gaps.firstLine), missing: gaps.missing, longest_s: gaps.longest },
  };
  return { kept, facts, notices: noticesOf(facts, isUneven, usual, n) };
}

function occurrence(count: number, firstLine: number | undefined): Occurrence {
  return { count, ...(firstLine === undefined ? {} : { firstLine }) };
}

function gapsOf(intervals: readonly number[], lines: readonly number[], usual: number) {
  let count = 0;
  let missing = 0;
  let longest = 0;
  let lost = 0;
  let firstLine: number | undefined;
  for (const [i, interval] of intervals.entries()) {
    if (!(interval > gapFrom * usual)) continue;
    count++;
    missing += Math.max(1, Math.round(interval / usual) - 1);
    longest = Math.max(longest, interval);
    lost += interval;
    firstLine ??= lines[i];
  }
  return { count, missing, longest, lost, firstLine };
}

function noticesOf(facts: TimeFacts, isUneven: boolean, usual: number, rows: number): readonly Notice[] {
  const notices: Notice[] = [];
  const { repeated, backward, gaps, rate_Hz: rate, declaredRate_Hz: declared } = facts;
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

function refuseBackward(
  time_s: ArrayLike<number>,
  lines: ArrayLike<number>,
  count: number,
  line: number,
  name: string,
): never {
  const at = Array.from(lines).indexOf(line);
  const fault: Fault = {
    code: "log-time-backward",
    where: { line },
    found: `"${name}" steps back in line ${line}, from ${brief(time_s[at - 1] ?? 0)} s to ${brief(time_s[at] ?? 0)} s, and ${count} rows lie before a row above them`,
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
