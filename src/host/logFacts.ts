/**
 * The facts of the channels of a stored log (src/evidence/log/facts.ts), worked out by the database over
 * all of its rows. What would take long is asked only where something cheaper leaves it open: runs of one
 * value are counted one by one where a block of rows holds a single value and the channel else changes.
 */
import type { ChannelFacts, StoredHead } from "../evidence/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";
import { readColumns } from "./parquet.js";

/** Rows of a stored log by their own number, from 0. */
const rowNumber = "file_row_number";

type Stored = Pick<StoredHead, "channels" | "names" | "rows">;

/** Channels of which the levels at start and end are asked. */
const levelled: readonly string[] = ["angle", "motor_current", "pressure_upstream", "pressure_downstream"];

/**
 * Facts of every channel, in the order of the mapping.
 * @param lineAt  line of the original that a row of the stored log comes from
 */
export async function storedFacts(
  connection: Connection,
  path: string,
  stored: Stored,
  lineAt: (row: number) => Promise<number>,
): Promise<readonly ChannelFacts[]> {
  const extremes = await extremesIn(connection, path, stored);
  const runs = await longestStills(connection, path, stored);
  const facts: ChannelFacts[] = [];
  for (const [i, { role, name, unit }] of stored.channels.entries()) {
    const { count, least, most } = extremes[i] ?? nothing;
    const column = quotedName(stored.names[i] ?? "");
    const isPressure = role.startsWith("pressure_");
    facts.push({
      role,
      name,
      unit,
      samples: stored.rows,
      count,
      least,
      most,
      below: isPressure && least < 0 ? await belowZero(connection, path, column) : 0,
      ...(levelled.includes(role)
        ? await levelsOf(connection, path, stored.names[i] ?? "", { count, least, most, rows: stored.rows })
        : unlevelled),
      run:
        least === most
          ? undefined
          : await runOf(connection, path, { column, rows: stored.rows, still: runs.get(i) ?? 0, lineAt }),
    });
  }
  return facts;
}

const nothing = { count: 0, least: Number.NaN, most: Number.NaN };
const unlevelled = { start: Number.NaN, startNoise: Number.NaN, far: Number.NaN, end: Number.NaN };
type Extremes = typeof nothing;

const numberIn = (value: unknown, other: number): number => (typeof value === "number" ? value : other);

/** The file itself has most of it in its head. */
async function extremesIn(
  connection: Connection,
  path: string,
  { names }: Stored,
): Promise<readonly Extremes[]> {
  if (names.length === 0) return [];
  const terms = names.map((name, i) => {
    const column = quotedName(name);
    return `count(${column})::DOUBLE AS n${i}, min(${column}) AS a${i}, max(${column}) AS z${i}`;
  });
  const [row = {}] = await rowsOf(
    connection,
    `SELECT ${terms.join(", ")} FROM read_parquet(${quotedPath(path)})`,
  );
  return names.map((_, i) => ({
    count: numberIn(row[`n${i}`], 0),
    least: numberIn(row[`a${i}`], Number.NaN),
    most: numberIn(row[`z${i}`], Number.NaN),
  }));
}

async function belowZero(connection: Connection, path: string, column: string): Promise<number> {
  const [row] = await rowsOf(
    connection,
    `SELECT count(*)::DOUBLE AS n FROM read_parquet(${quotedPath(path)}) WHERE ${column} < 0`,
  );
  return numberIn(row?.n, 0);
}

/**
 * Rows that a run of one value has at most, by channel; those that cannot have a run that is told are
 * left out. A run that is told fills at least one block of half its length.
 */
