/** Parallel axes, one below the other: the good end of each is on the right. */
import { isDrawable, requireSameLength } from "../marks/mark.js";
import { beadShape } from "../svg/bead.js";
import { element, pixel, words } from "../svg/element.js";
import { edge, labelSize, lineHeight, rimmed } from "../svg/heading.js";
import { filled, inked, sheet, stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import { axisTitle, cellsOf, numberText, textWidth } from "../words.js";
import { levelTicks } from "./axes.js";
import type { ChartKind, SvgSize, Table, TextSize } from "./chart.js";
import {
  endsOf,
  type ParallelAxis,
  type ParallelFigure,
  type ParallelItem,
  parallelRange,
} from "./parallelFigure.js";
import { cornersOf, keyOf, type ParallelPlaces, type PlacedAxis, parallelPlaces } from "./parallelPlaces.js";
import { columnHead, distinct } from "./plotTable.js";
import { linear } from "./range.js";
import { printedStep, withUnit } from "./row.js";
import { type RowTextSpace, rowsText } from "./rowsText.js";

/** How parallel axes are checked, drawn and listed. */
export const parallel: ChartKind<ParallelFigure> = {
  check: ({ axes, items }) => {
    for (const { values, low = values, high = values } of items)
      requireSameLength("parallel", { axes: axes.map(() => 0), values, low, high });
  },
  drawSvg,
  drawText,
  table,
};

function drawSvg(figure: ParallelFigure, size: SvgSize): string {
  const places = parallelPlaces(figure, size);
  const usual = figure.items.filter(({ isChosen }) => isChosen !== true);
  const chosen = figure.items.filter(({ isChosen }) => isChosen === true);
  const opacity = Math.max(leastOpacity, fullOpacity * Math.min(1, Math.sqrt(fewItems / usual.length)));
  const body = [
    places.head.svg,
    places.key.svg,
    ...usual.map((item) => itemSvg(item, places, opacity)),
    // Words and numbers of the axes read on top of the thick line, its own numbers on top of them.
    ...chosen.map(({ role, values }) => thickSvg(role, lineOf(cornersOf(places, values)))),
    ...places.axes.map((placed, index) => axisSvg(figure.axes[index], placed, places)),
    ...chosen.map((item) => chosenSvg(figure, item, places)),
  ];
  return sheet(figure, size.width, Math.ceil(places.bottom), body.filter((part) => part !== "").join("\n"));
}

const lineWidth = 1.75;
// Many lines are drawn fainter, so that one can be followed among them.
const [fullOpacity, leastOpacity, fewItems] = [0.55, 0.16, 16];
const beadSize = 3.5;

function itemSvg({ label, role, values }: ParallelItem, places: ParallelPlaces, opacity: number): string {
  const corners = cornersOf(places, values);
  const beads = corners.map(({ x, y }) => beadShape(role, x, y, beadSize)).join("");
  const line = element("path", {
    d: lineOf(corners),
    ...stroked(role),
    "stroke-width": lineWidth,
    "stroke-opacity": opacity,
    "stroke-dasharray": inTurn(roleStyles[role].dashes, 0) || undefined,
  });
  return element("g", { role: "group", "aria-label": label }, line, beads);
}

/** The line of an item that stands out, on a rim of paper. */
function thickSvg(role: ParallelItem["role"], d: string): string {
  return (
    element("path", { d, ...stroked("paper"), "stroke-width": 8 }) +
    element("path", { d, ...stroked(role), "stroke-width": 4 })
  );
}

/** The spread and the numbers of an item that stands out. */
function chosenSvg(figure: ParallelFigure, item: ParallelItem, places: ParallelPlaces): string {
  const { label, role, values, low, high } = item;
  const corners = cornersOf(places, values);
  const marks = corners.map(({ x, y }, index) => {
    const placed = places.axes[index];
    const [from, to, value] = [low?.[index], high?.[index], values[index]];
    const spread =
      placed !== undefined && isDrawable(from) && isDrawable(to)
        ? spreadSvg(placed.x(from), placed.x(to), y, role)
        : "";
    const number =
      placed !== undefined && isDrawable(value)
        ? withUnit(numberText(value, printedStep(placed.range)), figure.axes[index]?.unit ?? "")
        : "not known";
    return `${spread}${beadShape(role, x, y, 6.5)}${beside(number, x, y, places)}`;
  });
  return element("g", { role: "group", "aria-label": label }, ...marks);
}

function spreadSvg(from: number, to: number, y: number, role: ParallelItem["role"]): string {
  const shape = { x: Math.min(from, to), y: y - 5, width: Math.abs(to - from), height: 10 };
  return (
    element("rect", { ...shape, ...filled(role), "fill-opacity": 0.28 }) +
    element("rect", { ...shape, ...stroked(role), "stroke-width": 1.25 })
  );
}

/** A number above its bead, kept inside the picture. */
function beside(text: string, x: number, y: number, { right }: ParallelPlaces): string {
  const half = textWidth(text, labelSize) / 2;
  return rimmed(text, Math.max(edge + half, Math.min(right + 12 - half, x)), y - 12, "middle", "ink");
}

function lineOf(corners: readonly { readonly x: number; readonly y: number }[]): string {
  return corners.map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${pixel(x)} ${pixel(y)}`).join("");
}

function axisSvg(
  axis: ParallelAxis | undefined,
  placed: PlacedAxis,
  { left, right }: ParallelPlaces,
): string {
  if (axis === undefined) return "";
  const { range, x, y, title, detail, titleY } = placed;
  const ticks = levelTicks(range, axis.unit, right - left);
  const line = element("path", {
    d: `M${pixel(left)} ${pixel(y)}H${pixel(right)}${ticks.map(({ value }) => `M${pixel(x(value))} ${pixel(y)}v5`).join("")}`,
    ...stroked("ink"),
    "stroke-width": 1.5,
  });
  const numbers = ticks.map(({ value, text }) => rimmed(text, x(value), y + 19, "middle", "quiet"));
  const limit = axis.limit === undefined || !within(axis.limit, range) ? "" : limitSvg(x(axis.limit), y);
  const texts = [...title, ...detail].map((text, index) =>
    element(
      "text",
      {
        x: edge,
        y: titleY + index * lineHeight,
        "font-size": labelSize,
        ...(index < title.length ? { "font-weight": 600 } : {}),
        ...inked(index < title.length ? "ink" : "quiet"),
      },
      words(text),
    ),
  );
  return [line, limit, ...numbers, ...texts].join("\n");
}

const within = (value: number, [low, high]: readonly [number, number]): boolean =>
  value >= low && value <= high;

/** A bound with teeth on its bad side, which is the left one. */
function limitSvg(x: number, y: number): string {
  const teeth = [-12, -4, 4].map((dy) => `M${pixel(x)} ${pixel(y + dy)}l-6 6`).join("");
  return (
    element("path", { d: `M${pixel(x)} ${pixel(y - 14)}v28`, ...stroked("limit"), "stroke-width": 2.25 }) +
    element("path", { d: teeth, ...stroked("limit"), "stroke-width": 1.25 })
  );
}

/** In characters: each item a letter on the line of each axis, from the worst to the best that is shown. */
function drawText(figure: ParallelFigure, size: TextSize): readonly string[] {
  const rows = figure.axes.map((axis, index) => {
    const range = parallelRange(figure, index);
    const [worse, better] = endsOf(range, axis).map((end) => numberText(end, printedStep(range)));
    return {
      label: axisTitle(axis, Number.POSITIVE_INFINITY, cellsOf),
      number: `${worse} to ${better}`,
      role: "neutral" as const,
    };
  });
  return rowsText(
    figure,
    {
      axis: { label: "From the worst to the best that is shown", unit: "%" },
      range: [0, 100],
      rows,
      key: keyOf(figure).map((entry) => ({ ...entry, sample: "bead" as const })),
      arrangement: "stacked",
      shape: (index, space) => shapeText(figure, index, space),
    },
    size,
  );
}

function shapeText(figure: ParallelFigure, index: number, { canvas, column }: RowTextSpace): void {
  const axis = figure.axes[index];
  if (axis === undefined) return;
  const { unicode } = canvas.manner;
  const range = parallelRange(figure, index);
  const share = linear(endsOf(range, axis), 0, 100);
  for (const { role, values } of figure.items) {
    const style = roleStyles[role];
    const letter = inTurn(unicode ? style.glyphs : style.plainGlyphs, 0);
    const value = values[index];
    if (isDrawable(value)) canvas.put(Math.floor(column(share(value))), 0, letter, role);
    else canvas.put(0, 0, "?", role);
  }
  const { limit } = axis;
  if (limit !== undefined && within(limit, range))
    canvas.put(Math.floor(column(share(limit))), 0, unicode ? "┃" : "|", "limit");
}

function table({ axes, items }: ParallelFigure): Table {
  const hasSpread = items.some(({ low, high }) => low !== undefined || high !== undefined);
  const parts = hasSpread ? [undefined, "low", "high"] : [undefined];
  const heads = axes.flatMap((axis) => parts.map((part) => columnHead(axis, part)));
  return {
    heads: distinct(["item", "group", ...heads]),
    rows: items.map(({ label, group, values, low, high }) => [
      label,
      group,
      ...axes.flatMap((_, index) =>
        hasSpread ? [values[index], low?.[index], high?.[index]] : [values[index]],
      ),
    ]),
  };
}
