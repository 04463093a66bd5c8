/** A log as channels in SI units on one time base, with everything that was not read listed. */
import { type Fault, FaultCollector, type Notice, Refusal } from "../../fault/index.js";
import { type Pressure, parseQuantity } from "../../quantity/index.js";
import { type Decimal, readCell, readSwitch } from "./cell.js";
import { findColumn, isFault } from "./columns.js";
import { cellsOf, linesOf } from "./lines.js";
import { type ChannelMapping, type Mapping, mappingFault } from "./mapping.js";
import { declaredRate } from "./metadata.js";
import type { RoleId } from "./roles.js";
import { type RowClock, rowClock } from "./rowTime.js";
import { type Conversion, conversionOf, readingInSi } from "./scale.js";
import { type Column, layTable, type MetadataLine, type Table } from "./table.js";
import { examineTime, type TimeBase, type TimeFacts } from "./timeBase.js";

/** One channel of a log. A sample that the log does not hold is NaN. */
export interface LogChannel {
  readonly role: RoleId;
  /** Name of its column, without the unit. */
  readonly name: string;
  /** SI unit of the values; the file's own for a command and for `other`. */
  readonly unit: string;
  readonly values: Float64Array;
  /** Of the sensor, beside the noise: by its calibration or as stated; in `unit`. Absent where not known. */
  readonly standardUncertainty?: number;
}

/** A cell or row that was not read. */
export interface Rejected {
  readonly line: number;
  /** Column, from 1; absent for a whole row. */
  readonly column?: number;
  readonly text: string;
  readonly reason: string;
}

export interface Log {
  /** Not falling [s]; from the log's own zero, or from its first stamp. */
  readonly time_s: Float64Array;
  readonly channels: readonly LogChannel[];
  readonly rows: number;
  /** Line of each row in the file. */
  readonly lines: Int32Array;
  readonly time: TimeFacts;
  readonly metadata: readonly MetadataLine[];
  /** Every cell and row that stands in the table and not in the channels. */
  readonly rejected: readonly Rejected[];
  readonly notices: readonly Notice[];
}

/** A log that is stored in a file: all but its values, which are too many to hold. */
export interface StoredHead {
  readonly channels: readonly Omit<LogChannel, "values">[];
  /** Names of the columns that hold the values, in the order of the channels. */
  readonly names: readonly string[];
  readonly rows: number;
  readonly time: TimeFacts;
  readonly metadata: readonly MetadataLine[];
  /** Rows that were not read, and of the cells the first of each text and column. */
  readonly rejected: readonly Rejected[];
  readonly rejectedCount: number;
  readonly notices: readonly Notice[];
}

/**
 * Reads a log by a mapping.
 *
 * @param text     of the log (see `decodeText`)
 * @param mapping  proposed by `inspectLog` or remembered; columns are found by name, in any order
 * Refuses  columns that are not there, and whatever the mapping leaves open: a unit, a scale, gauge or
 *          absolute, a sampling rate; every fault at once
 */
export function readLog(text: string, mapping: Mapping): Log {
  return readTable(layTable(linesOf(text), mapping.dialect), mapping);
}

/** One channel of a mapping, with its column and its conversion. */
export interface PlannedChannel {
  readonly channel: ChannelMapping;
  readonly column: Column;
  readonly field: string;
  readonly conversion: Conversion;
}

/** How a table is read: what a mapping says, held against the table and worked out. */
export interface LogPlan {
  readonly table: Table;
  readonly clock: RowClock;
  readonly channels: readonly PlannedChannel[];
}

/**
 * Works out how a table is read.
 * Refuses  as `readLog`, but for what only its rows show
 */
export function planLog(table: Table, mapping: Mapping): LogPlan {
  const faults: Fault[] = [];
  const clock = rowClock(table, mapping.time, declaredRate(table.metadata), "mapping.time");
  if (isFaults(clock)) faults.push(...clock);
  const sources = mapping.channels.flatMap((channel, i) => {
    const field = `mapping.channels[${i}]`;
    const column = findColumn(table, channel.column, `${field}.column`);
    if (isFault(column)) {
      faults.push(column);
      return [];
    }
    const changed = unitChanged(channel, column, field);
    if (changed !== undefined) faults.push(changed);
    return [{ channel, column, field }];
  });
  const ambient = ambientOf(mapping, faults);
  const channels = sources.flatMap((source): PlannedChannel[] => {
    const range = () => rangeOf(table, source.column);
    const conversion = conversionOf(source.channel, ambient, source.field, range);
    if ("curve" in conversion) return [{ ...source, conversion }];
    faults.push(...conversion);
    return [];
  });
  if (faults.length > 0 || isFaults(clock)) throw new Refusal(faults);
  return { table, clock, channels };
}

