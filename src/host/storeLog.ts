/**
 * A large log becomes a Parquet file of channels in SI without being held in memory: the database reads
 * the table and writes the file in one pass. A second pass is made where the first meets cells that are
 * no plain numbers, a third where the time of the rows has to be settled (stamps, counters that begin
 * again, rows set aside).
 */
import { rename, rm } from "node:fs/promises";
import { join } from "node:path";
import type { ChannelFacts, LogPlan, Mapping, RejectedCell, StoredHead } from "../evidence/index.js";
import { Refusal, refuse } from "../fault/index.js";
import { type Connection, quotedName, quotedText, refuseFullDisk, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";
import { blankLines } from "./hashFile.js";
import { type Group, type UnreadCells, unreadCells } from "./logCells.js";
import { noExtremes, type StoredExtremes, storedExtremes } from "./logExtremes.js";
import { storedFacts } from "./logFacts.js";
import { missingByAll } from "./logMissing.js";
import {
  channelTerms,
  csvTable,
  mostRejects,
  type RawColumn,
  rawName,
  storedNames,
  strangeFrom,
  timeTerms,
} from "./logSql.js";
import { finish, settledTimes, type Times } from "./logTimes.js";
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

/** A log as it was stored, and what all of it says. */
export interface StoredLog {
  readonly head: StoredHead;
  readonly facts: readonly ChannelFacts[];
  /** Numbers that stand for no value, of each channel, as all readings of it show. */
  readonly missing: readonly (readonly number[])[];
}

/** Reads and stores a log. Refuses as `readLog`, and a full disk. */
export async function storeLog(connection: Connection, request: StoreRequest): Promise<StoredLog> {
  try {
    return await stored(connection, request);
  } catch (error) {
    if (error instanceof Refusal || isSystemError(error)) throw error;
    return refuseFullDisk(error, request.into);
  }
}

async function stored(connection: Connection, request: StoreRequest): Promise<StoredLog> {
  const { plan, scratch, into, about } = request;
  const first = join(scratch, "first.parquet");
  const odd = new Set(request.oddColumns);
  const names = storedNames(plan);
  const columns = plan.clock.linear === undefined ? names : ["time_s", ...names];
  let rejects = await pass(connection, request, odd, first);
  let extremes = await storedExtremes(connection, first, columns);
  const surprises = surprising(request, odd, extremes, rejects);
  if (surprises.length > 0) {
    for (const index of surprises) odd.add(index);
    rejects = await pass(connection, request, odd, first);
    extremes = await storedExtremes(connection, first, columns);
  }
  const { cells, time } = await examined(connection, request, odd, { first, extremes, rejects });
  const { base, asides } = time;
  const isAsRead = time.isAsRead && cells.values.size === 0;
  if (isAsRead) await rename(first, into);
  else await finish(connection, { plan, first, into, about, times: time, values: cells.values });
  await rm(first, { force: true });
  const { planNotices, groupNotices, blankNotices, channelHead } = await evidence();
  const rows = time.rows;
  const groups = [...rejects.map(({ cell }) => ({ count: 1, first: cell })), ...asides, ...cells.groups];
  const head: StoredHead = {
    channels: plan.channels.map(channelHead),
    names,
    rows,
    time: base.facts,
    metadata: plan.table.metadata,
    rejected: [...rejects.map(({ cell }) => cell), ...asides.map((one) => one.first), ...cells.firsts],
    rejectedCount: groups.reduce((sum, { count }) => sum + count, 0) + time.rejected.length,
    notices: [
      ...plan.clock.notices(),
      ...base.notices,
      ...groupNotices(merged(groups)),
      ...blankNotices(cells.blanks),
      ...planNotices(plan),
    ],
  };
  const reach = isAsRead ? extremes : await storedExtremes(connection, into, names);
  const facts = await storedFacts(connection, into, head, reach, async (row) =>
    (await lineNumbersOf(request.source, rejects))(firstRowOf(time, row)),
  );
  const missing = await missingByAll(connection, into, { plan, head, facts, unread: cells.firsts });
  return { head, facts, missing };
}

/** Row of the first reading that a row of the stored file comes from: those set aside are left out of it. */
function firstRowOf({ isAsRead, time_s }: Times, row: number): number {
  if (isAsRead) return row;
  let passed = -1;
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isNaN(time_s[i])) passed++;
    if (passed === row) return i;
  }
  return row;
}

/** Lines of the rows of the first reading, blank lines counted. */
async function lineNumbersOf(
  source: TableSource,
  rejects: readonly Reject[],
): Promise<(row: number) => number> {
  if (source.kind !== "text") return (row) => row + 1;
  const blank = (await blankLines(source.path)).filter((line) => line > source.skip);
  return lineNumbers(source.skip, [...rejects.map(({ line }) => line), ...blank]);
}

/** Groups of one text and reason together, with the first line in which they stand. */
function merged(groups: readonly Group[]): readonly Group[] {
  const found = new Map<string, Group>();
  for (const { count, first } of groups) {
    const key = `${first.column === undefined ? "" : first.text} ${first.reason}`;
    const seen = found.get(key);
    const isEarlier = seen === undefined || first.line < seen.first.line;
    found.set(key, { count: count + (seen?.count ?? 0), first: isEarlier ? first : seen.first });
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
function surprising(
  { plan }: StoreRequest,
  odd: ReadonlySet<number>,
  { rows, columns }: StoredExtremes,
  rejects: readonly Reject[],
): readonly number[] {
  const found = new Set<number>();
  const own = plan.clock.column?.index;
  // A row whose time is no number either is no row of data: it is set aside whole.
  for (const { castColumns } of rejects) {
    if (own !== undefined && castColumns.includes(own)) continue;
    for (const index of castColumns) found.add(index);
  }
  const names = storedNames(plan);
  for (const [i, { column }] of plan.channels.entries()) {
    if (odd.has(column.index)) continue;
    const { count, least, most } = columns.get(names[i] ?? "") ?? noExtremes;
    // NaN, which is above every number, is caught with the largest one.
    const isPlain = count === rows && (rows === 0 || (least > -strangeFrom && most < strangeFrom));
    if (!isPlain) found.add(column.index);
  }
  return [...found];
}

interface FirstReading {
  /** The file that was written. */
  readonly first: string;
  readonly extremes: StoredExtremes;
  readonly rejects: readonly Reject[];
}

/** Cells and times of the stored file. Blank lines are only counted where a line is to be told. */
async function examined(
  connection: Connection,
  request: StoreRequest,
  odd: ReadonlySet<number>,
  { first, extremes, rejects }: FirstReading,
): Promise<{ readonly cells: UnreadCells; readonly time: Times }> {
  const { source } = request;
  const rejected = rejects.map(({ line }) => line);
  let isAsked = false;
  const by = async (lineOf: (row: number) => number) => {
    const cells = await unreadCells(connection, request, odd, first, lineOf);
    const isEach = cells.values.size > 0;
    const time = await settledTimes(connection, request.plan, { path: first, extremes, isEach, lineOf });
    return { cells, time };
  };
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
