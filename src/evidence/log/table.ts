/**
 * Where the table of a log lies: which sign parts the cells, which is the decimal sign, which lines
 * are metadata, names, units, rows and footer.
 */
import { Refusal } from "../../fault/index.js";
import { unitDimensions } from "../../quantity/index.js";
import { type Decimal, readCell } from "./cell.js";
import { cellsOf, type Delimiter, type LogLine } from "./lines.js";
import { isDate, isStamp } from "./stamp.js";
import { plainUnit, splitName } from "./unitText.js";

/** How a log is written. Without `header_line` the line of names is found anew in each file. */
export interface Dialect {
  readonly delimiter: Delimiter;
  readonly decimal: Decimal;
  /** Line of the column names, counted from 1. */
  readonly header_line?: number;
}

/** One column: its place counted from 1, its name without the unit, and the unit the file states. */
export interface Column {
  readonly index: number;
  readonly name: string;
  readonly unit?: string;
}

/** A line ahead of the table, kept as it is. */
export interface MetadataLine {
  readonly line: number;
  readonly text: string;
}

export interface Table {
  readonly dialect: Dialect;
  readonly metadata: readonly MetadataLine[];
  readonly columns: readonly Column[];
  readonly hasNames: boolean;
  /** Rows of data and whatever stands between them. */
  readonly rows: readonly LogLine[];
  readonly footer: readonly MetadataLine[];
}

/** Lines from the start of the file in which the table must begin. */
const sampleLines = 2000;
/** Of these the first so many are all looked at for the dialect, and about as many of the rest. */
const densely = 150;
/** Most lines of names and units above the rows. */
const mostHeaderLines = 4;
/** Share of the columns that a line of names fills. */
const namesFill = 0.6;

const dialects: readonly Dialect[] = (["point", "comma"] as const).flatMap((decimal) =>
  (["comma", "semicolon", "tab", "pipe", "spaces"] as const).map((delimiter) => ({ delimiter, decimal })),
);

/**
 * Finds the dialect of a log: the one in which most cells of equally long rows are numbers.
 *
 * Refuses  a text without rows of numbers; one whose decimal sign and delimiter are both a bare comma
 */
export function findDialect(lines: readonly LogLine[]): Dialect {
  const filled = lines.slice(0, sampleLines).filter((line) => line.text.trim() !== "");
  const sample = thinned(filled);
  const parted = new Map<Delimiter, readonly (readonly string[])[]>();
  let best: { readonly dialect: Dialect; readonly score: number } | undefined;
  for (const dialect of dialects) {
    const { delimiter } = dialect;
    const rows =
      parted.get(delimiter) ?? sample.map(({ text }) => withoutTrailingBlanks(cellsOf(text, delimiter)));
    parted.set(delimiter, rows);
    const score = dialectScore(rows, dialect);
    if (score > (best?.score ?? 0)) best = { dialect, score };
  }
  if (best === undefined) refuseNoTable(filled);
  return best.dialect;
}

/** The first lines, and of a long sample every third and more of the rest: each costs ten readings. */
function thinned(lines: readonly LogLine[]): readonly LogLine[] {
  const step = Math.ceil((lines.length - densely) / densely);
  return step <= 1 ? lines : lines.filter((_, i) => i < densely || i % step === 0);
}

function dialectScore(rows: readonly (readonly string[])[], dialect: Dialect): number {
  const byCount = new Map<number, number>();
  for (const cells of rows) {
    const score = rowScore(cells, dialect.decimal);
    // A single number on a line says nothing about the delimiter.
    const worth = cells.length > 1 ? score : score / 100;
    if (score > 0) byCount.set(cells.length, (byCount.get(cells.length) ?? 0) + worth);
  }
  return Math.max(0, ...byCount.values());
}

/** Numbers less twice the words: positive for a row of data, also one with a column of remarks. */
function rowScore(cells: readonly string[], decimal: Decimal): number {
  let score = 0;
  for (const cell of cells) {
    const { kind } = readCell(cell, decimal);
    // Dashes stand for no reading in a row of data and for no unit in a row of units.
    if (kind === "blank" || kind === "marker") continue;
    score += kind === "number" || isStamp(cell) || isDate(cell) ? 1 : -2;
  }
  return score;
}

function withoutTrailingBlanks(cells: readonly string[]): readonly string[] {
  let length = cells.length;
  while (length > 0 && cells[length - 1] === "") length--;
  return length === cells.length ? cells : cells.slice(0, length);
}

/**
 * Lays a table out in a known dialect.
 *
 * Refuses  a text without rows in this dialect, and a `header_line` that is not in the file
 */
export function layTable(lines: readonly LogLine[], dialect: Dialect): Table {
  const { delimiter, decimal } = dialect;
  const isRow = (line: LogLine) => rowScore(cellsOf(line.text, delimiter), decimal) > 0;
  const after = dialect.header_line ?? 0;
  const first = lines.findIndex(
    (line, i) => line.line > after && isRow(line) && isFollowed(lines, i, dialect),
  );
  if (first < 0) refuseNoTable(lines.filter((line) => line.text.trim() !== ""));
  const header = headerOf(lines, first, dialect);
  let end = lines.length;
  while (end > first + 1 && !isRow(lines[end - 1] ?? { line: 0, text: "" })) end--;
  const kept = (line: LogLine) => line.text.trim() !== "";
  return {
    dialect,
    metadata: lines.slice(0, header.from).filter(kept),
    columns: header.columns,
    hasNames: header.hasNames,
    rows: lines.slice(first, end),
    footer: lines.slice(end).filter(kept),
  };
}