/** Reads a table that is laid out already. */
export function readTable(table: Table, mapping: Mapping): Log {
  const plan = planLog(table, mapping);
  const { clock } = plan;
  const rows = readRows(plan);
  const settled = settleRows(plan, Float64Array.from(rows.time_s), (row) => rows.lines[row] ?? 0);
  const { kept } = settled.base;
  const isKept = (_: number, i: number) => kept[i] === 1;
  const channels = plan.channels.map((planned, i): LogChannel => {
    const readings = (rows.readings[i] ?? []).filter(isKept);
    return {
      ...channelHead(planned),
      values: Float64Array.from(readings, (reading) => readingInSi(planned.conversion, reading)),
    };
  });
  const lines = Int32Array.from(rows.lines.filter(isKept));
  return {
    time_s: settled.time_s.filter(isKept),
    channels,
    rows: lines.length,
    lines,
    time: settled.base.facts,
    metadata: table.metadata,
    rejected: [...rows.rejected, ...settled.rejected].sort(
      (a, b) => a.line - b.line || (a.column ?? 0) - (b.column ?? 0),
    ),
    notices: [
      ...clock.notices(),
      ...settled.base.notices,
      ...rejectionNotices(rows.rejected),
      ...blankNotices(rows.blanks),
      ...planNotices(plan),
    ],
  };
}

/** Role, name, unit and uncertainty of a channel as it is read. */
export function channelHead({ channel, column, conversion }: PlannedChannel): Omit<LogChannel, "values"> {
  const { unit, standardUncertainty: u } = conversion;
  return {
    role: channel.role,
    name: column.name,
    unit,
    ...(u === undefined ? {} : { standardUncertainty: u }),
  };
}

/** Standard uncertainty of each channel of a mapping, in SI; undefined where nobody said. */
export function channelUncertainties(mapping: Mapping): readonly (number | undefined)[] {
  const ambient = ambientOf(mapping, []);
  return mapping.channels.map((channel, i) => {
    const conversion = conversionOf(channel, ambient, `mapping.channels[${i}]`, () => [0, 0]);
    return "curve" in conversion ? conversion.standardUncertainty : undefined;
  });
}

/** Rows by their time, as `examineTime` settles them in place, and those set aside. Refuses no rows. */
export function settleRows(
  { table, clock }: LogPlan,
  time_s: Float64Array,
  lineOf: (row: number) => number,
): { readonly base: TimeBase; readonly time_s: Float64Array; readonly rejected: readonly Rejected[] } {
  if (time_s.length === 0) throw new Refusal([noRows(table, clock)]);
  const base = examineTime(time_s, {
    declaredRate_Hz: clock.declaredRate_Hz,
    name: clock.column?.name ?? "row number",
    wraps_s: clock.wraps_s,
    isSpread: clock.isSpread,
    lineOf,
  });
  const rejected: Rejected[] = [];
  if (base.facts.backward.count > 0) {
    base.kept.forEach((isKept, i) => {
      if (isKept === 0)
        rejected.push({
          line: lineOf(i),
          text: `${time_s[i] ?? 0} s`,
          reason: "its time lies before that of a row above",
        });
    });
  }
  return { base, time_s, rejected };
}

/** What is to be said of a table and its mapping whatever stands in the rows. */
export function planNotices(plan: LogPlan): readonly Notice[] {
  return [...footerNotices(plan.table), ...unmappedNotices(plan), ...conversionNotices(plan)];
}

/** Blank cells of each column. */
export type Blanks = ReadonlyMap<string, { readonly count: number; readonly firstLine: number }>;

interface Rows {
  readonly time_s: readonly number[];
  readonly lines: readonly number[];
  /** Of each channel, in the order of the plan. */
  readonly readings: readonly (readonly number[])[];
  readonly rejected: readonly Rejected[];
  readonly blanks: Blanks;
}

