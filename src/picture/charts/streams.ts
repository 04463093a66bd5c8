import { requireDrawable } from "../marks/mark.js";
import type { Axis, FigureWords, Role } from "../role.js";
import { element, pixel, words } from "../svg/element.js";
import { edge, heading, labelSize, lineHeight } from "../svg/heading.js";
import { areaOf, filled, inked, sheet, stroked } from "../svg/sheet.js";
import { axisTitle, numberText, textWidth, wrap } from "../words.js";
import type { ChartKind, SvgSize, Table } from "./chart.js";
import { columnHead } from "./plotTable.js";
import { axisRange, type Range } from "./range.js";
import { printedStep, withUnit } from "./row.js";
import { type RowTextSpace, rowsText } from "./rowsText.js";

/** One amount that flows in or out. */
export interface Stream {
  readonly label: string;
  /** In the unit of the axis. One that flows out with a negative amount flows in instead. */
  readonly value: number;
  /** "neutral" unless given. */
  readonly role?: Role;
}

/**
 * Where an amount goes: streams from the left to the right, each as wide as its amount. What they leave over,
 *   rest = in - sum(out),
 * is computed and drawn by the figure itself, so that no balance can be shown that does not close.
 */
export interface StreamsFigure extends FigureWords {
  readonly kind: "streams";
  readonly value: Axis;
  readonly from: Stream;
  readonly to: readonly Stream[];
  /** "unexplained" unless given. */
  readonly restLabel?: string;
}

/** How streams are checked, drawn and listed. */
export const streams: ChartKind<StreamsFigure> = {
  check: ({ from, to }) => {
    for (const { label, value } of [from, ...to]) requireDrawable("streams", `"${label}"`, value);
  },
  drawSvg: streamsSvg,
  drawText: (figure, size) => {
    const { left, right } = sidesOf(figure);
    const entries = [...left, ...right];
    const range = axisRange(figure.value, [[0, ...entries.map(({ amount }) => amount)]], "round");
    return rowsText(
      figure,
      {
        axis: figure.value,
        range,
        rows: entries.map(({ label, role, amount }, index) => ({
          label: `${index < left.length ? "in" : "out"}: ${label}`,
          role,
          number: amountText(amount, figure, range),
        })),
        key: [],
        arrangement: "side by side",
        shape: (index, space) => shapeText(entries[index], index < left.length, space),
      },
      size,
    );
  },
  table,
};

/** A stream with its amount, never negative. */
interface Side {
  readonly label: string;
  readonly role: Role;
  readonly amount: number;
}

function restOf({ from, to }: StreamsFigure): number {
  return to.reduce((left, { value }) => left - value, from.value);
}

/** What flows in and what flows out, the rest among them; both sides add up to the same. */
function sidesOf(figure: StreamsFigure): { readonly left: readonly Side[]; readonly right: readonly Side[] } {
  const { from, to, restLabel = "unexplained" } = figure;
  const rest: Stream = { label: restLabel, value: restOf(figure) };
  const sideOf = ({ label, value, role = "neutral" }: Stream): Side => ({
    label,
    role,
    amount: Math.abs(value),
  });
  const out = [...to, rest];
  const isIn = ({ value }: Stream): boolean => value < 0;
  return {
    left: [...(from.value < 0 ? [] : [sideOf(from)]), ...out.filter(isIn).map(sideOf)],
    right: [...(from.value < 0 ? [sideOf(from)] : []), ...out.filter((one) => !isIn(one)).map(sideOf)],
  };
}

function amountText(amount: number, { value }: StreamsFigure, range: Range): string {
  return withUnit(numberText(amount, printedStep(range)), value.unit);
}

const blockWidth = 12;
const gap = 10;
const labelGap = 10;
/** Height of all that flows, over the width of the picture [-], and its ends [px]. */
const heightShare = 0.34;
const [leastHeight, mostHeight] = [150, 300] as const;
const leftShare = 0.22;
const rightShare = 0.36;

/** A stream with its place: the block that it leaves or reaches, and the words beside it. */
interface Placed extends Side {
  readonly top: number;
  readonly height: number;
  readonly lines: readonly string[];
  readonly number: string;
  /** Middle of the slot that block and words share. */
  readonly middle: number;
}

function streamsSvg(figure: StreamsFigure, size: SvgSize): string {
  const { width } = size;
  const { id } = figure;
  const head = heading(figure, width, size.caption ?? "drawn");
  const { left, right } = sidesOf(figure);
  const sum = (sides: readonly Side[]): number => sides.reduce((all, { amount }) => all + amount, 0);
  const total = Math.max(sum(left), sum(right));
  const range = axisRange(figure.value, [[0, total]], "round");
  const wished = (size.height ?? 0) - head.bottom - 2 * lineHeight;
  const height = Math.min(mostHeight, Math.max(leastHeight, heightShare * width, wished));
  const place = (sides: readonly Side[], share: number): readonly Placed[] =>
    placed(sides, {
      total,
      whole: height,
      room: share * width,
      top: head.bottom + 6,
      print: (amount) => amountText(amount, figure, range),
    });
  const [ins, outs] = [
    centred(place(left, leftShare), place(right, rightShare)),
    centred(place(right, rightShare), place(left, leftShare)),
  ];
  const x1 = edge + leftShare * width + labelGap;
  const x2 = width - edge - rightShare * width - labelGap;
  const bottom = Math.max(
    ...[...ins, ...outs].map(({ middle, height: own, lines }) => middle + halfOf(own, lines)),
    head.bottom,
  );
  const body = [
    head.svg,
    ...ribbons(ins, outs, x1 + blockWidth, x2 - blockWidth, id),
    ...ins.map((one) => blockSvg(one, x1)),
    ...outs.map((one) => blockSvg(one, x2 - blockWidth)),
    ...ins.map((one) => wordsSvg(one, x1 - labelGap, "end")),
    ...outs.map((one) => wordsSvg(one, x2 + labelGap, "start")),
    element(
      "text",
      {
        x: width - edge,
        y: bottom + lineHeight + 4,
        "text-anchor": "end",
        "font-size": 13,
        ...filled("quiet"),
      },
      words(
        axisTitle(
          { ...figure.value, label: `Width of a stream: ${figure.value.label}` },
          width - 2 * edge,
          (text) => textWidth(text, 13),
        ),
      ),
    ),
  ];
  return sheet(
    figure,
    width,
    Math.ceil(bottom + lineHeight + 16),
    body.filter((part) => part !== "").join("\n"),
  );
}

