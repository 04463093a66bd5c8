/** The cells of a stored log that gave no value: what stood in them, how often, and in which line first. */
import type { LogPlan, Mapping, RejectedCell } from "../evidence/index.js";
import { refuse } from "../fault/index.js";
import { type Connection, quotedName, quotedPath, rowsOf } from "./database.js";
import { evidence } from "./evidence.js";
import { unreadName } from "./logSql.js";

/** Cells or rows of one text and reason. */
export interface Group {
  readonly count: number;
  readonly first: RejectedCell;
}

/** Texts of unread cells that are told apart in one column. */
const mostTexts = 5000;

export interface UnreadCells {
  readonly groups: readonly Group[];
  readonly firsts: readonly RejectedCell[];
  readonly blanks: ReadonlyMap<string, { readonly count: number; readonly firstLine: number }>;
  /** Texts that do mean a value, by channel: on and off, grouped thousands. */
  readonly values: ReadonlyMap<number, ReadonlyMap<string, number>>;
}

export async function unreadCells(
  connection: Connection,
  { plan, mapping }: { readonly plan: LogPlan; readonly mapping: Mapping },
  odd: ReadonlySet<number>,
  path: string,
  lineOf: (row: number) => number,
): Promise<UnreadCells> {
  const { readReading, readingInSi, missingReason } = await evidence();
  const groups: Group[] = [];
  const blanks = new Map<string, { count: number; firstLine: number }>();
  const values = new Map<number, Map<string, number>>();
  for (const [i, { channel, column, conversion }] of plan.channels.entries()) {
    if (!odd.has(column.index)) continue;
    const name = quotedName(unreadName(i));
    const found = await rowsOf(
      connection,
      `SELECT ${name} AS text, count(*)::INTEGER AS n, min(file_row_number)::INTEGER AS first
       FROM read_parquet(${quotedPath(path)}, file_row_number = true)
       WHERE ${name} IS NOT NULL GROUP BY 1 ORDER BY 3 LIMIT ${mostTexts + 1}`,
    );
    if (found.length > mostTexts) refuseTexts(column.name, lineOf(Number(found[0]?.first)));
    for (const { text: written, n, first } of found) {
      const text = String(written);
      const line = lineOf(Number(first));
      const reading = readReading(text, channel.role, mapping.dialect.decimal);
      if ("value" in reading && !(channel.missing?.includes(reading.value) ?? false)) {
        const own = values.get(i) ?? new Map<string, number>();
        values.set(i, own.set(text, readingInSi(conversion, reading.value)));
      } else if ("reason" in reading && reading.reason === "") {
        blanks.set(column.name, { count: Number(n), firstLine: line });
      } else {
        const reason = "reason" in reading ? reading.reason : missingReason;
        groups.push({ count: Number(n), first: { line, column: column.index, text, reason } });
      }
    }
  }
  return { groups, firsts: groups.map(({ first }) => first), blanks, values };
}

function refuseTexts(name: string, line: number): never {
  return refuse(
    "log-cells-odd",
    `"${name}" holds more than ${mostTexts} different texts that are no plain numbers, first in line ${line}`,
    "A cell is a number, a word like OVER for no reading, or blank.",
    "Export the column as plain numbers, or take it out of the mapping.",
  );
}
