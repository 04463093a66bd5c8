/**
 * A large log becomes a Parquet file of channels in SI without being held in memory: the database reads
 * the table and writes the file in one pass. A second pass is made where the first meets cells that are
 * no plain numbers, a third where the time of the rows has to be settled (stamps, counters that begin
 * again, rows set aside).
 */
import { rename, rm } from "node:fs/promises";
import { join } from "node:path";
import type { LogPlan, Mapping, RejectedCell, StoredHead } from "../evidence/index.js";
import { Refusal, refuse } from "../fault/index.js";
import {
  type Connection,
  database,
  numberTerm,
  quotedName,
  quotedPath,
  quotedText,
  refuseFullDisk,
  rowsOf,
  wholeNumbersIn,
  withDatabase,
} from "./database.js";
import { evidence } from "./evidence.js";
import { blankLines } from "./hashFile.js";
import {
  channelTerms,
  csvTable,
  mostRejects,
  type RawColumn,
  rawName,
  storedNames,
  strangeFrom,
  timeTerms,
  unreadName,
} from "./logSql.js";
import { isSystemError } from "./system.js";

/** A table that the database can read: a text in UTF-8 with one sign between its cells, or a Parquet file. */
export type TableSource =
  | {
      readonly kind: "text";
      readonly path: string;
      readonly delimiter: string;
      readonly isDecimalComma: boolean;
      /** Lines ahead of the first row. */
      readonly skip: number;
      /** Cells of a row, blank ones at its end included. */
      readonly width: number;
      /** Bytes from which on lines are the footer. */
      readonly footerFrom: number;
    }
  | {
      readonly kind: "parquet";
      /** Of its parts, as text of a query. */
      readonly pattern: string;
      readonly columns: readonly string[];
    };

export interface StoreRequest {
  readonly source: TableSource;
  readonly plan: LogPlan;
  readonly mapping: Mapping;
  /** Columns, from 1, of which some cells are no plain numbers, as far as a sample tells. */
  readonly oddColumns: ReadonlySet<number>;
  /** Folder for the file and for what does not fit into memory. */
  readonly scratch: string;
  /** The file to write. */
  readonly into: string;
  /** Words kept in it. */
  readonly about: string;
}

/** Texts of unread cells that are told apart in one column. */
const mostTexts = 5000;

/** Reads and stores a log. Refuses as `readLog`, and a full disk. */
export async function storeLog(request: StoreRequest): Promise<StoredHead> {
  try {
    return await withDatabase((connection) => stored(connection, request), request.scratch);
  } catch (error) {
    if (error instanceof Refusal || isSystemError(error)) throw error;
    return refuseFullDisk(error, request.into);
  }
}

async function stored(connection: Connection, request: StoreRequest): Promise<StoredHead> {
  const { plan, scratch, into, about } = request;
  const first = join(scratch, "first.parquet");
  const odd = new Set(request.oddColumns);
  let rejects = await pass(connection, request, odd, first);
  const surprises = await surprising(connection, request, odd, first, rejects);
  if (surprises.length > 0) {
    for (const index of surprises) odd.add(index);
    rejects = await pass(connection, request, odd, first);
  }
  const { cells, time } = await examined(connection, request, odd, first, rejects);
  const { settled, asides } = time;
  const isAsRead = time.isAsRead && cells.values.size === 0;
  if (isAsRead) await rename(first, into);
  else await finish(connection, { plan, first, into, about, times: time, values: cells.values });
  await rm(first, { force: true });
  const { planNotices, groupNotices, blankNotices, channelHead } = await evidence();
  const rows = time.rows;
  const groups = [...rejects.map(({ cell }) => ({ count: 1, first: cell })), ...asides, ...cells.groups];
  return {
    channels: plan.channels.map(channelHead),
    names: storedNames(plan),
    rows,
    time: settled.base.facts,
    metadata: plan.table.metadata,
    rejected: [...rejects.map(({ cell }) => cell), ...asides.map((one) => one.first), ...cells.firsts],
    rejectedCount: groups.reduce((sum, { count }) => sum + count, 0) + settled.rejected.length,
    notices: [
      ...plan.clock.notices(),
      ...settled.base.notices,
      ...groupNotices(merged(groups)),
      ...blankNotices(cells.blanks),
      ...planNotices(plan),
    ],
  };
}

interface Group {
  readonly count: number;
  readonly first: RejectedCell;
}