/** A row of data is followed by rows of the same length: a lone line of numbers may be metadata. */
function isFollowed(lines: readonly LogLine[], at: number, { delimiter, decimal }: Dialect): boolean {
  const count = cellsOf(lines[at]?.text ?? "", delimiter).length;
  const next = lines.slice(at + 1, at + 4).filter((line) => line.text.trim() !== "");
  if (next.length === 0) return true;
  return next.some((line) => {
    const cells = cellsOf(line.text, delimiter);
    return cells.length === count && rowScore(cells, decimal) > 0;
  });
}

interface Header {
  /** Number of the first line that belongs to the table. */
  readonly from: number;
  readonly columns: readonly Column[];
  readonly hasNames: boolean;
}

function headerOf(lines: readonly LogLine[], first: number, dialect: Dialect): Header {
  const width = rowWidth(lines, first, dialect);
  const above: (readonly string[])[] = [];
  let from = first;
  while (from > 0 && above.length < mostHeaderLines) {
    const text = (lines[from - 1]?.text ?? "").replace(/^\s*(#|%|\/\/)\s?/, "");
    const cells = cellsOf(text, dialect.delimiter);
    const filled = cells.filter((cell) => cell !== "").length;
    // Runs of blanks leave no empty cells; and a second line of names is as wide as the first.
    const least = dialect.delimiter === "spaces" ? width : namesFill * width;
    const isAsWide = above.every((other) => other.length === cells.length);
    const isHead =
      filled >= least && cells.length <= width + 2 && isAsWide && rowScore(cells, dialect.decimal) <= 0;
    if (!isHead) break;
    above.unshift(cells);
    from--;
    // Words parted by blanks, or two of them, may be metadata: only the nearest line counts.
    if ((width <= 2 || dialect.delimiter === "spaces") && !isUnitRow(cells)) break;
    if (dialect.header_line !== undefined && (lines[from]?.line ?? 0) <= dialect.header_line) break;
  }
  const unitRow = above.findLast(isUnitRow);
  const names = above.filter((cells) => cells !== unitRow);
  const count = Math.max(width, ...above.map((cells) => withoutTrailingBlanks(cells).length));
  const columns = Array.from({ length: count }, (_, i): Column => {
    const whole = names
      .map((cells) => cells[i] ?? "")
      .filter((cell) => cell !== "")
      .join(" ");
    const { name, unit } = splitName(whole === "" ? `column ${i + 1}` : whole);
    const stated = plainUnit(unitRow?.[i] ?? "") || unit;
    return { index: i + 1, name, ...(stated === undefined || stated === "" ? {} : { unit: stated }) };
  });
  return { from, columns, hasNames: names.length > 0 };
}

/** Cells of a usual row, without the blank columns at its end. */
function rowWidth(lines: readonly LogLine[], first: number, { delimiter, decimal }: Dialect): number {
  const widths = lines
    .slice(first, first + 50)
    .map((line) => withoutTrailingBlanks(cellsOf(line.text, delimiter)))
    .filter((cells) => rowScore(cells, decimal) > 0)
    .map((cells) => cells.length);
  return Math.max(...widths);
}

/** True if most filled cells are units or dashes for none. */
function isUnitRow(cells: readonly string[]): boolean {
  const filled = cells.filter((cell) => cell !== "");
  const units = filled.filter((cell) => cell === "-" || isUnit(plainUnit(cell)));
  return units.length >= 1 && units.length >= 0.6 * filled.length;
}

function isUnit(words: string): boolean {
  return words !== "" && (unitDimensions(words).length > 0 || /^(counts?|cts|%|-|1)$/i.test(words));
}

function refuseNoTable(lines: readonly LogLine[]): never {
  const first = lines[0];
  const last = lines[lines.length - 1];
  const looksLikeNames = (line: LogLine | undefined) => line !== undefined && /[,;\t|]/.test(line.text);
  const headOnly = lines.length <= 30 && looksLikeNames(last);
  const shown = headOnly ? last : first;
  throw new Refusal([
    {
      code: headOnly ? "log-no-rows" : "log-no-table",
      where: shown === undefined ? {} : { line: shown.line, column: 1, sourceLine: shown.text.slice(0, 200) },
      found: headOnly
        ? `the log ends after its head in line ${shown?.line ?? 1}: no row of numbers follows`
        : `none of the first ${Math.min(lines.length, sampleLines)} lines is followed by rows of numbers side by side`,
      allowed: "A log is a table: a line of column names, then one row of numbers for each sample.",
      mend: headOnly
        ? "Check that the logger was started and closed its file."
        : "Export the table as text, with columns parted by commas, semicolons, tabs, bars or blanks.",
    },
  ]);
}
