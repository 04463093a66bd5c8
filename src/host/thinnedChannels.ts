/**
 * The channels of a run as the eye needs them: of each stretch of time the smallest and the largest value,
 * each at its own time, so that no spike is lost however long the log is. All by the database, from the
 * stored log: no more than the answer comes into memory.
 */
import { join } from "node:path";
import { refuse } from "../fault/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { unreadPrefix } from "./logSql.js";
import { marksOf } from "./openLog.js";
import { parquetHead, readingParquet } from "./parquet.js";
import { kindAt } from "./readFile.js";
import { readRunLog, type StoredRun, storedLogName } from "./runFolder.js";

/** A stored log of a run: one for each of its files, each on the clock of its own file. */
export interface ChannelList {
  readonly file: string;
  readonly rows: number;
  readonly from_s: number;
  readonly to_s: number;
  /** In SI units. */
  readonly channels: readonly { readonly name: string; readonly role: string }[];
}

export interface ThinRange {
  readonly from_s?: number | undefined;
  readonly to_s?: number | undefined;
  /** Number of stretches that the range is cut into, 1 or more. */
  readonly buckets: number;
}

/** A channel, in the order of time. A value that is missing is null. */
export interface ThinnedChannel {
  readonly time_s: readonly number[];
  readonly value: readonly (number | null)[];
}

export interface Thinned {
  readonly from_s: number;
  readonly to_s: number;
  /** Rows of the log in the range. */
  readonly rows: number;
  /** False where the channels hold every row. */
  readonly isThinned: boolean;
  readonly channels: Readonly<Record<string, ThinnedChannel>>;
}

/** Below this many rows for each bucket all of them are given: thinning would save nothing. */
const rowsAsTheyAre = 4;

/** What the stored logs of a run hold; they are made anew where they are missing or outdated. */
export async function listChannels(run: StoredRun): Promise<readonly ChannelList[]> {
  const parts = partsOf(run);
  return await Promise.all(
    parts.map(async ({ original, mapping }, index) => {
      const { path, names, rows } = await storedPart(run, index);
      const span = await readingParquet(path, (connection) => spanOf(connection, path));
      const channels = names.map((name, i) => ({ name, role: mapping.channels[i]?.role ?? "other" }));
      return { file: original.file, rows, ...span, channels };
    }),
  );
}

/**
 * Some channels of one file of a run over a range of time.
 * @param file  of the run, from 0;  @param names  as `listChannels` has them
 * Refuses      a file or a channel that the run does not have
 */
export async function thinChannels(
  run: StoredRun,
  file: number,
  names: readonly string[],
  range: ThinRange,
): Promise<Thinned> {
  const stored = await storedPart(run, file);
  for (const name of names) if (!stored.names.includes(name)) refuseChannel(run, name, stored.names);
  return await thinColumns(stored.path, names, range);
}

/** Columns of a stored log over a range of time, as `thinChannels`. @param path  of the Parquet file */
export async function thinColumns(
  path: string,
  names: readonly string[],
  { from_s, to_s, buckets }: ThinRange,
): Promise<Thinned> {
  return await readingParquet(path, async (connection) => {
    const whole =
      from_s === undefined || to_s === undefined ? await spanOf(connection, path) : { from_s, to_s };
    const range = { from_s: from_s ?? whole.from_s, to_s: to_s ?? whole.to_s };
    const where = `FROM read_parquet(${quotedPath(path)}) WHERE time_s >= ${numberText(range.from_s)} AND time_s <= ${numberText(range.to_s)}`;
    const [counted] = await rowsOf(connection, `SELECT count(*)::INTEGER AS n ${where}`);
    const rows = Number(counted?.n ?? 0);
    const isThinned = rows > rowsAsTheyAre * buckets;
    const channels = isThinned
      ? await extremes(connection, where, names, { ...range, buckets })
      : await allValues(connection, where, names);
    return { ...range, rows, isThinned, channels };
  });
}

