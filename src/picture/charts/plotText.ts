/** A plot in characters: braille or letters in a frame of box lines, labels above, key below. */
import { kindOfMark, type Mark } from "../marks/list.js";
import type { Role } from "../role.js";
import type { KeyEntry } from "../svg/heading.js";
import { stemLanes } from "../svg/labels.js";
import { Canvas, type TextManner } from "../text/canvas.js";
import { ellipsisOf, padStart, type TextKeyEntry, textHeading, textKey } from "../text/page.js";
import { shownText } from "../text/shown.js";
import { axisTitle, cellsOf, clip } from "../words.js";
import type { TextSize } from "./chart.js";
import { type DrawnMark, drawnMarks } from "./drawnMarks.js";
import type { PlotFigure } from "./plotFigure.js";
import { fittingTicks, linear, plotRanges, type Range, type Tick, ticks } from "./range.js";

const leastPlotRows = 6;
const textTickCounts = [2, 3, 4, 5, 6];
const leastColumns = 40;

/** Lines of text. @param remarks  further entries for the key */
export function plotText(
  figure: PlotFigure,
  size: TextSize,
  remarks: readonly KeyEntry[] = [],
): readonly string[] {
  const manner: TextManner = { unicode: size.unicode, colour: size.colour ?? false };
  const columns = Math.max(leastColumns, Math.floor(size.columns));
  const { marks } = figure;
  const { x: xRange, y: yRange } = plotRanges(figure);
  const head = textHeading(figure, columns, manner, size.caption ?? "drawn");
  const drawn = drawnMarks(marks, xRange, yRange);
  const fine = fineMark(marks);
  const keyLines = textKey([...keyEntries(drawn, fine), ...remarks], columns, manner);

  // The number of ticks follows from the rows, and these from the gutter: room for any number of them.
  const tickWidths = textTickCounts.flatMap((count) =>
    ticks(yRange, count, figure.y.unit).map(({ text }) => cellsOf(text)),
  );
  const gutter = Math.min(Math.floor(columns / 3), Math.max(1, ...tickWidths)) + 1;
  const plotColumns = columns - gutter - 1;
  const x = linear(xRange, 0.5, plotColumns - 0.5);
  const lanes = laneLines(drawn, x, plotColumns, manner);
  // Besides the plot: y title, axis line, tick numbers with the x title behind them or below.
  const used = head.length + lanes.length + keyLines.length + 4;
  const plotRows = Math.max(leastPlotRows, Math.floor(size.rows) - used);
  const y = linear(yRange, plotRows - 0.5, 0.5);

  const canvas = new Canvas(plotColumns, plotRows, manner);
  for (const { mark, nth } of drawn)
    kindOfMark(mark).drawText(mark, { canvas, column: x, row: y, nth, fine: mark === fine });

  const yTicks = ticks(yRange, Math.min(6, Math.max(2, Math.floor(plotRows / 2.5))), figure.y.unit);
  const measure = cellsOf;
  const shownAxis = (axis: PlotFigure["x"]): string =>
    axisTitle(
      { label: shownText(axis.label, manner), unit: shownText(axis.unit, manner) },
      columns,
      measure,
      ellipsisOf(manner),
    );
  return [
    ...head,
    shownAxis(figure.y),
    ...lanes.map((line) => " ".repeat(gutter + 1) + line),
    ...framed(canvas, yTicks, y, gutter, manner),
    ...levelAxisText(xRange, figure.x.unit, x, plotColumns, gutter, manner),
    padStart(shownAxis(figure.x), columns),
    ...keyLines,
  ].map((line) => line.trimEnd());
}

// Whose line is traced with fine dots, if the figure has one; else the first line is.
const finest: readonly Role[] = ["prediction", "demand"];

function fineMark(marks: readonly Mark[]): Mark | undefined {
  const lines = marks.filter((mark) => mark.kind === "line" || mark.kind === "step");
  const chosen = finest.flatMap((role) => lines.filter((mark) => mark.role === role));
  return chosen[0] ?? lines[0];
}

function keyEntries(drawn: readonly DrawnMark[], fine: Mark | undefined): readonly TextKeyEntry[] {
  return drawn.flatMap(({ mark, label }) => {
    if (label?.where !== "key" && label?.where !== "end") return [];
    return [mark === fine ? { ...label, sample: "fine" as const } : label];
  });
}

/** Labels of events and upright limits above the plot, each beginning or ending at its column. */
function laneLines(
  drawn: readonly DrawnMark[],
  x: (value: number) => number,
  columns: number,
  manner: TextManner,
): readonly string[] {
  const wishes = drawn.flatMap(({ label }) => {
    if (label?.where !== "top") return [];
    const text = clip(shownText(label.text, manner), columns - 3, cellsOf, ellipsisOf(manner));
    return [{ text, role: label.role, x: Math.floor(x(label.x)), width: cellsOf(text) }];
  });
  const lanes = stemLanes(wishes, 0, columns, 2);
  const count = Math.max(0, ...lanes.map(({ lane }) => lane + 1));
  const canvas = new Canvas(columns, count, manner);
  for (const [index, wish] of wishes.entries()) {
    const { lane } = lanes[index] ?? { lane: 0 };
    const row = count - 1 - lane;
    for (let below = row + 1; below < count; below++)
      canvas.put(wish.x, below, manner.unicode ? "┊" : "|", wish.role);
  }
  for (const [index, wish] of wishes.entries()) {
    const { lane, left } = lanes[index] ?? { lane: 0, left: 0 };
    const row = count - 1 - lane;
    canvas.put(wish.x, row, manner.unicode ? "▾" : "v", wish.role);
    canvas.write(left, row, wish.text, wish.role);
  }
  return canvas.lines();
}

function framed(
  canvas: Canvas,
  yTicks: readonly Tick[],
  y: (value: number) => number,
  gutter: number,
  manner: TextManner,
): readonly string[] {
  const numbers = new Map(yTicks.map(({ value, text }) => [Math.floor(y(value)), shownText(text, manner)]));
  return canvas.lines().map((line, row) => {
    const number = numbers.get(row);
    const tick = number === undefined ? (manner.unicode ? "│" : "|") : manner.unicode ? "┤" : "+";
    return padStart(clip(number ?? "", gutter, cellsOf, ""), gutter) + tick + line;
  });
}

/** The level axis of a text picture with its numbers: two lines. */
export function levelAxisText(
  range: Range,
  unit: string,
  x: (value: number) => number,
  columns: number,
  gutter: number,
  manner: TextManner,
): readonly string[] {
  const list = fittingTicks(range, unit, columns, cellsOf, 3);
  const axis = new Canvas(columns, 1, manner);
  for (let column = 0; column < columns; column++) axis.put(column, 0, manner.unicode ? "─" : "-");
  const numbers = new Canvas(columns + gutter + 1, 1, manner);
  for (const { value, text } of list) {
    const column = Math.floor(x(value));
    axis.put(column, 0, manner.unicode ? "┬" : "+");
    const shown = shownText(text, manner);
    const left = gutter + 1 + column - Math.floor(cellsOf(shown) / 2);
    numbers.write(Math.max(0, Math.min(columns + gutter + 1 - cellsOf(shown), left)), 0, shown);
  }
  const corner = manner.unicode ? "└" : "+";
  return [`${" ".repeat(gutter)}${corner}${axis.lines()[0] ?? ""}`, numbers.lines()[0] ?? ""];
}
