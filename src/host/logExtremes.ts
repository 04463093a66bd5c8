/**
 * How far the columns of a stored log go. The head of a Parquet file holds extremes of each group of its
 * rows, so that the database answers without reading them; a column with NaN it reads.
 */
import { type Connection, quotedName, quotedPath, rowsOf } from "./database.js";

/** Of one column; without a value NaN. NaN counts as a value, above all others. */
export interface Extremes {
  readonly count: number;
  readonly least: number;
  readonly most: number;
}

export interface StoredExtremes {
  readonly rows: number;
  readonly columns: ReadonlyMap<string, Extremes>;
}

export const noExtremes: Extremes = { count: 0, least: Number.NaN, most: Number.NaN };

export async function storedExtremes(
  connection: Connection,
  path: string,
  names: readonly string[],
): Promise<StoredExtremes> {
  const terms = names.map((name, i) => {
    const column = quotedName(name);
    return `, count(${column})::DOUBLE AS n${i}, min(${column}) AS a${i}, max(${column}) AS z${i}`;
  });
  const [row = {}] = await rowsOf(
    connection,
    `SELECT count(*)::DOUBLE AS rows${terms.join("")} FROM read_parquet(${quotedPath(path)})`,
  );
  const numberAt = (key: string): number => {
    const value = row[key];
    return typeof value === "number" ? value : Number.NaN;
  };
  return {
    rows: numberAt("rows"),
    columns: new Map(
      names.map((name, i) => [
        name,
        { count: numberAt(`n${i}`), least: numberAt(`a${i}`), most: numberAt(`z${i}`) },
      ]),
    ),
  };
}
