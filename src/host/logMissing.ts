/**
 * Numbers that stand for no value, as all readings of a stored log show: the same that a proposal finds
 * which has all of a log in memory. A number of this kind lies beyond all other readings, so that the
 * extremes of a channel show it.
 */
import type { ChannelFacts, LogPlan, RejectedCell, StoredHead } from "../evidence/index.js";
import { type Connection, numberText, quotedName, quotedPath, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";

interface Stored {
  readonly plan: LogPlan;
  readonly head: StoredHead;
  readonly facts: readonly ChannelFacts[];
  /** Cells that gave no value, one of each text and column. */
  readonly unread: readonly RejectedCell[];
}

/**
 * Of each channel, in the order of the mapping. Where readings do not follow from values one by one (a
 * table or a curve of higher degree), those that the mapping has.
 */
export async function missingByAll(
  connection: Connection,
  path: string,
  { plan, head, facts, unread }: Stored,
): Promise<readonly (readonly number[])[]> {
  const { isKnown, knownBehind, readReading, readingBehind, sentinelsBeyond } = await evidence();
  const missing: (readonly number[])[] = [];
  for (const [i, { channel, column, conversion }] of plan.channels.entries()) {
    const asMapped = channel.missing ?? [];
    const name = quotedName(head.names[i] ?? "");
    const set = unread.flatMap((cell) => {
      if (cell.column !== column.index) return [];
      const reading = readReading(cell.text, channel.role, plan.table.dialect.decimal);
      return "value" in reading && isKnown(reading.value) ? [reading.value] : [];
    });
    const found = new Map<number, number>();
    let { count, least, most } = facts[i] ?? { count: 0, least: Number.NaN, most: Number.NaN };
    for (;;) {
      const known = [least, most].flatMap((value) => {
        const reading = knownBehind(conversion, value);
        return reading === undefined ? [] : [[value, reading] as const];
      });
      if (count === 0 || known.length === 0) break;
      for (const [value, reading] of known) found.set(value, reading);
      ({ count, least, most } = await extremesBut(connection, path, name, [...found.keys()]));
    }
    const ends = count === 0 ? [0] : [least, most].map((value) => readingBehind(conversion, value));
    missing.push(
      ends.includes(undefined)
        ? asMapped
        : sentinelsBeyond([...new Set([...set, ...found.values()])], {
            count,
            largest: Math.max(...ends.map((end) => Math.abs(end ?? 0))),
          }),
    );
  }
  return missing;
}

/** Count and extremes of a column but for some values. */
async function extremesBut(
  connection: Connection,
  path: string,
  column: string,
  values: readonly number[],
): Promise<Pick<ChannelFacts, "count" | "least" | "most">> {
  const [row] = await rowsOf(
    connection,
    `SELECT count(${column})::DOUBLE AS n, min(${column}) AS a, max(${column}) AS z
     FROM read_parquet(${quotedPath(path)}) WHERE ${column} NOT IN (${values.map(numberText).join(", ")})`,
  );
  const numberIn = (value: unknown): number => (typeof value === "number" ? value : Number.NaN);
  return { count: Number(row?.n ?? 0), least: numberIn(row?.a), most: numberIn(row?.z) };
}
