/** What the analysis reads of a stored log: the channels with a role, about the stroke. */
import type { ChannelLog, StoredHead } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { firstRow, readColumns } from "./parquet.js";

/** Rows that one stroke is read from; of a longer log as many about the first change of the command. */
export const strokeRows = 100_000;
/** Rows that all strokes of a log, or its leak, are read from: 16 MB a channel. */
export const allRows = 2_000_000;
/** Share of them ahead of that change. */
const aheadShare = 0.2;
/** A change of the angle that is no noise, where no command tells [rad]. */
const moved = Math.PI / 180;
/** Rows at the start that show the levels at rest. */
const restRows = 1000;

export interface Window {
  readonly channels: ChannelLog;
  readonly notices: readonly Notice[];
}

/** Reads the channels that have a role. @param mostRows  rows at most */
export async function readWindow(
  connection: Connection,
  path: string,
  { channels, names, rows }: Pick<StoredHead, "channels" | "names" | "rows">,
  mostRows = strokeRows,
): Promise<Window> {
  const used = channels.flatMap(({ role }, i) => (role === "other" ? [] : [i]));
  const changed = rows <= mostRows ? 0 : await firstChange(connection, path, channels, names);
  // The rest ahead of the change is as long however much is read behind it.
  const ahead = Math.round(aheadShare * strokeRows);
  const from = Math.min(Math.max(0, changed - ahead), Math.max(0, rows - mostRows));
  const count = Math.min(mostRows, rows);
  const [time_s = new Float64Array(), ...values] = await readColumns(
    connection,
    path,
    ["time_s", ...used.map((i) => names[i] ?? "")],
    from,
    count,
  );
  const read: ChannelLog = {
    time_s,
    channels: used.flatMap((i, at) => {
      const channel = channels[i];
      if (channel === undefined) return [];
      const { role, standardUncertainty: u } = channel;
      const own = { role, values: values[at] ?? new Float64Array(time_s.length) };
      return [u === undefined ? own : { ...own, standardUncertainty: u }];
    }),
  };
  return { channels: read, notices: rows <= mostRows ? [] : [windowNotice(rows, time_s)] };
}

async function firstChange(
  connection: Connection,
  path: string,
  channels: StoredHead["channels"],
  names: StoredHead["names"],
): Promise<number> {
  const at = (role: string): string | undefined => names[channels.findIndex((one) => one.role === role)];
  const [command, angle] = [at("command"), at("angle")];
  return (
    (command === undefined ? undefined : await firstBeyond(connection, path, command, undefined)) ??
    (angle === undefined ? undefined : await firstBeyond(connection, path, angle, moved)) ??
    0
  );
}

/** First row that lies further from the level at the start than a bound, or than half of the whole swing. */
async function firstBeyond(
  connection: Connection,
  path: string,
  name: string,
  bound: number | undefined,
): Promise<number | undefined> {
  const column = quotedName(name);
  const [start = new Float64Array()] = await readColumns(connection, path, [name], 0, restRows);
  const rest = [...start].filter((value) => !Number.isNaN(value)).sort((a, b) => a - b);
  const level = rest[rest.length >> 1] ?? 0;
  const far = `abs(${column} - CAST('${level}' AS DOUBLE))`;
  const least = bound ?? (await halfSwing(connection, path, column, level));
  // An angle at rest where its sensor begins anew reads either end of its turn.
  const isTurn = `abs(${far} - ${numberText(2 * Math.PI)}) <= ${numberText(least)}`;
  const beyond = `${far} > ${numberText(least)}`;
  return await firstRow(connection, path, bound === undefined ? beyond : `${beyond} AND NOT ${isTurn}`);
}

/** Half of the furthest that a column lies from a level. */
async function halfSwing(
  connection: Connection,
  path: string,
  column: string,
  level: number,
): Promise<number> {
  const query = `SELECT min(${column}) AS low, max(${column}) AS high FROM read_parquet(${quotedPath(path)})`;
  const [found] = await rowsOf(connection, query);
  const [low, high] = [Number(found?.low ?? level), Number(found?.high ?? level)];
  return Math.max(1e-9, 0.5 * Math.max(high - level, level - low));
}

function windowNotice(rows: number, time_s: Float64Array): Notice {
  const brief = (t: number | undefined) => Number((t ?? 0).toPrecision(6));
  return {
    code: "log-window",
    text: `the log has ${rows} rows; events and times were looked for in ${time_s.length} of them, from ${brief(time_s[0])} s to ${brief(time_s.at(-1))} s, about the first change of the command. All rows are stored`,
  };
}
