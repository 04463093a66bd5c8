/** A Parquet file that comes as a log, as lines that can be looked at. */

import { quotedName, rowsOf, withDatabase } from "./database.js";
import type { SampleLine } from "./logSample.js";
import { refuseFile } from "./system.js";

/** Rows looked at: the first ones, and others evenly over the file. */
const headRows = 300;
const otherRows = 5000;

/** A year at 300 Hz. A file of a few bytes can claim any number of rows that are all alike. */
const mostRows = 1e10;

export interface TableSample {
  readonly lines: readonly SampleLine[];
  /** Names of its columns, as they stand in the file. */
  readonly names: readonly string[];
}

/**
 * Samples a Parquet file.
 * @param pattern   of its parts, as text of a query;  @param shown  the file as the user knows it
 * @param metadata  lines to stand ahead of its table
 * Refuses       one that is damaged or holds no rows
 */
export async function sampleParquet(
  pattern: string,
  shown: string,
  metadata: readonly string[],
): Promise<TableSample> {
  return await withDatabase(async (connection) => {
    const source = `read_parquet(${pattern}, file_row_number = true)`;
    try {
      const described = await rowsOf(
        connection,
        `DESCRIBE SELECT * EXCLUDE (file_row_number) FROM ${source}`,
      );
      const names = described.map(({ column_name: name }) => String(name));
      const [counted] = await rowsOf(connection, `SELECT count(*)::BIGINT::VARCHAR AS n FROM ${source}`);
      const rows = Number(counted?.n ?? 0);
      if (rows > mostRows)
        throw new Error(`it claims ${rows.toExponential(1)} rows, more than any logger writes`);
      const stride = Math.max(1, Math.ceil(rows / otherRows));
      const list = names.map((name, i) => `CAST(${quotedName(name)} AS VARCHAR) AS c${i}`).join(", ");
      const reader = await connection.runAndReadAll(
        `SELECT ${list} FROM ${source} WHERE file_row_number < ${headRows} OR file_row_number % ${stride} = 0`,
      );
      const head = names.map(quotedCell).join(",");
      const lines = reader
        .getRows()
        .map((row) => row.map((cell) => (cell === null ? "" : quotedCell(String(cell)))).join(","));
      if (rows === 0) refuseRows(shown);
      return { lines: [...metadata, head, ...lines].map((text, i) => ({ line: i + 1, text })), names };
    } catch (thrown) {
      if (!(thrown instanceof Error) || "faults" in thrown) throw thrown;
      return refuseFile(shown, {
        code: "log-file-damaged",
        found: `the Parquet file cannot be read (${thrown.message.split("\n")[0] ?? ""})`,
        allowed: "A Parquet file ends with the list of its parts; a file that was cut off has none.",
        mend: "Copy it from the logger again; if it is cut there too, the rows are lost",
      });
    }
  });
}

function quotedCell(text: string): string {
  return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function refuseRows(path: string): never {
  return refuseFile(path, {
    code: "log-no-rows",
    found: "the file holds columns and no rows",
    allowed: "A log is a table: columns of one length, one row for each sample.",
    mend: "Check that the logger was started and closed its file",
  });
}
