/** The times of a stored log: read, settled, and written anew where they do not stay as they are. */
import type { LogPlan } from "../evidence/index.js";
import {
  type Connection,
  database,
  numberTerm,
  numberText,
  quotedName,
  quotedPath,
  quotedText,
  rowsOf,
  wholeNumbersIn,
} from "./database.js";
import { evidence } from "./evidence.js";
import type { Group, UnreadCells } from "./logCells.js";
import { noExtremes, type StoredExtremes } from "./logExtremes.js";
import { storedNames, strangeFrom, unreadName } from "./logSql.js";

type Settled = Awaited<ReturnType<typeof settle>>;

export interface Times {
  readonly base: Omit<Settled["base"], "kept">;
  readonly rejected: Settled["rejected"];
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

interface StoredTimes {
  readonly path: string;
  readonly extremes: StoredExtremes;
  readonly lineOf: (row: number) => number;
  /** The time of every row is needed whatever it is. */
  readonly isEach: boolean;
}

/** Times of the rows of a stored log. Of one whose times lie near even steps nothing is read but that. */
export async function settledTimes(
  connection: Connection,
  plan: LogPlan,
  { path, extremes, lineOf, isEach }: StoredTimes,
): Promise<Times> {
  const even = isEach ? undefined : await evenTimes(connection, plan, path, extremes);
  if (even !== undefined) return even;
  const { timeReason } = await evidence();
  const all = extremes.rows;
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
  const { base, rejected } = settled;
  if (isAsRead) return { base, rejected, asides, time_s: own, rows, isAsRead };
  const time_s = isWhole ? own : new Float64Array(all).fill(Number.NaN);
  for (let i = 0; i < own.length; i++) time_s[rowAt(i)] = kept[i] === 1 ? (own[i] ?? 0) : Number.NaN;
  return { base, rejected, asides, time_s, rows, isAsRead };
}

/** A log whose times lie near even steps, as `examineTime` looks for it; undefined if they do not. */
async function evenTimes(
  connection: Connection,
  { clock }: LogPlan,
  path: string,
  { rows: n, columns }: StoredExtremes,
): Promise<Times | undefined> {
  if (clock.column === undefined || clock.linear === undefined) return undefined;
  const { evenTime, evenWithin, fewestEven } = await evidence();
  const source = `read_parquet(${quotedPath(path)}, file_row_number = true)`;
  const { count, least: first, most: last } = columns.get("time_s") ?? noExtremes;
  if (n < fewestEven || count !== n) return undefined;
  const step_s = (last - first) / (n - 1);
  if (!(step_s > 0) || !(Math.abs(first) < strangeFrom && Math.abs(last) < strangeFrom)) return undefined;
  const on = `${numberText(first)} + file_row_number * ${numberText(step_s)}`;
  const [all] = await rowsOf(
    connection,
    `SELECT bool_and(abs(time_s - (${on})) < ${numberText(evenWithin * step_s)}) AS is_even FROM ${source}`,
  );
  if (all?.is_even !== true) return undefined;
  const base = evenTime(step_s, clock.declaredRate_Hz);
  return { base, rejected: [], asides: [], time_s: new Float64Array(), rows: n, isAsRead: true };
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
export async function finish(connection: Connection, request: Finish): Promise<void> {
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
