/** A list of parts in a file, as rows of text: CSV of any usual delimiter, or Parquet. */
import Papa from "papaparse";
import type { PartTable } from "../dossier/index.js";
import { quotedPath, rowsOf } from "./database.js";
import { readingParquet } from "./parquet.js";
import { readText } from "./readFile.js";
import { refuseFile } from "./system.js";

/** Reads a list of parts. Refuses a file that is missing, no text or no table. */
export async function readPartTable(path: string): Promise<PartTable> {
  const table = /\.parquet$/i.test(path) ? await fromParquet(path) : await fromText(path);
  if (table.columns.length < 2 || table.rows.length === 0)
    refuseFile(path, {
      code: "part-table-empty",
      found: "the file holds no table of parts",
      allowed: "Its first line names the columns, each further line is a part.",
      mend: "Save the list with a line of column names, and commas, semicolons or tabs between the cells",
    });
  return table;
}

async function fromText(path: string): Promise<PartTable> {
  const { text } = await readText(path);
  const { data } = Papa.parse<string[]>(text.replace(/^\ufeff/, ""), { delimiter: delimiterOf(text) });
  const [head = [], ...rows] = data;
  let line = 1 + linesIn(head);
  return {
    path,
    columns: head.map((name) => name.trim()),
    rows: rows.flatMap((cells) => {
      const here = line;
      line += linesIn(cells);
      return cells.every((cell) => cell.trim() === "") ? [] : [{ line: here, cells }];
    }),
  };
}

/** The sign that parts the names of the columns: the commonest of the usual ones in the first line. */
function delimiterOf(text: string): string {
  const [head = ""] = text.split(/\r?\n/, 1);
  const plain = head.replaceAll(/"[^"]*"/g, "");
  const counted = [",", ";", "\t", "|"].map((sign) => ({ sign, count: plain.split(sign).length }));
  return counted.reduce((best, each) => (each.count > best.count ? each : best)).sign;
}

/** Lines of the file that a row takes: a quoted cell may be broken. */
function linesIn(cells: readonly string[]): number {
  return 1 + cells.reduce((sum, cell) => sum + cell.split("\n").length - 1, 0);
}

/** A Parquet file has no lines: its rows count from 1. */
async function fromParquet(path: string): Promise<PartTable> {
  const rows = await readingParquet(path, async (connection) =>
    rowsOf(connection, `SELECT * FROM read_parquet(${quotedPath(path)})`),
  );
  const columns = Object.keys(rows[0] ?? {});
  return {
    path,
    columns,
    rows: rows.map((row, index) => ({
      line: index + 1,
      cells: columns.map((name) => (row[name] === null || row[name] === undefined ? "" : String(row[name]))),
    })),
  };
}
