/** SVG of a chart made of rows: label left, shape over a common level axis, number right. */
import type { Axis, FigureWords } from "../role.js";
import { element, pixel, words } from "../svg/element.js";
import { edge, heading, type KeyEntry, key, labelSize, lineHeight } from "../svg/heading.js";
import type { Box } from "../svg/labels.js";
import { inked, sheet, stroked } from "../svg/sheet.js";
import { textWidth, wrap } from "../words.js";
import { levelAxis, levelAxisHeight, levelTicks } from "./axes.js";
import type { SvgSize } from "./chart.js";
import { linear, type Range } from "./range.js";
import type { Row } from "./row.js";

/** Where the shape of a row goes. */
export interface RowSpace {
  readonly id: string;
  readonly x: (value: number) => number;
  /** Middle of the row [px] and half the height of its shapes. */
  readonly y: number;
  readonly half: number;
  /** The part of the frame that is this row's and carries no words. */
  readonly zone: Box;
}

/** The parts that make a row chart what it is. */
export interface RowChart {
  readonly axis: Axis;
  readonly range: Range;
  readonly rows: readonly Row[];
  readonly key: readonly KeyEntry[];
  /** Drawn under the rows. */
  readonly behind: (spaces: readonly RowSpace[]) => string;
  readonly shape: (index: number, space: RowSpace) => string;
}

// From this width on label, shape and number stand side by side; below it the shape has a line of its own.
const wideEnough = 560;
const mostLabelShare = 0.37;
const mostNumberShare = 0.24;
const columnGap = 14;
const leastRowHeight = 30;
const shapeHalf = 9;
const rowPadding = 12;

/** An SVG document. */
export function rowsSvg(figure: FigureWords, chart: RowChart, size: SvgSize): string {
  const { width } = size;
  const { id } = figure;
  const head = heading(figure, width, size.caption ?? "drawn");
  const keyPart = key(chart.key, head.bottom, width, id);
  const layout = width >= wideEnough ? sideBySide(chart.rows, width) : stacked(chart.rows, width);
  const top = keyPart.bottom + 4;
  const natural = layout.heights.reduce((sum, height) => sum + height, 0);
  const room = (size.height ?? 0) - top - levelAxisHeight - 8;
  // Spare height is shared by the rows, up to a third more each: a longer chart would only be emptier.
  const stretch = Math.max(1, Math.min(1.34, natural === 0 ? 1 : room / natural));
  const frame: Box = { left: layout.left, right: layout.right, top, bottom: top + natural * stretch };
  const x = linear(chart.range, frame.left, frame.right);

  const spaces: RowSpace[] = [];
  const texts: string[] = [];
  let rowTop = top;
  for (const [index, row] of chart.rows.entries()) {
    const height = (layout.heights[index] ?? 0) * stretch;
    const middle = rowTop + height / 2;
    const y = layout.shapeY(index, rowTop, height);
    const [zoneTop, zoneBottom] = layout.isStacked
      ? [y - shapeHalf - 3, y + shapeHalf + 3]
      : [rowTop, rowTop + height];
    const zone = { left: frame.left, right: frame.right, top: zoneTop, bottom: zoneBottom };
    spaces.push({ id, x, y, half: shapeHalf, zone });
    texts.push(layout.texts(row, index, layout.isStacked ? rowTop : middle));
    rowTop += height;
  }
  const body = [
    head.svg,
    keyPart.svg,
    rules(chart.range, chart.axis.unit, spaces),
    chart.behind(spaces),
    ...spaces.map((space, index) =>
      element("g", { role: "group", "aria-label": ariaLabel(chart.rows[index]) }, chart.shape(index, space)),
    ),
    ...texts,
    levelAxis(chart.axis, chart.range, frame),
  ];
  const svg = body.filter((part) => part !== "").join("\n");
  return sheet(figure, width, Math.ceil(frame.bottom + levelAxisHeight + 8), svg);
}

function ariaLabel(row: Row | undefined): string {
  return row === undefined
    ? ""
    : [row.label, row.detail, row.number].filter((text) => text !== undefined).join(": ");
}

function rules(range: Range, unit: string, spaces: readonly RowSpace[]): string {
  const paths = spaces.flatMap(({ x, zone }) =>
    levelTicks(range, unit, zone.right - zone.left).map(
      ({ value }) => `M${pixel(x(value))} ${pixel(zone.top)}V${pixel(zone.bottom)}`,
    ),
  );
  return element("path", { d: paths.join(""), ...stroked("rule"), "stroke-width": 1 });
}