async function longestStills(
  connection: Connection,
  path: string,
  { channels, names, rows }: Stored,
): Promise<ReadonlyMap<number, number>> {
  const { lively, stillFrom } = await evidence();
  const asked = channels.flatMap(({ role }, i) => (lively.includes(role) ? [i] : []));
  if (asked.length === 0) return new Map();
  const size = Math.max(1, Math.floor(stillFrom(rows) / 2));
  const terms = asked.map((i) => {
    const column = quotedName(names[i] ?? "");
    return `count(${column})::DOUBLE AS n${i}, min(${column}) AS a${i}, max(${column}) AS z${i}`;
  });
  const blocks = await rowsOf(
    connection,
    `SELECT count(*)::DOUBLE AS rows, ${terms.join(", ")}
     FROM read_parquet(${quotedPath(path)}, ${rowNumber} = true)
     GROUP BY ${rowNumber} // ${size} ORDER BY ${rowNumber} // ${size}`,
  );
  const found = asked.map((i) => {
    let most = 0;
    let inRow = 0;
    let before: unknown;
    for (const block of blocks) {
      const value = block[`a${i}`];
      const isStill = block[`n${i}`] === block.rows && value === block[`z${i}`];
      inRow = !isStill ? 0 : value === before ? inRow + 1 : 1;
      before = isStill ? value : undefined;
      most = Math.max(most, inRow);
    }
    return [i, most === 0 ? 0 : (most + 2) * size] as const;
  });
  return new Map(found.filter(([, most]) => most > 0));
}

type Levels = Pick<ChannelFacts, "start" | "startNoise" | "far" | "end">;

async function levelsOf(
  connection: Connection,
  path: string,
  name: string,
  { count, least, most, rows }: Extremes & { readonly rows: number },
): Promise<Levels> {
  if (count === 0) return unlevelled;
  const { endPart, levelOf } = await evidence();
  const part = endPart(count);
  const column = quotedName(name);
  const values = `SELECT ${column} AS v FROM read_parquet(${quotedPath(path)}) WHERE ${column} IS NOT NULL`;
  // Without a gap the rows are known by their numbers, and the database reads no others.
  const some = async (from: number): Promise<Float64Array> => {
    if (count === rows)
      return (await readColumns(connection, path, [name], from, part))[0] ?? new Float64Array();
    const found = await rowsOf(connection, `${values} LIMIT ${part} OFFSET ${from}`);
    return Float64Array.from(found, ({ v }) => numberIn(v, Number.NaN));
  };
  const { level: start, noise: startNoise } = levelOf(await some(0));
  const { level: end } = levelOf(await some(Math.max(0, count - part)));
  return { start, startNoise, far: await farFrom(connection, path, column, { start, least, most }), end };
}

/** The further one of the extremes; of two as far the one that comes first. */
async function farFrom(
  connection: Connection,
  path: string,
  column: string,
  { start, least, most }: { readonly start: number; readonly least: number; readonly most: number },
): Promise<number> {
  const [down, up] = [Math.abs(least - start), Math.abs(most - start)];
  if (down !== up || least === most) return down > up ? least : most;
  const [row] = await rowsOf(
    connection,
    `SELECT ${column} AS v FROM read_parquet(${quotedPath(path)})
     WHERE ${column} = ${numberText(least)} OR ${column} = ${numberText(most)} LIMIT 1`,
  );
  return numberIn(row?.v, least);
}

interface RunSearch {
  readonly column: string;
  readonly rows: number;
  /** Rows that a run has at most; 0 where none is told. */
  readonly still: number;
  readonly lineAt: (row: number) => Promise<number>;
}

/** The longest run of one value, the first of several. A sample without a value is like no other. */
async function runOf(
  connection: Connection,
  path: string,
  { column, rows, still, lineAt }: RunSearch,
): Promise<ChannelFacts["run"]> {
  if (still === 0) return undefined;
  const { isOddRun } = await evidence();
  // The rows come in their own order, so that the database need not sort them.
  const steps = `SELECT ${rowNumber} AS r, ${column} AS v, lag(${column}) OVER () AS before
    FROM read_parquet(${quotedPath(path)}, ${rowNumber} = true)`;
  const isBegin = "r = 0 OR NOT coalesce(v = before, false)";
  const [counted] = await rowsOf(connection, `SELECT count(*)::DOUBLE AS n FROM (${steps}) WHERE ${isBegin}`);
  const changes = numberIn(counted?.n, 1) - 1;
  if (!isOddRun(rows, { length: still, changes })) return undefined;
  const [row] = await rowsOf(
    connection,
    `WITH begins AS (SELECT r FROM (${steps}) WHERE ${isBegin}),
     runs AS (SELECT r, lead(r, 1, ${rows}) OVER (ORDER BY r) - r AS n FROM begins)
     SELECT n::DOUBLE AS n, r::DOUBLE AS r FROM runs ORDER BY n DESC, r LIMIT 1`,
  );
  return { length: numberIn(row?.n, 1), line: await lineAt(numberIn(row?.r, 0)), changes };
}