function readRows({ table, clock, channels }: LogPlan): Rows {
  const { delimiter, decimal } = table.dialect;
  const needed = table.columns.length;
  const time_s: number[] = [];
  const lines: number[] = [];
  const rejected: Rejected[] = [];
  const readings: number[][] = channels.map(() => []);
  const blanks = new Map<string, { count: number; firstLine: number }>();
  for (const { line, text } of table.rows) {
    if (text.trim() === "") continue;
    const cells = cellsOf(text, delimiter);
    const extra = cells.slice(needed).findIndex((cell) => cell !== "");
    if (cells.length < needed || extra >= 0) {
      rejected.push({ line, text: text.slice(0, 120), reason: widthReason(cells.length, needed) });
      continue;
    }
    const cell = clock.column === undefined ? "" : (cells[clock.column.index - 1] ?? "");
    const date = clock.dateColumn === undefined ? "" : (cells[clock.dateColumn.index - 1] ?? "");
    const t = clock.read(cell, lines.length, date);
    if (t === undefined) {
      rejected.push({ line, text: text.slice(0, 120), reason: timeReason(cell) });
      continue;
    }
    time_s.push(t);
    lines.push(line);
    for (const [i, { channel, column }] of channels.entries()) {
      const written = cells[column.index - 1] ?? "";
      const found = readReading(written, channel.role, decimal);
      const isMissing = "value" in found && (channel.missing?.includes(found.value) ?? false);
      readings[i]?.push("value" in found && !isMissing ? found.value : Number.NaN);
      if (isMissing) rejected.push({ line, column: column.index, text: written, reason: missingReason });
      else if ("value" in found) continue;
      else if (found.reason === "") {
        const seen = blanks.get(column.name);
        if (seen === undefined) blanks.set(column.name, { count: 1, firstLine: line });
        else seen.count++;
      } else rejected.push({ line, column: column.index, text: written, reason: found.reason });
    }
  }
  return { time_s, lines, readings, rejected, blanks };
}

export const missingReason = "stands for no value";
export const timeReason = (cell: string): string => `its time "${cell}" cannot be read`;
export const widthReason = (found: number, needed: number): string =>
  `${found} cells where the table has ${needed} columns`;

/** A cell of a channel as a number, or why it is none; the reason is empty for a blank. */
export function readReading(
  written: string,
  role: RoleId,
  decimal: Decimal,
): { readonly value: number } | { readonly reason: string } {
  const reading = readCell(written, decimal);
  if (reading.kind === "number") return { value: reading.value };
  const switched = role === "command" ? readSwitch(written) : undefined;
  if (switched !== undefined) return { value: switched };
  if (reading.kind === "blank") return { reason: "" };
  return { reason: reading.kind === "marker" ? reading.means : "not a number" };
}

const plainForm = /^[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d+)?$/;

/** A number in a form that other programs take: no grouped thousands, no D in place of E. */
export function plainCell(cell: string, decimal: Decimal): string {
  if (plainForm.test(cell)) return cell;
  const reading = readCell(cell, decimal);
  if (reading.kind !== "number") return cell;
  const text = String(reading.value);
  return decimal === "comma" ? text.replace(".", ",") : text;
}

/** Columns of a plan, from 1, that hold or may hold something else than plain numbers. */
export function oddColumnsIn({ table, channels }: LogPlan): ReadonlySet<number> {
  const odd = new Set(
    channels.flatMap(({ channel, column }) => (channel.missing === undefined ? [] : [column.index])),
  );
  for (const { text } of table.rows) {
    const cells = cellsOf(text, table.dialect.delimiter);
    if (cells.length < table.columns.length) continue;
    for (const { column } of channels) {
      const cell = cells[column.index - 1] ?? "";
      if (!plainForm.test(cell) || readCell(cell, table.dialect.decimal).kind !== "number")
        odd.add(column.index);
    }
  }
  return odd;
}

/** A file that states another unit than the mapping was made for. */
function unitChanged(channel: ChannelMapping, column: Column, field: string): Fault | undefined {
  const { unit } = channel;
  if (unit === undefined || column.unit === undefined || unit === column.unit) return undefined;
  if (unit.replace(/ ?\((a|g)\)$/, "") === column.unit) return undefined;
  return mappingFault(
    "log-unit-differs",
    `${field}.unit`,
    `the log states "${column.name}" in ${column.unit}, the mapping reads it in ${unit}`,
    "One of the two is wrong, and a factor would slip in unseen.",
    `Write unit: ${column.unit} if the log is right; if not, correct the head of the log's copy.`,
  );
}