const boldWidth = (text: string): number => textWidth(text, labelSize, true);

/** Half of the height that a block and the words beside it take together. */
function halfOf(height: number, lines: readonly string[]): number {
  return Math.max(height, (lines.length + 1) * lineHeight) / 2;
}

interface Column {
  /** All that flows, and how high it is drawn [px]. */
  readonly total: number;
  readonly whole: number;
  readonly room: number;
  readonly top: number;
  readonly print: (amount: number) => string;
}

/** The streams of one side below each other, each with room for its words. */
function placed(sides: readonly Side[], { total, whole, room, top, print }: Column): readonly Placed[] {
  let at = top;
  return sides.map((side) => {
    const height = total > 0 ? (side.amount / total) * whole : 0;
    const lines = wrap(side.label, room, boldWidth);
    const half = halfOf(height, lines);
    const middle = at + half;
    at = middle + half + gap;
    return { ...side, top: middle - height / 2, height, lines, number: print(side.amount), middle };
  });
}

/** Moves the lower one of two columns so that their middles are level. */
function centred(own: readonly Placed[], other: readonly Placed[]): readonly Placed[] {
  const heightOf = (column: readonly Placed[]): number => {
    const last = column.at(-1);
    const first = column[0];
    if (first === undefined || last === undefined) return 0;
    return last.middle + halfOf(last.height, last.lines) - first.middle + halfOf(first.height, first.lines);
  };
  const by = Math.max(0, (heightOf(other) - heightOf(own)) / 2);
  return own.map((one) => ({ ...one, top: one.top + by, middle: one.middle + by }));
}

/** One ribbon for each stretch that a stream on the left and one on the right share. */
function ribbons(
  ins: readonly Placed[],
  outs: readonly Placed[],
  x1: number,
  x2: number,
  id: string,
): readonly string[] {
  const parts: string[] = [];
  let [i, j, takenIn, takenOut] = [0, 0, 0, 0];
  while (i < ins.length && j < outs.length) {
    const [from, to] = [ins[i], outs[j]];
    if (from === undefined || to === undefined) break;
    const height = Math.min(from.height - takenIn, to.height - takenOut);
    if (height > 0) parts.push(ribbon(x1, from.top + takenIn, x2, to.top + takenOut, height, to.role, id));
    takenIn += height;
    takenOut += height;
    const isInDone = from.height - takenIn <= to.height - takenOut;
    if (isInDone) [i, takenIn] = [i + 1, 0];
    else [j, takenOut] = [j + 1, 0];
  }
  return parts;
}

function ribbon(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  height: number,
  role: Role,
  id: string,
): string {
  const [a, b, middle] = [pixel(x1), pixel(x2), pixel((x1 + x2) / 2)];
  const [top1, top2, low1, low2] = [y1, y2, y1 + height, y2 + height].map(pixel);
  const d = `M${a} ${top1}C${middle} ${top1} ${middle} ${top2} ${b} ${top2}V${low2}C${middle} ${low2} ${middle} ${low1} ${a} ${low1}Z`;
  const area = areaOf(role, id);
  return (
    element("path", { d, ...area, ...("fill-opacity" in area ? { "fill-opacity": 0.34 } : {}) }) +
    element("path", { d, ...stroked(role), "stroke-width": 0.9 })
  );
}

function blockSvg({ role, top, height }: Placed, x: number): string {
  return element("rect", { x, y: top, width: blockWidth, height: Math.max(height, 1), ...filled(role) });
}

function wordsSvg({ lines, number, middle, role }: Placed, x: number, anchor: "start" | "end"): string {
  const first = middle - (lines.length * lineHeight) / 2 + 4.5;
  const set = { x, "text-anchor": anchor === "start" ? undefined : anchor, "font-size": labelSize };
  return [
    ...lines.map((line, index) =>
      element("text", { ...set, y: first + index * lineHeight, ...inked("ink") }, words(line)),
    ),
    element(
      "text",
      { ...set, y: first + lines.length * lineHeight, "font-weight": 600, ...inked(role) },
      words(number),
    ),
  ].join("");
}

function shapeText(side: Side | undefined, isIn: boolean, { canvas, column }: RowTextSpace): void {
  if (side === undefined) return;
  const { unicode } = canvas.manner;
  const glyph = isIn ? (unicode ? "█" : "#") : unicode ? "▒" : "=";
  for (let at = Math.floor(column(0)); at < Math.round(column(side.amount)); at++)
    canvas.put(at, 0, glyph, side.role);
}

function table(figure: StreamsFigure): Table {
  const { left, right } = sidesOf(figure);
  const total = left.reduce((all, { amount }) => all + amount, 0);
  const row =
    (entry: string) =>
    ({ label, amount }: Side) => [entry, label, amount, total > 0 ? (100 * amount) / total : undefined];
  return {
    heads: ["entry", "label", columnHead(figure.value), "share_percent"],
    rows: [...left.map(row("in")), ...right.map(row("out"))],
  };
}