/** Groups of one text and reason together. */
function merged(groups: readonly Group[]): readonly Group[] {
  const found = new Map<string, Group>();
  for (const { count, first } of groups) {
    const key = `${first.column === undefined ? "" : first.text} ${first.reason}`;
    const seen = found.get(key);
    found.set(key, seen === undefined ? { count, first } : { ...seen, count: seen.count + count });
  }
  return [...found.values()];
}

interface Reject {
  readonly line: number;
  readonly cell: RejectedCell;
  /** Columns whose cell is no number, from 1; none for a row of another width. */
  readonly castColumns: readonly number[];
}

/** One reading of the whole source into a Parquet file. */
async function pass(
  connection: Connection,
  { source, plan, about }: StoreRequest,
  odd: ReadonlySet<number>,
  into: string,
): Promise<readonly Reject[]> {
  const isDecimalComma = source.kind === "text" && source.isDecimalComma;
  const names = storedNames(plan);
  const raw = (index: number): RawColumn => ({
    name: rawName(index),
    type: odd.has(index) ? "text" : "number",
  });
  const terms = [
    ...timeTerms(plan),
    ...plan.channels.flatMap((planned, i) =>
      channelTerms(planned, i, names[i] ?? "", raw(planned.column.index), isDecimalComma),
    ),
  ];
  const from =
    source.kind === "text"
      ? csvTable({ ...source, columns: rawColumns(plan, source.width, odd) })
      : parquetTable(source, plan, odd);
  await connection.run("DROP TABLE IF EXISTS reject_errors; DROP TABLE IF EXISTS reject_scans");
  await connection.run(
    `COPY (SELECT ${terms.join(", ")} FROM ${from}) TO ${quotedText(into)} (FORMAT parquet, COMPRESSION zstd${about})`,
  );
  return source.kind === "text" ? await rejectsOf(connection, source.footerFrom, plan) : [];
}

/** Types of the columns of a text: numbers where they are read as such, texts where they are not. */
function rawColumns(
  { channels, clock }: LogPlan,
  width: number,
  odd: ReadonlySet<number>,
): readonly RawColumn[] {
  const numbers = new Set(channels.map(({ column }) => column.index).filter((index) => !odd.has(index)));
  if (clock.column !== undefined && clock.linear !== undefined) numbers.add(clock.column.index);
  return Array.from({ length: width }, (_, i) => ({
    name: rawName(i + 1),
    type: numbers.has(i + 1) ? "number" : "text",
  }));
}

function parquetTable(
  source: Extract<TableSource, { readonly kind: "parquet" }>,
  { channels, clock }: LogPlan,
  odd: ReadonlySet<number>,
): string {
  const used = new Set(channels.map(({ column }) => column.index));
  if (clock.column !== undefined) used.add(clock.column.index);
  if (clock.dateColumn !== undefined) used.add(clock.dateColumn.index);
  const isText = (index: number): boolean =>
    odd.has(index) ||
    (clock.linear === undefined && (index === clock.column?.index || index === clock.dateColumn?.index));
  const list = [...used].map((index) => {
    const type = isText(index) ? "VARCHAR" : "DOUBLE";
    return `CAST(${quotedName(source.columns[index - 1] ?? "")} AS ${type}) AS ${rawName(index)}`;
  });
  const rows = list.length === 0 ? "1 AS none" : list.join(", ");
  return `(SELECT ${rows} FROM read_parquet(${source.pattern}))`;
}

async function rejectsOf(
  connection: Connection,
  footerFrom: number,
  { clock, table }: LogPlan,
): Promise<readonly Reject[]> {
  const { cellsIn, timeReason, widthReason } = await evidence();
  const found = await rowsOf(
    connection,
    `SELECT line::BIGINT::VARCHAR AS line, any_value(csv_line) AS text,
       list(column_idx::INTEGER) FILTER (error_type = 'CAST') AS casts, bool_or(error_type <> 'CAST') AS is_row
     FROM reject_errors WHERE line_byte_position < ${footerFrom} GROUP BY line ORDER BY line`,
  );
  if (found.length >= mostRejects) {
    refuse(
      "log-rows-odd",
      `more than ${mostRejects} rows do not have the form of the table, first in line ${found[0]?.line}`,
      `A row has ${table.columns.length} cells, as the first ones have.`,
      "Part the file where its form changes, and import the parts.",
    );
  }
  return found.map(({ line: words, text: written, casts, is_row: isRow }): Reject => {
    const line = Number(words);
    const text = String(written ?? "").trimEnd();
    const cells = cellsIn(text, table.dialect.delimiter);
    const reason =
      isRow === true
        ? widthReason(cells.length, table.columns.length)
        : timeReason(cells[(clock.column?.index ?? 0) - 1] ?? "");
    const castColumns = isRow === true || !Array.isArray(casts) ? [] : casts.map(Number);
    return { line, cell: { line, text: text.slice(0, 120), reason }, castColumns };
  });
}

