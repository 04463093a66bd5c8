/**
 * The facts of the channels of a stored log (src/evidence/log/facts.ts), worked out by the database over
 * all of its rows. Blocks of rows are looked at first: a channel that stands still for long fills one of
 * them with one value, and only then are its runs counted one by one.
 */
import type { ChannelFacts, StoredHead } from "../evidence/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";

/** Rows of a stored log by their own number, from 0. */
const rowNumber = "file_row_number";

interface Seen {
  readonly count: number;
  readonly least: number;
  readonly most: number;
  readonly below: number;
  /** Whether one value fills a block. */
  readonly hasStill: boolean;
}

/**
 * Facts of every channel, in the order of the mapping.
 * @param lineAt  line of the original that a row of the stored log comes from
 */
export async function storedFacts(
  connection: Connection,
  path: string,
  { channels, names, rows }: Pick<StoredHead, "channels" | "names" | "rows">,
  lineAt: (row: number) => Promise<number>,
): Promise<readonly ChannelFacts[]> {
  const seen = await seenIn(connection, path, names, rows);
  const facts: ChannelFacts[] = [];
  for (const [i, { role, name, unit }] of channels.entries()) {
    const own = seen[i];
    if (own === undefined) throw new Error(`no column of the channel ${name}`);
    const column = quotedName(names[i] ?? "");
    const { count, least, most, below, hasStill } = own;
    const levels = role === "other" ? atRest(own) : await levelsOf(connection, path, column, own);
    const run = hasStill && least !== most ? await runOf(connection, path, column, rows, lineAt) : undefined;
    facts.push({ role, name, unit, samples: rows, count, least, most, below, ...levels, run });
  }
  return facts;
}

/** One reading of all columns, in blocks of which a run that is told fills at least one. */
async function seenIn(
  connection: Connection,
  path: string,
  names: readonly string[],
  rows: number,
): Promise<readonly Seen[]> {
  if (names.length === 0) return [];
  const { stillFrom } = await evidence();
  const size = Math.max(1, Math.floor(stillFrom(rows) / 2));
  const columns = names.map(quotedName);
  const ofBlock = columns.map(
    (column, i) =>
      `count(${column}) AS n${i}, min(${column}) AS a${i}, max(${column}) AS z${i}, count(*) FILTER (${column} < 0) AS b${i}`,
  );
  const ofAll = columns.map(
    (_, i) =>
      `sum(n${i})::DOUBLE AS n${i}, min(a${i}) AS a${i}, max(z${i}) AS z${i}, sum(b${i})::DOUBLE AS b${i}, coalesce(bool_or(n${i} = size AND a${i} = z${i}), false) AS s${i}`,
  );
  const [found = {}] = await rowsOf(
    connection,
    `SELECT ${ofAll.join(", ")} FROM (
       SELECT count(*) AS size, ${ofBlock.join(", ")}
       FROM read_parquet(${quotedPath(path)}, ${rowNumber} = true) GROUP BY ${rowNumber} // ${size})`,
  );
  return columns.map((_, i) => ({
    count: numberIn(found[`n${i}`], 0),
    least: numberIn(found[`a${i}`], Number.NaN),
    most: numberIn(found[`z${i}`], Number.NaN),
    below: numberIn(found[`b${i}`], 0),
    hasStill: found[`s${i}`] === true,
  }));
}

const numberIn = (value: unknown, other: number): number => (typeof value === "number" ? value : other);

type Levels = Pick<ChannelFacts, "start" | "startNoise" | "far" | "end">;

/** Of a quantity without a role nothing is asked. */
function atRest({ least }: Seen): Levels {
  return { start: least, startNoise: 0, far: least, end: least };
}

async function levelsOf(
  connection: Connection,
  path: string,
  column: string,
  { count, least, most }: Seen,
): Promise<Levels> {
  if (count === 0) {
    return { start: Number.NaN, startNoise: Number.NaN, far: Number.NaN, end: Number.NaN };
  }
  const { endPart } = await evidence();
  const part = endPart(count);
  const values = `SELECT ${column} AS v FROM read_parquet(${quotedPath(path)}) WHERE ${column} IS NOT NULL`;
  const medianOf = async (of: string, term: string): Promise<number> => {
    const [row] = await rowsOf(connection, `SELECT median(${term}) AS m FROM (${of})`);
    return numberIn(row?.m, Number.NaN);
  };
  const first = `${values} LIMIT ${part}`;
  const start = await medianOf(first, "v");
  return {
    start,
    startNoise: await medianOf(first, `abs(v - ${numberText(start)})`),
    far: await farFrom(connection, path, column, { start, least, most }),
    end: await medianOf(`${values} OFFSET ${Math.max(0, count - part)}`, "v"),
  };
}

/** The further one of the extremes; of two as far the one that comes first. */
async function farFrom(
  connection: Connection,
  path: string,
  column: string,
  { start, least, most }: { readonly start: number; readonly least: number; readonly most: number },
): Promise<number> {
  const [down, up] = [Math.abs(least - start), Math.abs(most - start)];
  if (down !== up) return down > up ? least : most;
  const [row] = await rowsOf(
    connection,
    `SELECT ${column} AS v FROM read_parquet(${quotedPath(path)})
     WHERE ${column} = ${numberText(least)} OR ${column} = ${numberText(most)} LIMIT 1`,
  );
  return numberIn(row?.v, least);
}

/** The longest run of one value, the first of several. A sample without a value is like no other. */
async function runOf(
  connection: Connection,
  path: string,
  column: string,
  rows: number,
  lineAt: (row: number) => Promise<number>,
): Promise<ChannelFacts["run"]> {
  // The rows come in their own order, so that the database need not sort them.
  const [row] = await rowsOf(
    connection,
    `WITH steps AS (
       SELECT ${rowNumber} AS r, ${column} AS v, lag(${column}) OVER () AS before
       FROM read_parquet(${quotedPath(path)}, ${rowNumber} = true)),
     begins AS (SELECT r FROM steps WHERE r = 0 OR NOT coalesce(v = before, false)),
     runs AS (SELECT r, lead(r, 1, ${rows}) OVER (ORDER BY r) - r AS n FROM begins)
     SELECT count(*)::DOUBLE AS begins, max(n)::DOUBLE AS longest,
       (min(r) FILTER (n = (SELECT max(n) FROM runs)))::DOUBLE AS first FROM runs`,
  );
  const at = numberIn(row?.first, 0);
  return {
    length: numberIn(row?.longest, 1),
    line: await lineAt(at),
    changes: numberIn(row?.begins, 1) - 1,
  };
}
