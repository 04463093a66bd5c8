/** The three forms of a figure: SVG, text, CSV. Same figure and size, same bytes, on any machine. */

import { refuse } from "../fault/index.js";
import type { SvgSize, TextSize } from "./charts/chart.js";
import { type Figure, kindOfFigure } from "./charts/list.js";
import { csvCell } from "./csv.js";
import { requireId } from "./svg/sheet.js";
import { cleanText } from "./words.js";

const leastWidth = 240;

/**
 * A figure as a self-contained SVG document: words in <title> and <desc>, ids derived from the
 * figure's id, light and dark colours (plain attributes where style sheets are not read).
 *
 * @param size  width in px, 240 or more; a height unless a fitting one will do
 * Refuses      an id that is no name, a width below 240, columns of unequal length, a place that is
 *              not a number
 */
export function drawSvg(figure: Figure, size: SvgSize): string {
  requireId(figure.id);
  if (!(size.width >= leastWidth && size.width <= 10_000 && (size.height ?? 0) <= 10_000))
    refuse(
      "picture-size",
      `a picture ${size.width} px wide and ${size.height ?? "any"} px high`,
      `Below ${leastWidth} px the words of a picture are wider than the picture; above 10000 px nothing shows it.`,
      "Give a width from 240 px to 10000 px.",
    );
  const kind = kindOfFigure(figure);
  kind.check(figure);
  return kind.drawSvg(figure, size);
}

/**
 * A figure as lines of characters for a terminal, without a line end after the last.
 *
 * @param size  columns (40 or more; no line is longer), rows (kept to where the content allows),
 *              Unicode or ASCII, colour codes only if asked for
 * Refuses      as drawSvg, but for the width
 */
export function drawText(figure: Figure, size: TextSize): string {
  const kind = kindOfFigure(figure);
  kind.check(figure);
  return kind.drawText(figure, size).join("\n");
}

/**
 * The data behind a figure as CSV (RFC 4180 quoting, line feeds, decimal points, a line end after
 * the last row); heads end in the unit; numbers with all their digits; a missing value is empty.
 */
export function figureCsv(figure: Figure): string {
  const kind = kindOfFigure(figure);
  kind.check(figure);
  const { heads, rows } = kind.table(figure);
  return [heads, ...rows].map((cells) => `${cells.map(cellOf).join(",")}\n`).join("");
}

function cellOf(value: string | number | undefined): string {
  if (value === undefined) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  return csvCell(cleanText(value));
}