/** Columns read as numbers that hold something else: found by rows kept apart and by missing values. */
async function surprising(
  connection: Connection,
  { plan }: StoreRequest,
  odd: ReadonlySet<number>,
  path: string,
  rejects: readonly Reject[],
): Promise<readonly number[]> {
  const found = new Set<number>();
  const own = plan.clock.column?.index;
  // A row whose time is no number either is no row of data: it is set aside whole.
  for (const { castColumns } of rejects) {
    if (own !== undefined && castColumns.includes(own)) continue;
    for (const index of castColumns) found.add(index);
  }
  const names = storedNames(plan);
  const typed = plan.channels.flatMap(({ column }, i) => (odd.has(column.index) ? [] : [i]));
  if (typed.length > 0) {
    // The database sorts what is no number behind every number: the largest value shows it.
    const isStrange = typed.map((i) => {
      const name = quotedName(names[i] ?? "");
      const isPlain = `max(${name}) < ${strangeFrom} AND min(${name}) > -${strangeFrom}`;
      return `count(*) > 0 AND NOT coalesce(count(*) = count(${name}) AND ${isPlain}, false) AS n${i}`;
    });
    const [row] = await rowsOf(
      connection,
      `SELECT ${isStrange.join(", ")} FROM read_parquet(${quotedPath(path)})`,
    );
    for (const i of typed) if (row?.[`n${i}`] === true) found.add(plan.channels[i]?.column.index ?? 0);
  }
  return [...found];
}

/** Cells and times of the stored file. Blank lines are only counted where a line is to be told. */
async function examined(
  connection: Connection,
  request: StoreRequest,
  odd: ReadonlySet<number>,
  first: string,
  rejects: readonly Reject[],
): Promise<{ readonly cells: UnreadCells; readonly time: Times }> {
  const { source } = request;
  const rejected = rejects.map(({ line }) => line);
  let isAsked = false;
  const by = async (lineOf: (row: number) => number) => ({
    cells: await unreadCells(connection, request, odd, first, lineOf),
    time: await settledTimes(connection, request, first, lineOf),
  });
  if (source.kind !== "text") return await by((row) => row + 1);
  const plain = lineNumbers(source.skip, rejected);
  const asking = (row: number) => {
    isAsked = true;
    return plain(row);
  };
  try {
    const found = await by(asking);
    if (!isAsked) return found;
    const blank = (await blankLines(source.path)).filter((line) => line > source.skip);
    return blank.length === 0 ? found : await by(lineNumbers(source.skip, [...rejected, ...blank]));
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    const blank = (await blankLines(source.path)).filter((line) => line > source.skip);
    return await by(lineNumbers(source.skip, [...rejected, ...blank]));
  }
}

/** Line of a row of the stored file, by the lines that are no rows. */
function lineNumbers(skip: number, lines: readonly number[]): (row: number) => number {
  const passed = [...lines].sort((a, b) => a - b);
  return (row) => {
    // The number of lines passed over up to the row's own, by halving: they stand in order.
    let low = 0;
    let high = passed.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((passed[middle] ?? 0) - middle <= skip + row + 1) low = middle + 1;
      else high = middle;
    }
    return skip + row + 1 + low;
  };
}

interface UnreadCells {
  readonly groups: readonly Group[];
  readonly firsts: readonly RejectedCell[];
  readonly blanks: ReadonlyMap<string, { readonly count: number; readonly firstLine: number }>;
  /** Texts that do mean a value, by channel: on and off, grouped thousands. */
  readonly values: ReadonlyMap<number, ReadonlyMap<string, number>>;
}

