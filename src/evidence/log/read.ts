/** A log as channels in SI units on one time base, with everything that was not read listed. */
import { type Fault, FaultCollector, type Notice, Refusal } from "../../fault/index.js";
import { type Pressure, parseQuantity } from "../../quantity/index.js";
import { readCell, readSwitch } from "./cell.js";
import { findColumn, isFault } from "./columns.js";
import { cellsOf, linesOf } from "./lines.js";
import { type ChannelMapping, type Mapping, mappingFault } from "./mapping.js";
import { declaredRate } from "./metadata.js";
import type { RoleId } from "./roles.js";
import { type RowClock, rowClock } from "./rowTime.js";
import { type Conversion, conversionOf, readingInSi } from "./scale.js";
import { type Column, layTable, type MetadataLine, type Table } from "./table.js";
import { examineTime, type TimeFacts } from "./timeBase.js";

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

interface Source {
  readonly channel: ChannelMapping;
  readonly column: Column;
  readonly field: string;
  readonly readings: number[];
}

/** Reads a table that is laid out already. */
export function readTable(table: Table, mapping: Mapping): Log {
  const faults: Fault[] = [];
  const clock = rowClock(
    table,
    mapping.time,
    mapping.dialect.decimal,
    declaredRate(table.metadata),
    "mapping.time",
  );
  if (isFaults(clock)) faults.push(...clock);
  const sources = mapping.channels.flatMap((channel, i): Source[] => {
    const field = `mapping.channels[${i}]`;
    const column = findColumn(table, channel.column, `${field}.column`);
    if (isFault(column)) {
      faults.push(column);
      return [];
    }
    const changed = unitChanged(channel, column, field);
    if (changed !== undefined) faults.push(changed);
    return [{ channel, column, field, readings: [] }];
  });
  const rows = readRows(table, isFaults(clock) ? undefined : clock, sources);
  const ambient = ambientOf(mapping, faults);
  const conversions = sources.map((source) => {
    const conversion = conversionOf(source.channel, ambient, source.field, rangeOf(source.readings));
    if (!("curve" in conversion)) faults.push(...conversion);
    return conversion;
  });
  if (faults.length > 0 || isFaults(clock)) throw new Refusal(faults);
  if (rows.lines.length === 0) throw new Refusal([noRows(table, clock)]);
  const base = examineTime(
    rows.time_s,
    rows.lines,
    clock.declaredRate_Hz,
    clock.column?.name ?? "row number",
  );
  const keep = base.kept;
  const kept = (values: readonly number[]) => values.filter((_, i) => keep[i] === true);
  const channels = sources.map((source, i): LogChannel => {
    const conversion = conversions[i];
    const readings = kept(source.readings);
    const isSi = conversion !== undefined && "curve" in conversion;
    const values = Float64Array.from(readings, (reading) =>
      isSi ? readingInSi(conversion, reading) : reading,
    );
    const u = isSi ? conversion.standardUncertainty : undefined;
    return {
      role: source.channel.role,
      name: source.column.name,
      unit: isSi ? conversion.unit : "",
      values,
      ...(u === undefined ? {} : { standardUncertainty: u }),
    };
  });
  const backward = rows.lines.flatMap((line, i): Rejected[] =>
    keep[i] === true
      ? []
      : [{ line, text: `${rows.time_s[i] ?? 0} s`, reason: "its time lies before that of a row above" }],
  );
  const lines = Int32Array.from(kept(rows.lines));
  return {
    time_s: Float64Array.from(kept(rows.time_s)),
    channels,
    rows: lines.length,
    lines,
    time: base.facts,
    metadata: table.metadata,
    rejected: [...rows.rejected, ...backward].sort(
      (a, b) => a.line - b.line || (a.column ?? 0) - (b.column ?? 0),
    ),
    notices: [
      ...clock.notices(),
      ...base.notices,
      ...rejectionNotices(rows.rejected),
      ...blankNotices(rows.blanks),
      ...footerNotices(table),
      ...unmappedNotices(table, sources, clock),
      ...conversionNotices(sources, conversions),
    ],
  };
}