function ambientOf(mapping: Mapping, faults: Fault[]): Pressure | undefined {
  const words = mapping.ambient_pressure;
  if (words === undefined) return undefined;
  const collector = new FaultCollector();
  const value = collector.attempt("mapping.ambient_pressure", () => parseQuantity(words, "pressure"));
  faults.push(...collector.faults());
  return value === undefined ? undefined : (value as Pressure);
}

function isFaults(clock: RowClock | readonly Fault[]): clock is readonly Fault[] {
  return !("read" in clock);
}

/** Rows that a range is taken from; it is only told. */
const rangeRows = 100_000;

/** Smallest and largest reading of a column, for the advice. */
function rangeOf({ rows, dialect }: Table, { index }: Column): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { text } of rows.slice(0, rangeRows)) {
    const reading = readCell(cellsOf(text, dialect.delimiter)[index - 1] ?? "", dialect.decimal);
    if (reading.kind !== "number") continue;
    low = Math.min(low, reading.value);
    high = Math.max(high, reading.value);
  }
  return [low, high];
}

function noRows(table: Table, clock: RowClock): Fault {
  const row = table.rows[0];
  return {
    code: "log-time-unreadable",
    where: row === undefined ? {} : { line: row.line, sourceLine: row.text.slice(0, 200) },
    found: `no row has a time that can be read in column "${clock.column?.name ?? "row number"}"`,
    allowed:
      "A time is a number with the unit of the mapping, a stamp like 2031-04-18T10:15:30.250, or a sample number.",
    mend: "Correct mapping.time: its column and its kind.",
  };
}

/** Cells and rows that were not read, those of one text and reason together. */
export interface RejectedGroup {
  readonly count: number;
  readonly first: Rejected;
}

function rejectionNotices(rejected: readonly Rejected[]): readonly Notice[] {
  const groups = new Map<string, { count: number; first: Rejected }>();
  for (const cell of rejected) {
    const what = `${cell.column === undefined ? "" : cell.text} ${cell.reason}`;
    const group = groups.get(what);
    if (group === undefined) groups.set(what, { count: 1, first: cell });
    else group.count++;
  }
  return groupNotices([...groups.values()]);
}

/** One notice for each group. */
export function groupNotices(groups: readonly RejectedGroup[]): readonly Notice[] {
  return groups.map(({ count, first }) => {
    const isRow = first.column === undefined;
    const what = isRow ? ` set aside: ${first.reason}` : ` with "${first.text}", ${first.reason}`;
    return {
      code: isRow ? "log-row-rejected" : "log-cell-rejected",
      text: `${count} ${isRow ? "row" : "cell"}${count === 1 ? "" : "s"}${what}; ${count === 1 ? "" : "first "}in line ${first.line}`,
    };
  });
}

export function blankNotices(blanks: Blanks): readonly Notice[] {
  return [...blanks].map(([name, { count, firstLine }]) => ({
    code: "log-blank",
    text: `"${name}" is blank in ${count} row${count === 1 ? "" : "s"}, first in line ${firstLine}; kept as missing`,
  }));
}

function footerNotices(table: Table): readonly Notice[] {
  const first = table.footer[0];
  if (first === undefined) return [];
  const { length } = table.footer;
  return [
    {
      code: "log-footer",
      text: `${length} line${length === 1 ? "" : "s"} behind the table ${length === 1 ? "is" : "are"} not part of it, from line ${first.line}: "${first.text.trim().slice(0, 60)}"`,
    },
  ];
}

function unmappedNotices({ table, channels, clock }: LogPlan): readonly Notice[] {
  const used = new Set(channels.map(({ column }) => column.index));
  if (clock.column !== undefined) used.add(clock.column.index);
  if (clock.dateColumn !== undefined) used.add(clock.dateColumn.index);
  const unused = table.columns.filter((column) => !used.has(column.index));
  if (unused.length === 0) return [];
  return [
    {
      code: "log-unmapped",
      text: `not in the mapping: ${unused.map((column) => `"${column.name}"`).join(", ")}`,
    },
  ];
}

function conversionNotices({ channels }: LogPlan): readonly Notice[] {
  return channels.flatMap(({ conversion: { note }, column, field }): Notice[] =>
    note === undefined
      ? []
      : [{ code: "log-unit-read", text: `"${column.name}": ${note}`, field: `${field}.unit` }],
  );
}
