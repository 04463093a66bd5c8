/** What the analysis reads of a stored log: the channels with a role, about the stroke. */
import type { ChannelLog, StoredHead } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { quotedName, quotedPath } from "./database.js";
import { firstRow, readColumns } from "./parquet.js";

/** Rows that are read whole; of a longer log as many about the first change of the command. */
const mostRows = 100_000;
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

/** Reads the channels that have a role. Refuses as `readParquet`. */
export async function readWindow(
  path: string,
  { channels, names, rows }: Pick<StoredHead, "channels" | "names" | "rows">,
): Promise<Window> {
  const used = channels.flatMap(({ role }, i) => (role === "other" ? [] : [i]));
  const from = rows <= mostRows ? 0 : await startOf(path, channels, names, rows);
  const count = Math.min(mostRows, rows);
  const [time_s = new Float64Array(), ...values] = await readColumns(
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

async function startOf(
  path: string,
  channels: StoredHead["channels"],
  names: StoredHead["names"],
  rows: number,
): Promise<number> {
  const at = (role: string): string | undefined => names[channels.findIndex((one) => one.role === role)];
  const [command, angle] = [at("command"), at("angle")];
  const changed =
    (command === undefined ? undefined : await firstBeyond(path, command, undefined)) ??
    (angle === undefined ? undefined : await firstBeyond(path, angle, moved)) ??
    0;
  const ahead = Math.round(aheadShare * mostRows);
  return Math.min(Math.max(0, changed - ahead), rows - mostRows);
}

/** First row that lies further from the level at the start than a bound, or than half of the whole swing. */
async function firstBeyond(
  path: string,
  name: string,
  bound: number | undefined,
): Promise<number | undefined> {
  const column = quotedName(name);
  const [start = new Float64Array()] = await readColumns(path, [name], 0, restRows);
  const rest = [...start].filter((value) => !Number.isNaN(value)).sort((a, b) => a - b);
  const level = rest[rest.length >> 1] ?? 0;
  const far = `abs(${column} - CAST('${level}' AS DOUBLE))`;
  const source = `read_parquet(${quotedPath(path)})`;
  const least = bound ?? `(SELECT greatest(1e-9, 0.5 * max(${far})) FROM ${source})`;
  return await firstRow(path, `${far} > ${least}`);
}

function windowNotice(rows: number, time_s: Float64Array): Notice {
  const brief = (t: number | undefined) => Number((t ?? 0).toPrecision(6));
  return {
    code: "log-window",
    text: `the log has ${rows} rows; events and times were looked for in ${time_s.length} of them, from ${brief(time_s[0])} s to ${brief(time_s.at(-1))} s, about the first change of the command. All rows are stored`,
  };
}