interface Rows {
  readonly time_s: readonly number[];
  readonly lines: readonly number[];
  readonly rejected: readonly Rejected[];
  readonly blanks: ReadonlyMap<string, { count: number; firstLine: number }>;
}

function readRows(table: Table, clock: RowClock | undefined, sources: readonly Source[]): Rows {
  const { delimiter, decimal } = table.dialect;
  const needed = table.columns.length;
  const time_s: number[] = [];
  const lines: number[] = [];
  const rejected: Rejected[] = [];
  const blanks = new Map<string, { count: number; firstLine: number }>();
  for (const { line, text } of table.rows) {
    if (text.trim() === "") continue;
    const cells = cellsOf(text, delimiter);
    const extra = cells.slice(needed).findIndex((cell) => cell !== "");
    if (cells.length < needed || extra >= 0) {
      const reason = `${cells.length} cells where the table has ${needed} columns`;
      rejected.push({ line, text: text.slice(0, 120), reason });
      continue;
    }
    const cell = clock?.column === undefined ? "" : (cells[clock.column.index - 1] ?? "");
    const t = clock?.read(cell, lines.length) ?? (clock === undefined ? 0 : undefined);
    if (t === undefined) {
      rejected.push({ line, text: text.slice(0, 120), reason: `its time "${cell}" cannot be read` });
      continue;
    }
    time_s.push(t);
    lines.push(line);
    for (const source of sources) {
      const written = cells[source.column.index - 1] ?? "";
      const reading = readCell(written, decimal);
      const switched = source.channel.role === "command" ? readSwitch(written) : undefined;
      const value = reading.kind === "number" ? reading.value : (switched ?? Number.NaN);
      source.readings.push(value);
      if (!Number.isNaN(value)) continue;
      if (reading.kind === "blank") {
        const seen = blanks.get(source.column.name);
        if (seen === undefined) blanks.set(source.column.name, { count: 1, firstLine: line });
        else seen.count++;
      } else {
        const reason = reading.kind === "marker" ? reading.means : "not a number";
        rejected.push({ line, column: source.column.index, text: written, reason });
      }
    }
  }
  return { time_s, lines, rejected, blanks };
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

function rangeOf(readings: readonly number[]): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const reading of readings) {
    if (reading < low) low = reading;
    if (reading > high) high = reading;
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

function rejectionNotices(rejected: readonly Rejected[]): readonly Notice[] {
  const groups = new Map<string, { count: number; first: Rejected }>();
  for (const cell of rejected) {
    const what =
      cell.column === undefined ? ` set aside: ${cell.reason}` : ` with "${cell.text}", ${cell.reason}`;
    const group = groups.get(what);
    if (group === undefined) groups.set(what, { count: 1, first: cell });
    else group.count++;
  }
  return [...groups].map(([what, { count, first }]) => ({
    code: first.column === undefined ? "log-row-rejected" : "log-cell-rejected",
    text: `${count} ${first.column === undefined ? "row" : "cell"}${count === 1 ? "" : "s"}${what}; ${count === 1 ? "" : "first "}in line ${first.line}`,
  }));
}

function blankNotices(blanks: Rows["blanks"]): readonly Notice[] {
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

function unmappedNotices(table: Table, sources: readonly Source[], clock: RowClock): readonly Notice[] {
  const used = new Set(sources.map((source) => source.column.index));
  if (clock.column !== undefined) used.add(clock.column.index);
  const unused = table.columns.filter((column) => !used.has(column.index));
  if (unused.length === 0) return [];
  return [
    {
      code: "log-unmapped",
      text: `not in the mapping: ${unused.map((column) => `"${column.name}"`).join(", ")}`,
    },
  ];
}

function conversionNotices(
  sources: readonly Source[],
  conversions: readonly (Conversion | readonly Fault[])[],
): readonly Notice[] {
  return sources.flatMap((source, i): Notice[] => {
    const conversion = conversions[i];
    if (conversion === undefined || !("curve" in conversion) || conversion.note === undefined) return [];
    return [
      {
        code: "log-unit-read",
        text: `"${source.column.name}": ${conversion.note}`,
        field: `${source.field}.unit`,
      },
    ];
  });
}
