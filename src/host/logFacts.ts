/**
 * The facts of the channels of a stored log (src/evidence/log/facts.ts), worked out by the database over
 * all of its rows. What would take long is asked only where something cheaper leaves it open: runs of one
 * value are counted one by one where looks at rows all over the log find a single value in several of
 * them one after another, and the channel else changes.
 */
import type { ChannelFacts, StoredHead } from "../evidence/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";
import { type Extremes, noExtremes, type StoredExtremes } from "./logExtremes.js";
import { readColumns } from "./parquet.js";

/** Rows of a stored log by their own number, from 0. */
const rowNumber = "file_row_number";

type Stored = Pick<StoredHead, "channels" | "names" | "rows">;

/** Channels of which the levels at start and end are asked. */
const levelled: readonly string[] = ["angle", "motor_current", "pressure_upstream", "pressure_downstream"];

/**
 * Facts of every channel, in the order of the mapping.
 * @param columns  how far each column goes
 * @param lineAt   line of the original that a row of the stored log comes from
 */
export async function storedFacts(
  connection: Connection,
  path: string,
  stored: Stored,
  { columns }: StoredExtremes,
  lineAt: (row: number) => Promise<number>,
): Promise<readonly ChannelFacts[]> {
  const extremes = stored.names.map((name) => columns.get(name) ?? noExtremes);
  const runs = await longestStills(connection, path, stored);
  const levels = await levelsIn(connection, path, stored, extremes);
  const facts: ChannelFacts[] = [];
  for (const [i, { role, name, unit }] of stored.channels.entries()) {
    const { count, least, most } = extremes[i] ?? noExtremes;
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
      ...(levels.get(i) ?? unlevelled),
      run:
        least === most
          ? undefined
          : await runOf(connection, path, { column, rows: stored.rows, still: runs.get(i) ?? 0, lineAt }),
    });
  }
  return facts;
}

const unlevelled = { start: Number.NaN, startNoise: Number.NaN, far: Number.NaN, end: Number.NaN };

const numberIn = (value: unknown, other: number): number => (typeof value === "number" ? value : other);

async function belowZero(connection: Connection, path: string, column: string): Promise<number> {
  const [row] = await rowsOf(
    connection,
    `SELECT count(*)::DOUBLE AS n FROM read_parquet(${quotedPath(path)}) WHERE ${column} < 0`,
  );
  return numberIn(row?.n, 0);
}

/** Rows read at each look, and looks in a run of one value that is long enough to be told. */
const lookRows = 16;
const looksInRun = 4;

/**
 * Rows that a run of one value has at most, by channel; those that cannot have a run that is told are
 * left out.
 *
 * With a look at the first rows of every s, s = (rows of the shortest run that is told) / 4, that run holds
 * at least 4 - 1 whole looks one after another, and each of them has its one value alone. A run that holds
 * n whole looks is shorter than (n + 2) s.
 */
async function longestStills(
  connection: Connection,
  path: string,
  { channels, names, rows }: Stored,
): Promise<ReadonlyMap<number, number>> {
  const { lively, stillFrom } = await evidence();
  const asked = channels.flatMap(({ role }, i) => (lively.includes(role) ? [i] : []));
  if (asked.length === 0) return new Map();
  const size = Math.max(1, Math.floor(stillFrom(rows) / looksInRun));
  const terms = asked.map((i) => {
    const column = quotedName(names[i] ?? "");
    return `count(${column})::DOUBLE AS n${i}, min(${column}) AS a${i}, max(${column}) AS z${i}`;
  });
  const looks = await rowsOf(
    connection,
    `SELECT count(*)::DOUBLE AS rows, ${terms.join(", ")}
     FROM read_parquet(${quotedPath(path)}, ${rowNumber} = true)
     WHERE ${rowNumber} % ${size} < ${lookRows}
     GROUP BY ${rowNumber} // ${size} ORDER BY ${rowNumber} // ${size}`,
  );
  const found = asked.map((i) => {
    let most = 0;
    let inRow = 0;
    let before: unknown;
    for (const look of looks) {
      const value = look[`a${i}`];
      const isStill = look[`n${i}`] === look.rows && value === look[`z${i}`];
      inRow = !isStill ? 0 : value === before ? inRow + 1 : 1;
      before = isStill ? value : undefined;
      most = Math.max(most, inRow);
    }
    return [i, most < looksInRun - 1 ? 0 : (most + 2) * size] as const;
  });
  return new Map(found.filter(([, most]) => most > 0));
}

type Levels = Pick<ChannelFacts, "start" | "startNoise" | "far" | "end">;

/** Levels of the channels of which they are asked, by the place of the channel. */
async function levelsIn(
  connection: Connection,
  path: string,
  { channels, names, rows }: Stored,
  extremes: readonly Extremes[],
): Promise<ReadonlyMap<number, Levels>> {
  const { endPart, levelOf } = await evidence();
  const countOf = (i: number): number => extremes[i]?.count ?? 0;
  const asked = channels.flatMap(({ role }, i) => (levelled.includes(role) && countOf(i) > 0 ? [i] : []));
  // Without a gap the rows are known by their numbers: they are read together, and no others.
  const whole = asked.filter((i) => countOf(i) === rows);
  const wholeNames = whole.map((i) => names[i] ?? "");
  const some = async (from: number, part: number) =>
    whole.length === 0 ? [] : await readColumns(connection, path, wholeNames, from, part);
  const starts = await some(0, endPart(rows));
  const ends = await some(rows - endPart(rows), endPart(rows));
  const found = new Map<number, Levels>();
  for (const i of asked) {
    const column = quotedName(names[i] ?? "");
    const at = whole.indexOf(i);
    const part = endPart(countOf(i));
    const first = starts[at] ?? (await valuesFrom(connection, path, column, 0, part));
    const last = ends[at] ?? (await valuesFrom(connection, path, column, countOf(i) - part, part));
    const { level: start, noise: startNoise } = levelOf(first);
    const { least, most } = extremes[i] ?? noExtremes;
    const far = await farFrom(connection, path, column, { start, least, most });
    found.set(i, { start, startNoise, far, end: levelOf(last).level });
  }
  return found;
}

/** Values of a column with gaps, by their own number from 0. */
async function valuesFrom(
  connection: Connection,
  path: string,
  column: string,
  from: number,
  count: number,
): Promise<Float64Array> {
  const found = await rowsOf(
    connection,
    `SELECT ${column} AS v FROM read_parquet(${quotedPath(path)}) WHERE ${column} IS NOT NULL
     LIMIT ${count} OFFSET ${Math.max(0, from)}`,
  );
  return Float64Array.from(found, ({ v }) => numberIn(v, Number.NaN));
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