async function unreadCells(
  connection: Connection,
  { plan, mapping }: StoreRequest,
  odd: ReadonlySet<number>,
  path: string,
  lineOf: (row: number) => number,
): Promise<UnreadCells> {
  const { readReading, readingInSi, missingReason } = await evidence();
  const groups: Group[] = [];
  const blanks = new Map<string, { count: number; firstLine: number }>();
  const values = new Map<number, Map<string, number>>();
  for (const [i, { channel, column, conversion }] of plan.channels.entries()) {
    if (!odd.has(column.index)) continue;
    const name = quotedName(unreadName(i));
    const found = await rowsOf(
      connection,
      `SELECT ${name} AS text, count(*)::INTEGER AS n, min(file_row_number)::INTEGER AS first
       FROM read_parquet(${quotedPath(path)}, file_row_number = true)
       WHERE ${name} IS NOT NULL GROUP BY 1 ORDER BY 3 LIMIT ${mostTexts + 1}`,
    );
    if (found.length > mostTexts) refuseTexts(column.name, lineOf(Number(found[0]?.first)));
    for (const { text: written, n, first } of found) {
      const text = String(written);
      const line = lineOf(Number(first));
      const reading = readReading(text, channel.role, mapping.dialect.decimal);
      if ("value" in reading && !(channel.missing?.includes(reading.value) ?? false)) {
        const own = values.get(i) ?? new Map<string, number>();
        values.set(i, own.set(text, readingInSi(conversion, reading.value)));
      } else if ("reason" in reading && reading.reason === "") {
        blanks.set(column.name, { count: Number(n), firstLine: line });
      } else {
        const reason = "reason" in reading ? reading.reason : missingReason;
        groups.push({ count: Number(n), first: { line, column: column.index, text, reason } });
      }
    }
  }
  return { groups, firsts: groups.map(({ first }) => first), blanks, values };
}

interface Times {
  readonly settled: Awaited<ReturnType<typeof settle>>;
  /** Rows without a time, in groups. */
  readonly asides: readonly Group[];
  /** Of every stored row, NaN for one that is set aside. */
  readonly time_s: Float64Array;
  readonly rows: number;
  /** True where the stored file has the times as they are. */
  readonly isAsRead: boolean;
}

async function settle(plan: LogPlan, time_s: Float64Array, lineOf: (row: number) => number) {
  const { settleRows } = await evidence();
  return settleRows(plan, time_s, lineOf);
}

async function settledTimes(
  connection: Connection,
  { plan }: StoreRequest,
  path: string,
  lineOf: (row: number) => number,
): Promise<Times> {
  const { timeReason } = await evidence();
  const [counted] = await rowsOf(
    connection,
    `SELECT count(*)::INTEGER AS n FROM read_parquet(${quotedPath(path)})`,
  );
  const all = Number(counted?.n ?? 0);
  const raw = await rawTimes(connection, plan, path, all);
  const asides: Group[] = [];
  let good = 0;
  const rowOf = new Int32Array(raw.time_s.some(Number.isNaN) ? all : 0);
  for (let i = 0; i < all && rowOf.length > 0; i++) {
    if (!Number.isNaN(raw.time_s[i])) rowOf[good++] = i;
    else {
      const line = lineOf(i);
      const reason = timeReason(raw.texts.get(i) ?? "");
      asides.push({ count: 1, first: { line, text: raw.texts.get(i) ?? "", reason } });
    }
  }
  const isWhole = rowOf.length === 0;
  const own = isWhole ? raw.time_s : Float64Array.from(rowOf.subarray(0, good), (i) => raw.time_s[i] ?? 0);
  const rowAt = (row: number): number => (isWhole ? row : (rowOf[row] ?? row));
  const settled = await settle(plan, own, (row) => lineOf(rowAt(row)));
  const { kept, facts, isSettled } = settled.base;
  const rows = own.length - facts.backward.count;
  const isAsRead = raw.isStored && isWhole && !isSettled && facts.backward.count === 0;
  if (isAsRead) return { settled, asides, time_s: own, rows, isAsRead };
  const time_s = isWhole ? own : new Float64Array(all).fill(Number.NaN);
  for (let i = 0; i < own.length; i++) time_s[rowAt(i)] = kept[i] === 1 ? (own[i] ?? 0) : Number.NaN;
  return { settled, asides, time_s, rows, isAsRead };
}

interface RawTimes {
  readonly time_s: Float64Array;
  /** True where the stored file holds them. */
  readonly isStored: boolean;
  /** What stands in rows without a time. */
  readonly texts: ReadonlyMap<number, string>;
}

