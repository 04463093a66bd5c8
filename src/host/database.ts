/**
 * The embedded analytic database, in memory: it reads and writes Parquet files and large text tables on
 * its own threads. It is loaded at the first use: it takes longer than most commands.
 */
import type { DuckDBConnection, DuckDBDataChunk } from "@duckdb/node-api";
import { refuseSystem } from "./system.js";

export type Connection = DuckDBConnection;
export type Database = typeof import("@duckdb/node-api");

export async function database(): Promise<Database> {
  return await import("@duckdb/node-api");
}

/** Memory that the database may take before it writes beside its work; the program needs as much again. */
const mostMemory = "400MB";

/**
 * Acts on a database of its own.
 * @param scratch  folder for what does not fit into memory; without it the usual share of memory is taken
 */
export async function withDatabase<T>(
  act: (connection: Connection) => Promise<T>,
  scratch?: string,
): Promise<T> {
  const { DuckDBInstance } = await database();
  // No extension is ever fetched from a network.
  const instance = await DuckDBInstance.create(":memory:", {
    autoinstall_known_extensions: "false",
    autoload_known_extensions: "false",
    ...(scratch === undefined ? {} : { memory_limit: mostMemory, temp_directory: scratch }),
  });
  const connection = await instance.connect();
  try {
    return await act(connection);
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}

/** Numbers of one column of a chunk; what is missing is NaN. */
export function numbersIn(
  chunk: DuckDBDataChunk,
  index: number,
  Doubles: Database["DuckDBDoubleVector"],
): Float64Array {
  const vector = chunk.getColumnVector(index);
  if (!(vector instanceof Doubles)) throw new Error("a column holds something else than numbers");
  const values = new Float64Array(chunk.rowCount);
  for (let row = 0; row < values.length; row++) values[row] = vector.getItem(row) ?? Number.NaN;
  return values;
}

/** A column of a query that is a number everywhere: NaN where it is missing. */
export function numberTerm(name: string): string {
  return `coalesce(${name}, CAST('NaN' AS DOUBLE))`;
}

/** Numbers of a column that is one everywhere (`numberTerm`): taken as they lie, row by row is slow. */
export function wholeNumbersIn(
  chunk: DuckDBDataChunk,
  index: number,
  Doubles: Database["DuckDBDoubleVector"],
): Float64Array {
  const vector = chunk.getColumnVector(index);
  const items: unknown = Reflect.get(vector, "items");
  if (!(items instanceof Float64Array)) return numbersIn(chunk, index, Doubles);
  return items.slice(0, chunk.rowCount);
}

/** Rows of a query as plain records, for the few rows of a summary. */
export async function rowsOf(
  connection: Connection,
  query: string,
): Promise<readonly Readonly<Record<string, unknown>>[]> {
  const reader = await connection.runAndReadAll(query);
  return reader.getRowObjectsJson();
}

export function quotedName(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

/** A text in a query: a path, a cell. */
export function quotedText(text: string): string {
  return `'${text.replaceAll("'", "''")}'`;
}

/** Path of a file to be read; the database would take some signs for a pattern. */
export function quotedPath(path: string): string {
  return quotedText(path.replaceAll(/[[*?]/g, "[$&]"));
}

/** A number in a query, to its last bit. */
export function numberText(value: number): string {
  if (!Number.isFinite(value)) throw new Error(`no number for a query: ${value}`);
  return `CAST('${value}' AS DOUBLE)`;
}

const fullDisk =
  /no space left|file too large|disk full|failed to write|could not write|out of disk|max_temp_directory/i;

/** Refuses what the database could not write because the disk takes no more; throws on anything else. */
export function refuseFullDisk(error: unknown, path: string): never {
  if (!(error instanceof Error) || !fullDisk.test(error.message)) throw error;
  return refuseSystem(Object.assign(new Error("the database"), { code: "ENOSPC" }), path, "write");
}
