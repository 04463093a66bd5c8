/** A chart made of rows, in characters. */
import type { Axis, FigureWords } from "../role.js";
import { Canvas, coloured, type TextManner } from "../text/canvas.js";
import { ellipsisOf, padEnd, padStart, type TextKeyEntry, textHeading, textKey } from "../text/page.js";
import { shownText } from "../text/shown.js";
import { axisTitle, cellsOf, clip, wrap } from "../words.js";
import type { TextSize } from "./chart.js";
import { levelAxisText } from "./plotText.js";
import { linear, type Range } from "./range.js";
import type { Row } from "./row.js";

/** The parts that make a row chart what it is, in characters. */
export interface RowTextChart {
  readonly axis: Axis;
  readonly range: Range;
  readonly rows: readonly Row[];
  readonly key: readonly TextKeyEntry[];
  /** Side by side in one line, or words above a shape of full width. */
  readonly arrangement: "side by side" | "stacked";
  readonly shape: (index: number, space: RowTextSpace) => void;
}

/** The line of characters that a row's shape is drawn in. */
export interface RowTextSpace {
  readonly canvas: Canvas;
  /** Column of a value, with fraction. */
  readonly column: (value: number) => number;
}

const leastColumns = 40;
const mostLabelShare = 0.34;
const mostNumberShare = 0.34;

/** Lines of text. */
export function rowsText(figure: FigureWords, chart: RowTextChart, size: TextSize): readonly string[] {
  const manner: TextManner = { unicode: size.unicode, colour: size.colour ?? false };
  const columns = Math.max(leastColumns, Math.floor(size.columns));
  const isStacked = chart.arrangement === "stacked";
  const ellipsis = ellipsisOf(manner);
  const shown = (text: string, room: number): string =>
    clip(shownText(text, manner), room, cellsOf, ellipsis);
  const words = chart.rows.map((row) => ({
    label: wrap(shownText(row.label, manner), Math.floor(mostLabelShare * columns), cellsOf, 2, ellipsis),
    number: shown(
      row.detail === undefined ? row.number : `${row.number} (${row.detail})`,
      Math.floor(mostNumberShare * columns),
    ),
  }));
  const labelWidth = isStacked ? 0 : Math.max(0, ...words.flatMap(({ label }) => label.map(cellsOf)));
  const numberWidth = isStacked ? 0 : Math.max(0, ...words.map(({ number }) => cellsOf(number))) + 1;
  const shapeColumns = columns - labelWidth - numberWidth - 2;
  const column = linear(chart.range, 0.5, shapeColumns - 0.5);
  const wall = manner.unicode ? "│" : "|";

  const lines = chart.rows.flatMap((row, index) => {
    const canvas = new Canvas(shapeColumns, 1, manner);
    chart.shape(index, { canvas, column });
    const shape = canvas.lines()[0] ?? "";
    if (isStacked) return [rowWords(row), ` ${wall}${shape}`];
    const { label, number } = words[index] ?? { label: [], number: "" };
    const ending = coloured(padStart(number, numberWidth), row.role, manner);
    const [first = "", ...rest] = label;
    return [
      `${padEnd(first, labelWidth)} ${wall}${padShape(shape, canvas)}${ending}`,
      ...rest.map((line) => `${padEnd(line, labelWidth)} ${wall}`),
    ];
  });

  const title = axisTitle(
    { label: shownText(chart.axis.label, manner), unit: shownText(chart.axis.unit, manner) },
    columns,
    cellsOf,
    ellipsis,
  );
  return [
    ...textHeading(figure, columns, manner, size.caption ?? "drawn"),
    ...lines,
    ...levelAxisText(chart.range, chart.axis.unit, column, shapeColumns, labelWidth + 1, manner),
    padStart(title, columns),
    ...textKey(chart.key, columns, manner),
  ].map((line) => line.trimEnd());

  function rowWords(row: Row): string {
    const verdict = shown(row.number, Math.floor(columns / 3));
    const left = row.detail === undefined ? row.label : `${row.label}: ${row.detail}`;
    const room = columns - cellsOf(verdict) - 2;
    return padEnd(shown(left, room), room + 2) + coloured(verdict, row.role, manner);
  }

  // Lines come without spaces at their ends and perhaps with colour codes, which take no cells.
  function padShape(shape: string, canvas: Canvas): string {
    return shape + " ".repeat(Math.max(0, canvas.columns - canvas.usedColumns(0)));
  }
}
