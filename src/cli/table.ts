/**
 * Rows of texts in columns, broken within their column so that the table fits the page. Where words
 * would have to be broken too, each row becomes a paragraph.
 */
import { type Page, padded, paragraph, strong, widthOf, withUnitsGlued, wrapped } from "./page.js";

const gap = 2;
/** A word longer than this may be broken. */
const longestWord = 40;

/**
 * @param heads   one per column, or none at all
 * @param rows    one text per column; colour codes are allowed where a text is short
 * @param indent  cells in front of every line
 */
export function tableLines(
  page: Page,
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  indent = 2,
): readonly string[] {
  const room = page.columns - indent;
  const least = leastWidths(heads, rows);
  if (heads.length > 2 && total(least) > room)
    return rows.flatMap((row) => paragraphs(page, heads, row, indent));
  const widths = widthsOf(heads, rows, least, room);
  const lines = (row: readonly string[]): readonly string[] => {
    const cells = widths.map((width, column) => cellLines(row[column] ?? "", width));
    const height = Math.max(1, ...cells.map((cell) => cell.length));
    return Array.from({ length: height }, (_, line) => {
      const texts = cells.map((cell, column) => padded(cell[line] ?? "", widths[column] ?? 0));
      return `${" ".repeat(indent)}${texts.join(" ".repeat(gap))}`.trimEnd();
    });
  };
  const title = heads.length === 0 ? [] : lines(heads).map((line) => strong(page, line));
  return [...title, ...rows.flatMap(lines)];
}

function cellLines(text: string, width: number): readonly string[] {
  return widthOf(text) <= width ? [text] : wrapped(text, width);
}

/** A row as a title and a paragraph of its other cells, each behind its head. */
function paragraphs(
  page: Page,
  heads: readonly string[],
  [title = "", ...cells]: readonly string[],
  indent: number,
): readonly string[] {
  const words = cells.flatMap((cell, column) => (cell === "" ? [] : [`${heads[column + 1] ?? ""} ${cell}`]));
  const lead = " ".repeat(indent);
  return [...paragraph(page, title, lead), ...paragraph(page, words.join("; "), `${lead}  `)];
}

function textsOf(rows: readonly (readonly string[])[], column: number): readonly string[] {
  return rows.map((row) => row[column] ?? "");
}

/** Widths below which words would have to be broken. */
function leastWidths(heads: readonly string[], rows: readonly (readonly string[])[]): readonly number[] {
  const columns = Math.max(heads.length, ...rows.map((row) => row.length));
  return Array.from({ length: columns }, (_, column) =>
    Math.max(0, ...[heads[column] ?? "", ...textsOf(rows, column)].map(longestWordIn)),
  );
}

function total(widths: readonly number[]): number {
  return widths.reduce((sum, width) => sum + width + gap, -gap);
}

/**
 * Widths of the columns: what its texts need, heads broken first; while the row is too wide, the widest
 * column is cut back, but words stay whole as long as they can.
 */
function widthsOf(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  least: readonly number[],
  room: number,
): readonly number[] {
  const range = least.map((_, column) => column);
  const widths = least.map((width, column) =>
    Math.max(width, ...textsOf(rows, column).map((text) => widthOf(text))),
  );
  const left = () => room - total(widths);
  for (const column of range) {
    const wanted = widthOf(heads[column] ?? "") - (widths[column] ?? 0);
    if (wanted > 0) widths[column] = (widths[column] ?? 0) + Math.max(0, Math.min(wanted, left()));
  }
  while (left() < 0) {
    const loose = range.filter((column) => (widths[column] ?? 0) > (least[column] ?? 0));
    const among = loose.length > 0 ? loose : range;
    const widest = among.reduce((a, b) => ((widths[b] ?? 0) > (widths[a] ?? 0) ? b : a), among[0] ?? 0);
    if ((widths[widest] ?? 0) <= 1) break;
    widths[widest] = (widths[widest] ?? 0) - 1;
  }
  return widths;
}

function longestWordIn(text: string): number {
  return Math.min(longestWord, Math.max(...withUnitsGlued(text).split(" ").map(widthOf)));
}
