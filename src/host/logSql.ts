/** The reading of a log as a query: cells, conversions and time, in the order of operations of `readLog`. */
import type { Conversion, LogPlan, PlannedChannel } from "../evidence/index.js";
import { numberText, quotedName, quotedPath, quotedText } from "./database.js";

/** Instruments write 9.9E37 and more for beyond the range; the same bound as in evidence/log/cell.ts. */
const overRangeFrom = numberText(9.9e37);

/** A column as the database reads it. */
export interface RawColumn {
  /** Name in the query: c1, c2 ... */
  readonly name: string;
  /** `text` where some cells may be no plain numbers: those are kept and counted. */
  readonly type: "number" | "text";
}

export const rawName = (index: number): string => `c${index}`;

/** Names of the columns of the stored log, in the order of the mapping. */
export function storedNames({ channels }: Pick<LogPlan, "channels">): readonly string[] {
  return namesOf(
    channels.map(({ channel: { role }, column: { name }, conversion: { unit } }) => ({ role, name, unit })),
  );
}

/** "angle_rad", "other 3 acc": role and unit, or the place and name of another quantity. */
export function namesOf(
  channels: readonly { readonly role: string; readonly name: string; readonly unit: string }[],
): readonly string[] {
  return channels.map(({ role, name, unit }, index) => {
    const words = role === "other" ? `other ${index + 1} ${name}` : role;
    return unit === "" ? words : `${words}_${unit}`;
  });
}

/** Name of the column that keeps what stood in cells that were not read. */
export const unreadName = (index: number): string => `${unreadPrefix}${index + 1}`;
export const unreadPrefix = "unread ";

/** One channel: its value, and beside it the text of a cell that gave none. */
export function channelTerms(
  planned: PlannedChannel,
  index: number,
  name: string,
  raw: RawColumn,
  isDecimalComma: boolean,
): readonly string[] {
  const cell = quotedName(raw.name);
  if (raw.type === "number") return [`${signedTerm(planned.conversion, cell)} AS ${quotedName(name)}`];
  const value = valueTerm(planned.conversion, plainNumber(cell, isDecimalComma));
  const stored = `${value} AS ${quotedName(name)}`;
  const unread = `CASE WHEN (${value}) IS NULL THEN coalesce(trim(${cell}), '') END`;
  return [stored, `${unread} AS ${quotedName(unreadName(index))}`];
}

/** A text as a plain number; underscores between digits are taken by the database alone. */
function plainNumber(cell: string, isDecimalComma: boolean): string {
  const text = isDecimalComma ? `replace(replace(${cell}, '.', '?'), ',', '.')` : cell;
  return `TRY_CAST(CASE WHEN contains(${cell}, '_') THEN NULL ELSE ${text} END AS DOUBLE)`;
}

/** Value of a reading, NULL for one that stands for none; as `readingInSi`. */
function valueTerm(conversion: Conversion, x: string): string {
  const isNone = conversion.missing.map((one) => `${x} <> ${numberText(one)}`);
  const isReading = [`abs(${x}) < ${overRangeFrom}`, ...isNone].join(" AND ");
  return `CASE WHEN ${isReading} THEN ${signedTerm(conversion, x)} END`;
}

function signedTerm({ curve, sign, zero }: Conversion, x: string): string {
  const on = curveTerm(curve, x);
  const zeroed = zero === 0 ? on : `(${on} - ${numberText(zero)})`;
  return sign < 0 ? `-(${zeroed})` : zeroed;
}

/** A value beyond this, in any SI unit, is a mark of the instrument or none: its column is read as text. */
export const strangeFrom = 1e30;

function curveTerm(curve: Conversion["curve"], x: string): string {
  switch (curve.kind) {
    case "reciprocal":
      return `(1.0::DOUBLE / (${numberText(curve.factor)} * ${x}))`;
    case "polynomial": {
      const [last = 0, ...rest] = [...curve.coefficients].reverse();
      // A unit that is the SI unit itself costs nothing.
      if (curve.coefficients.length === 2 && last === 1 && rest[0] === 0) return x;
      return rest.reduce((term, c) => `(${term} * ${x} + ${numberText(c)})`, numberText(last));
    }
    case "table": {
      const { readings, values } = curve;
      const pieces = readings.slice(0, -1).map((x0, i) => {
        const [x1 = 1, y0 = 0, y1 = 0] = [readings[i + 1], values[i], values[i + 1]];
        const slope = numberText((y1 - y0) / (x1 - x0));
        const value = `(${numberText(y0)} + ${slope} * (${x} - ${numberText(x0)}))`;
        return { until: x1, value };
      });
      const last = pieces[pieces.length - 1]?.value ?? "NULL";
      const cases = pieces
        .slice(0, -1)
        .map(({ until, value }) => `WHEN ${x} < ${numberText(until)} THEN ${value}`);
      return cases.length === 0 ? last : `CASE ${cases.join(" ")} ELSE ${last} END`;
    }
  }
}

/** Time of a row where it is a number; otherwise what the clock reads is kept as it stands. */
export function timeTerms({ clock }: LogPlan): readonly string[] {
  const { column, dateColumn, linear } = clock;
  if (column === undefined) return [];
  const cell = quotedName(rawName(column.index));
  if (linear === undefined) {
    const date = dateColumn === undefined ? "''" : `coalesce(${quotedName(rawName(dateColumn.index))}, '')`;
    return [`coalesce(trim(${cell}), '') AS stamp`, `trim(${date}) AS stamp_date`];
  }
  const since = linear.origin === 0 ? cell : `(${cell} - ${numberText(linear.origin)})`;
  const t =
    linear.divisor === undefined
      ? `${numberText(linear.factor ?? 1)} * ${since}`
      : `${since} / ${numberText(linear.divisor)}`;
  return [`${t} AS time_s`];
}

export interface CsvSource {
  readonly path: string;
  readonly delimiter: string;
  readonly isDecimalComma: boolean;
  /** Lines ahead of the first row. */
  readonly skip: number;
  readonly columns: readonly RawColumn[];
}

/** A text table, every choice made: the database guesses nothing. Rows of another form are kept apart. */
export function csvTable(source: CsvSource): string {
  const types = source.columns.map(({ name, type }) => {
    return `${quotedText(name)}: '${type === "number" ? "DOUBLE" : "VARCHAR"}'`;
  });
  const options = [
    "auto_detect = false",
    "header = false",
    `skip = ${source.skip}`,
    `delim = ${quotedText(source.delimiter)}`,
    `quote = '"'`,
    `escape = '"'`,
    ...(source.isDecimalComma ? ["decimal_separator = ','"] : []),
    `columns = {${types.join(", ")}}`,
    "store_rejects = true",
    `rejects_limit = ${mostRejects}`,
  ];
  return `read_csv(${quotedPath(source.path)}, ${options.join(", ")})`;
}

/** Rows of another form that are told one by one; a log with more is refused. */
export const mostRejects = 100_000;