async function spanOf(connection: Connection, path: string) {
  const query = `SELECT min(time_s) AS low, max(time_s) AS high FROM read_parquet(${quotedPath(path)})`;
  const [found] = await rowsOf(connection, query);
  return { from_s: Number(found?.low ?? 0), to_s: Number(found?.high ?? 0) };
}

async function extremes(
  connection: Connection,
  where: string,
  names: readonly string[],
  { from_s, to_s, buckets }: Required<{ from_s: number; to_s: number; buckets: number }>,
): Promise<Record<string, ThinnedChannel>> {
  const width = (to_s - from_s) / buckets;
  const bucket = `least(floor((time_s - ${numberText(from_s)}) / ${numberText(width)}), ${buckets - 1})`;
  const own = names.map(
    (name, i) => `CASE WHEN isfinite(${quotedName(name)}) THEN ${quotedName(name)} END AS c${i}`,
  );
  const found = names.map(
    (_, i) =>
      `min(c${i}) AS a${i}, arg_min(time_s, c${i}) AS s${i}, max(c${i}) AS b${i}, arg_max(time_s, c${i}) AS t${i}`,
  );
  const query = `SELECT ${found.join(", ")} FROM (SELECT ${bucket} AS k, time_s, ${own.join(", ")} ${where}) GROUP BY k ORDER BY k`;
  const rows = await rowsOf(connection, query);
  return Object.fromEntries(
    names.map((name, i) => {
      const time_s: number[] = [];
      const value: (number | null)[] = [];
      for (const row of rows) {
        const [low, high, at, until] = [
          row[`a${i}`],
          row[`b${i}`],
          Number(row[`s${i}`]),
          Number(row[`t${i}`]),
        ];
        if (typeof low !== "number" || typeof high !== "number") {
          // A stretch without a value is a gap in the line, not a bridge.
          if (value.length > 0 && value.at(-1) !== null) {
            time_s.push(time_s.at(-1) ?? from_s);
            value.push(null);
          }
          continue;
        }
        const [first, second] = at <= until ? [low, high] : [high, low];
        time_s.push(Math.min(at, until));
        value.push(first);
        if (at !== until) {
          time_s.push(Math.max(at, until));
          value.push(second);
        }
      }
      return [name, { time_s, value }];
    }),
  );
}

async function allValues(
  connection: Connection,
  where: string,
  names: readonly string[],
): Promise<Record<string, ThinnedChannel>> {
  const list = names.map((name, i) => `${quotedName(name)} AS c${i}`).join(", ");
  const rows = await rowsOf(connection, `SELECT time_s, ${list} ${where} ORDER BY time_s`);
  const time_s = rows.map((row) => Number(row.time_s));
  return Object.fromEntries(
    names.map((name, i) => {
      const value = rows.map((row) => {
        const one = row[`c${i}`];
        return typeof one === "number" ? one : null;
      });
      return [name, { time_s, value }];
    }),
  );
}

function partsOf({ record }: StoredRun) {
  return [record, ...(record.furtherFiles ?? [])];
}

/** The stored log of a file, made anew from its original where it is missing or of another mapping. */
async function storedPart(run: StoredRun, index: number) {
  const part = partsOf(run)[index];
  if (part === undefined)
    return refuseChannel(
      run,
      `file ${index}`,
      partsOf(run).map((_, i) => `file ${i}`),
    );
  const path = join(run.folder, storedLogName(index));
  const wanted = await marksOf(join(run.folder, part.original.file), part.mapping);
  const isOurs = async () => {
    if ((await kindAt(path)) !== "file") return false;
    const { about } = await parquetHead(path);
    return Object.entries(wanted).every(([key, value]) => about[key] === value);
  };
  if (!(await isOurs())) await readRunLog(run);
  const { names, rows } = await parquetHead(path);
  const own = names.filter(
    (name) => name !== "time_s" && name !== "line_in_original" && !name.startsWith(unreadPrefix),
  );
  return { path, names: own, rows };
}

function refuseChannel({ record }: StoredRun, name: string, names: readonly string[]): never {
  return refuse(
    "serve-request",
    `run ${record.id} has no ${name}`,
    `It has ${names.join(", ")}.`,
    "Reload the page: the mapping of the run may have changed",
  );
}