interface Layout {
  readonly isStacked: boolean;
  readonly left: number;
  readonly right: number;
  readonly heights: readonly number[];
  readonly shapeY: (index: number, top: number, height: number) => number;
  readonly texts: (row: Row, index: number, at: number) => string;
}

const widthOf = (text: string): number => textWidth(text, labelSize);
const boldWidthOf = (text: string): number => textWidth(text, labelSize, true);

function sideBySide(rows: readonly Row[], width: number): Layout {
  const labels = rows.map(({ label, detail }) => ({
    label: wrap(label, mostLabelShare * width, boldWidthOf),
    detail: detail === undefined ? [] : wrap(detail, mostLabelShare * width, widthOf),
  }));
  const numbers = rows.map(({ number }) => wrap(number, mostNumberShare * width, boldWidthOf));
  const labelWidth = Math.max(
    0,
    ...labels.flatMap(({ label, detail }) => [...label.map(boldWidthOf), ...detail.map(widthOf)]),
  );
  const numberWidth = Math.max(0, ...numbers.flatMap((lines) => lines.map(boldWidthOf)));
  const left = edge + labelWidth + columnGap;
  const right = width - edge - numberWidth - columnGap;
  const linesOf = (index: number): number => {
    const own = labels[index];
    return Math.max((own?.label.length ?? 0) + (own?.detail.length ?? 0), numbers[index]?.length ?? 0);
  };
  return {
    isStacked: false,
    left,
    right,
    heights: rows.map((_, index) => Math.max(leastRowHeight, linesOf(index) * lineHeight + rowPadding)),
    shapeY: (_, top, height) => top + height / 2,
    texts: (row, index, middle) => {
      const own = labels[index] ?? { label: [], detail: [] };
      const count = own.label.length + own.detail.length;
      const first = middle - ((count - 1) * lineHeight) / 2;
      const numberLines = numbers[index] ?? [];
      const firstNumber = middle - ((numberLines.length - 1) * lineHeight) / 2;
      return [
        ...textLines(own.label, edge, first, "label"),
        ...textLines(own.detail, edge, first + own.label.length * lineHeight, "detail"),
        ...numberTexts(numberLines, width - edge, firstNumber, row),
      ].join("\n");
    },
  };
}

function stacked(rows: readonly Row[], width: number): Layout {
  const room = width - 2 * edge;
  const blocks = rows.map(({ label, detail, number }) => {
    const numbers = wrap(number, room * 0.45, boldWidthOf);
    const taken = Math.max(0, ...numbers.map(boldWidthOf));
    const labels = wrap(label, room - taken - columnGap, boldWidthOf);
    const details = detail === undefined ? [] : wrap(detail, room, widthOf);
    return { numbers, labels, details, lines: Math.max(labels.length, numbers.length) + details.length };
  });
  return {
    isStacked: true,
    left: edge + 4,
    right: width - edge - 4,
    heights: blocks.map(({ lines }) => lines * lineHeight + 2 * shapeHalf + rowPadding + 12),
    shapeY: (index, top) => top + 6 + (blocks[index]?.lines ?? 0) * lineHeight + 8 + shapeHalf,
    texts: (row, index, top) => {
      const own = blocks[index];
      if (own === undefined) return "";
      const first = top + 6 + lineHeight / 2;
      const detailAt = first + (own.lines - own.details.length) * lineHeight;
      return [
        ...textLines(own.labels, edge, first, "label"),
        ...textLines(own.details, edge, detailAt, "detail"),
        ...numberTexts(own.numbers, width - edge, first, row),
      ].join("\n");
    },
  };
}

function textLines(
  lines: readonly string[],
  x: number,
  firstMiddle: number,
  kind: "label" | "detail",
): readonly string[] {
  return lines.map((line, index) =>
    element(
      "text",
      {
        x,
        y: firstMiddle + index * lineHeight + 4.5,
        "font-size": labelSize,
        ...inked(kind === "label" ? "ink" : "quiet"),
      },
      words(line),
    ),
  );
}

function numberTexts(lines: readonly string[], x: number, firstMiddle: number, row: Row): readonly string[] {
  return lines.map((line, index) =>
    element(
      "text",
      {
        x,
        y: firstMiddle + index * lineHeight + 4.5,
        "text-anchor": "end",
        "font-size": labelSize,
        "font-weight": 600,
        ...inked(row.role),
      },
      words(line),
    ),
  );
}
