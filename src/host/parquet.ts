/** Columns of numbers in a Parquet file. */
import {
  type Connection,
  database,
  numbersIn,
  numberTerm,
  quotedName,
  quotedPath,
  quotedText,
  refuseFullDisk,
  rowsOf,
  wholeNumbersIn,
  withDatabase,
} from "./database.js";
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
  await withDatabase(async (connection) => {
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
    await connection
      .run(`COPY log TO ${quotedText(path)} (FORMAT parquet, COMPRESSION zstd${metadata})`)
      .catch((error) => refuseFullDisk(error, path));
  });
}

/** Reads a table of numbers. Refuses a file that is missing or no Parquet file of numbers. */
export async function readParquet(path: string): Promise<NumberTable> {
  return await readingParquet(path, async (connection) => {
    const { names, columns } = await selected(connection, `SELECT * FROM read_parquet(${quotedPath(path)})`);
    return { names, columns, about: await aboutIn(connection, path) };
  });
}

/** Names of the columns, number of rows and the words kept in a file. Refuses as `readParquet`. */
export async function parquetHead(
  path: string,
): Promise<Pick<NumberTable, "names" | "about"> & { readonly rows: number }> {
  return await readingParquet(path, async (connection) => {
    const file = quotedPath(path);
    const described = await rowsOf(connection, `DESCRIBE SELECT * FROM read_parquet(${file})`);
    const [counted] = await rowsOf(connection, `SELECT count(*)::INTEGER AS n FROM read_parquet(${file})`);
    return {
      names: described.map(({ column_name: name }) => String(name)),
      rows: Number(counted?.n ?? 0),
      about: await aboutIn(connection, path),
    };
  });
}

/**
 * Some columns of numbers, over some rows.
 * @param from  number of the first row, from 0;  @param count  of rows at most
 */
export async function readColumns(
  connection: Connection,
  path: string,
  names: readonly string[],
  from: number,
  count: number,
): Promise<readonly Float64Array[]> {
  const list = names.map((name) => numberTerm(quotedName(name))).join(", ");
  const source = `read_parquet(${quotedPath(path)}, file_row_number = true)`;
  const rows = `file_row_number >= ${from} AND file_row_number < ${from + count}`;
  const query = `SELECT ${list} FROM ${source} WHERE ${rows}`;
  return (await selected(connection, query, wholeNumbersIn)).columns;
}

/** Number of the first row for which a condition holds; undefined if there is none. */
export async function firstRow(
  connection: Connection,
  path: string,
  condition: string,
): Promise<number | undefined> {
  // Rows come in their order: the search ends at the first one.
  const source = `read_parquet(${quotedPath(path)}, file_row_number = true)`;
  const [found] = await rowsOf(
    connection,
    `SELECT file_row_number::INTEGER AS n FROM ${source} WHERE ${condition} LIMIT 1`,
  );
  return typeof found?.n === "number" ? found.n : undefined;
}

/** Acts on a file that is there. Refuses as `readParquet` */
export async function readingParquet<T>(
  path: string,
  act: (connection: Connection) => Promise<T>,
): Promise<T> {
  if ((await kindAt(path)) !== "file") return await refuseMissing(path);
  return await withDatabase(async (connection) => {
    try {
      return await act(connection);
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

/** Columns of numbers that a query gives. */
async function selected(
  connection: Connection,
  query: string,
  read = numbersIn,
): Promise<{ readonly names: readonly string[]; readonly columns: readonly Float64Array[] }> {
  const { DuckDBDoubleVector: Doubles } = await database();
  const result = await connection.stream(query);
  const names = result.columnNames();
  const parts: Float64Array[][] = names.map(() => []);
  for await (const chunk of result) {
    for (const [index, part] of parts.entries()) part.push(read(chunk, index, Doubles));
  }
  return { names, columns: parts.map(joined) };
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

async function aboutIn(connection: Connection, path: string): Promise<Readonly<Record<string, string>>> {
  const reader = await connection.runAndReadAll(
    `SELECT key::VARCHAR, value::VARCHAR FROM parquet_kv_metadata(${quotedPath(path)})`,
  );
  return Object.fromEntries(reader.getRows().map(([key, value]) => [String(key), String(value)]));
}

/** The database writes other characters in its own notation. */
function quotedPlain(value: string): string {
  if (!/^[\w.-]*$/.test(value)) throw new Error(`not plain enough to be kept in a Parquet file: ${value}`);
  return `'${value}'`;
}