async function rawTimes(
  connection: Connection,
  { clock }: LogPlan,
  path: string,
  all: number,
): Promise<RawTimes> {
  const time_s = new Float64Array(all);
  const texts = new Map<number, string>();
  if (clock.column === undefined) {
    for (let i = 0; i < all; i++) time_s[i] = clock.read("", i, "") ?? Number.NaN;
    return { time_s, isStored: false, texts };
  }
  const source = `read_parquet(${quotedPath(path)})`;
  let at = 0;
  if (clock.linear !== undefined) {
    const { DuckDBDoubleVector: Doubles } = await database();
    for await (const chunk of await connection.stream(`SELECT ${numberTerm("time_s")} FROM ${source}`)) {
      const part = wholeNumbersIn(chunk, 0, Doubles);
      for (let row = 0; row < part.length; row++)
        if (!(Math.abs(part[row] ?? 0) < strangeFrom)) part[row] = Number.NaN;
      time_s.set(part, at);
      at += part.length;
    }
    return { time_s, isStored: true, texts };
  }
  for await (const chunk of await connection.stream(`SELECT stamp, stamp_date FROM ${source}`)) {
    const [stamps, dates] = [chunk.getColumnVector(0), chunk.getColumnVector(1)];
    for (let row = 0; row < chunk.rowCount; row++) {
      const text = String(stamps.getItem(row) ?? "");
      const t = clock.read(text, at, String(dates.getItem(row) ?? ""));
      time_s[at] = t ?? Number.NaN;
      if (t === undefined) texts.set(at, text);
      at++;
    }
  }
  return { time_s, isStored: false, texts };
}

interface Finish {
  readonly plan: LogPlan;
  readonly first: string;
  readonly into: string;
  readonly about: string;
  readonly times: Times;
  readonly values: UnreadCells["values"];
}

/** Writes the file anew with settled times and with the cells whose text means a value. */
async function finish(connection: Connection, request: Finish): Promise<void> {
  const { plan, first, into, about, times, values } = request;
  await connection.run("CREATE TABLE settled (settled_s DOUBLE)");
  const { DOUBLE, DuckDBDataChunk: Chunk, DuckDBDoubleVector: Doubles } = await database();
  const appender = await connection.createAppender("settled");
  const rowsAtOnce = 2048;
  for (let at = 0; at < times.time_s.length; at += rowsAtOnce) {
    const part = times.time_s.subarray(at, at + rowsAtOnce);
    const chunk = Chunk.create([DOUBLE], part.length);
    const vector = chunk.getColumnVector(0);
    if (!(vector instanceof Doubles)) throw new Error("a column of numbers is no column of numbers");
    part.forEach((t, row) => {
      vector.setItem(row, Number.isNaN(t) ? null : t);
    });
    vector.flush();
    appender.appendDataChunk(chunk);
  }
  appender.closeSync();
  const replaced = [...values].map(([i, texts]) => {
    const name = quotedName(storedNames(plan)[i] ?? "");
    const unread = quotedName(unreadName(i));
    const cases = [...texts].map(
      ([text, value]) => `WHEN ${quotedText(text)} THEN CAST('${value}' AS DOUBLE)`,
    );
    const known = [...texts.keys()].map(quotedText).join(", ");
    return [
      `CASE ${unread} ${cases.join(" ")} ELSE ${name} END AS ${name}`,
      `CASE WHEN ${unread} IN (${known}) THEN NULL ELSE ${unread} END AS ${unread}`,
    ];
  });
  const own = plan.clock.linear === undefined && plan.clock.column !== undefined;
  const without = own
    ? "EXCLUDE (settled_s, stamp, stamp_date)"
    : plan.clock.column === undefined
      ? "EXCLUDE (settled_s)"
      : "EXCLUDE (settled_s, time_s)";
  const replace = replaced.length === 0 ? "" : ` REPLACE (${replaced.flat().join(", ")})`;
  await connection.run(
    `COPY (SELECT settled_s AS time_s, * ${without}${replace}
       FROM read_parquet(${quotedPath(first)}) POSITIONAL JOIN settled WHERE settled_s IS NOT NULL)
     TO ${quotedText(into)} (FORMAT parquet, COMPRESSION zstd${about})`,
  );
}

function refuseTexts(name: string, line: number): never {
  return refuse(
    "log-cells-odd",
    `"${name}" holds more than ${mostTexts} different texts that are no plain numbers, first in line ${line}`,
    "A cell is a number, a word like OVER for no reading, or blank.",
    "Export the column as plain numbers, or take it out of the mapping.",
  );
}
