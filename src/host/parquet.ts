/**
 * Columns of numbers in a Parquet file, by an embedded database in memory. The database is loaded at
 * the first use: it takes longer than most commands.
 */
import type { DuckDBConnection, DuckDBDataChunk } from "@duckdb/node-api";
import { kindAt, refuseMissing } from "./readFile.js";
import { refuseFile } from "./system.js";

/** A table of numbers; a value that is missing is NaN. */
export interface NumberTable {
  readonly names: readonly string[];
  /** One column per name, all of one length. */
  readonly columns: readonly Float64Array[];
  /** Words about the table, kept in the file: letters, digits, hyphens and points alone. */
  readonly about: Readonly<Record<string, string>>;
}

/** Rows that the database takes at a time. */
const chunkRows = 2048;

/**
 * Writes a table to a new file, compressed. The file is not written whole or not at all by itself:
 * write it into a folder that is (`makeWholeFolder`).
 */
export async function writeParquet(path: string, { names, columns, about }: NumberTable): Promise<void> {
  if (new Set(names).size !== names.length || names.length !== columns.length)
    throw new Error(`column names do not fit the columns: ${names.join(", ")}`);
  const { DOUBLE, DuckDBDataChunk: Chunk, DuckDBDoubleVector: Doubles } = await database();
  await withConnection(async (connection) => {
    const list = names.map((name) => `${quotedName(name)} DOUBLE`).join(", ");
    await connection.run(`CREATE TABLE log (${list})`);
    const appender = await connection.createAppender("log");
    const rows = columns[0]?.length ?? 0;
    for (let at = 0; at < rows; at += chunkRows) {
      const count = Math.min(chunkRows, rows - at);
      const chunk = Chunk.create(
        names.map(() => DOUBLE),
        count,
      );
      columns.forEach((column, index) => {
        const vector = chunk.getColumnVector(index);
        if (!(vector instanceof Doubles)) throw new Error("a column of numbers is no column of numbers");
        const values = column.subarray(at, at + count);
        values.forEach((value, row) => {
          vector.setItem(row, Number.isNaN(value) ? null : value);
        });
        vector.flush();
      });
      appender.appendDataChunk(chunk);
    }
    appender.closeSync();
    const words = Object.entries(about).map(([key, value]) => `${quotedName(key)}: ${quotedPlain(value)}`);
    const metadata = words.length === 0 ? "" : `, KV_METADATA {${words.join(", ")}}`;
    await connection.run(`COPY log TO ${quotedPath(path)} (FORMAT parquet, COMPRESSION zstd${metadata})`);
  });
}

/** Reads a table of numbers. Refuses a file that is missing or no Parquet file of numbers. */
export async function readParquet(path: string): Promise<NumberTable> {
  if ((await kindAt(path)) !== "file") return await refuseMissing(path);
  const { DuckDBDoubleVector: Doubles } = await database();
  return await withConnection(async (connection) => {
    try {
      const result = await connection.stream(`SELECT * FROM read_parquet(${quotedPath(path)})`);
      const names = result.columnNames();
      const parts: Float64Array[][] = names.map(() => []);
      for await (const chunk of result) {
        for (const [index, part] of parts.entries()) part.push(numbersIn(chunk, index, Doubles));
      }
      return { names, columns: parts.map(joined), about: await aboutIn(connection, path) };
    } catch (thrown) {
      if (!(thrown instanceof Error)) throw thrown;
      return refuseFile(path, {
        code: "parquet-unreadable",
        found: `the file cannot be read as columns of numbers (${thrown.message.split("\n")[0] ?? ""})`,
        allowed: "It is written by `coldturn import` from the original log.",
        mend: "Delete it: it is made anew from the original log at the next use",
      });
    }
  });
}

type Database = typeof import("@duckdb/node-api");

async function database(): Promise<Database> {
  return await import("@duckdb/node-api");
}

async function withConnection<T>(act: (connection: DuckDBConnection) => Promise<T>): Promise<T> {
  const { DuckDBInstance } = await database();
  // No extension is ever fetched from a network.
  const instance = await DuckDBInstance.create(":memory:", {
    autoinstall_known_extensions: "false",
    autoload_known_extensions: "false",
  });
  const connection = await instance.connect();
  try {
    return await act(connection);
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}

function numbersIn(
  chunk: DuckDBDataChunk,
  index: number,
  Doubles: Database["DuckDBDoubleVector"],
): Float64Array {
  const vector = chunk.getColumnVector(index);
  if (!(vector instanceof Doubles)) throw new Error("a column holds something else than numbers");
  return Float64Array.from({ length: chunk.rowCount }, (_, row) => vector.getItem(row) ?? Number.NaN);
}

function joined(parts: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

async function aboutIn(
  connection: DuckDBConnection,
  path: string,
): Promise<Readonly<Record<string, string>>> {
  const reader = await connection.runAndReadAll(
    `SELECT key::VARCHAR, value::VARCHAR FROM parquet_kv_metadata(${quotedPath(path)})`,
  );
  return Object.fromEntries(reader.getRows().map(([key, value]) => [String(key), String(value)]));
}

function quotedName(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

function quotedPath(path: string): string {
  return `'${path.replaceAll("'", "''")}'`;
}

/** The database writes other characters in its own notation. */
function quotedPlain(value: string): string {
  if (!/^[\w.-]*$/.test(value)) throw new Error(`not plain enough to be kept in a Parquet file: ${value}`);
  return `'${value}'`;
}
