/** Rows of texts in columns, broken within their column so that the table fits the page. */
import { cellsOf, wrap } from "../picture/index.js";
import { type Page, padded, strong, widthOf } from "./page.js";

const gap = 2;
/** No column is narrower, unless its texts are. */
const narrowest = 12;

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
  const all = heads.length === 0 ? rows : [heads, ...rows];
  const widths = widthsOf(all, page.columns - indent);
  const lines = all.flatMap((row, index) => {
    const cells = row.map((text, column) => cellLines(text, widths[column] ?? narrowest));
    const height = Math.max(1, ...cells.map((cell) => cell.length));
    return Array.from({ length: height }, (_, line) => {
      const texts = cells.map((cell, column) => padded(cell[line] ?? "", widths[column] ?? narrowest));
      const joined = `${" ".repeat(indent)}${texts.join(" ".repeat(gap))}`.trimEnd();
      return index === 0 && heads.length > 0 ? strong(page, joined) : joined;
    });
  });
  return lines;
}

function cellLines(text: string, width: number): readonly string[] {
  return widthOf(text) <= width ? [text] : wrap(text, width, cellsOf);
}

/** Natural widths, the widest column cut back until the row fits. */
function widthsOf(rows: readonly (readonly string[])[], room: number): readonly number[] {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: columns }, (_, column) =>
    Math.max(...rows.map((row) => widthOf(row[column] ?? ""))),
  );
  const total = () => widths.reduce((sum, width) => sum + width + gap, -gap);
  while (total() > room) {
    const widest = Math.max(...widths);
    if (widest <= narrowest) break;
    widths[widths.indexOf(widest)] = widest - 1;
  }
  return widths;
}
