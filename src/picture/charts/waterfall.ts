import { isDrawable, requireDrawable } from "../marks/mark.js";
import type { Axis, FigureWords, Role } from "../role.js";
import { beadShape } from "../svg/bead.js";
import { element, pixel } from "../svg/element.js";
import type { KeyEntry } from "../svg/heading.js";
import { areaOf, stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import { numberText } from "../words.js";
import type { ChartKind, Table } from "./chart.js";
import { columnHead } from "./plotTable.js";
import { axisRange, type Range } from "./range.js";
import { printedStep, type Row, signed, withUnit } from "./row.js";
import { type RowSpace, rowsSvg } from "./rowsSvg.js";
import { type RowTextSpace, rowsText } from "./rowsText.js";
import { type Spread, whiskerSvg, whiskerText } from "./whisker.js";

/** One entry of the ledger: a signed amount, with its spread if that is known. */
export interface Contribution {
  readonly label: string;
  /** Signed, in the unit of the axis. */
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
}

/** A level at which the ledger starts or ends. */
export interface Level {
  readonly label: string;
  readonly value: number;
  readonly role: Role;
  readonly low?: number;
  readonly high?: number;
}

/**
 * A ledger from a start to an end through signed contributions. What they leave over,
 *   unexplained = end - start - sum(contributions),
 * is computed and drawn by the figure itself, so that no ledger can be shown that does not close.
 */
export interface WaterfallFigure extends FigureWords {
  readonly kind: "waterfall";
  readonly value: Axis;
  readonly start: Level;
  readonly contributions: readonly Contribution[];
  readonly end: Level;
  /** What an increase means: longer opening time is "worse", more margin is "better". */
  readonly increase: "better" | "worse" | "neutral";
  /** "unexplained" unless given. */
  readonly unexplainedLabel?: string;
}

/** How a ledger is checked, drawn and listed. */
export const waterfall: ChartKind<WaterfallFigure> = {
  check: ({ start, contributions, end }) => {
    for (const { label, value } of [start, ...contributions, end])
      requireDrawable("waterfall", `"${label}"`, value);
  },
  drawSvg: (figure, size) => {
    const entries = entriesOf(figure);
    const range = rangeOf(figure, entries);
    return rowsSvg(
      figure,
      {
        axis: figure.value,
        range,
        rows: rowsOf(figure, entries, range),
        key: keyOf(figure),
        behind: (spaces) => connectors(entries, spaces),
        shape: (index, space) => shapeSvg(entries[index], space),
      },
      size,
    );
  },
  drawText: (figure, size) => {
    const entries = entriesOf(figure);
    const range = rangeOf(figure, entries);
    return rowsText(
      figure,
      {
        axis: figure.value,
        range,
        rows: rowsOf(figure, entries, range),
        key: [],
        arrangement: "side by side",
        shape: (index, space) => shapeText(entries, index, space),
      },
      size,
    );
  },
  table,
};

/** A line of the ledger: where it begins and ends on the axis. */
interface Entry {
  readonly kind: "start" | "contribution" | "unexplained" | "end";
  readonly label: string;
  readonly role: Role;
  readonly from: number;
  readonly to: number;
  /** The spread of the amount of this line; of the level for start and end. */
  readonly low: number | undefined;
  readonly high: number | undefined;
}

function entriesOf(figure: WaterfallFigure): readonly Entry[] {
  const { start, contributions, end, increase } = figure;
  const roleOf = (amount: number): Role => {
    if (increase === "neutral" || amount === 0) return "neutral";
    return amount > 0 === (increase === "better") ? "better" : "worse";
  };
  let level = start.value;
  const steps = contributions.map(({ label, value, low, high }): Entry => {
    const from = level;
    level += value;
    return { kind: "contribution", label, role: roleOf(value), from, to: level, low, high };
  });
  const levelEntry = (kind: "start" | "end", { label, role, value, low, high }: Level): Entry => ({
    kind,
    label,
    role,
    from: value,
    to: value,
    low,
    high,
  });
  const rest: Entry = {
    kind: "unexplained",
    label: figure.unexplainedLabel ?? "unexplained",
    role: "neutral",
    from: level,
    to: end.value,
    low: undefined,
    high: undefined,
  };
  return [levelEntry("start", start), ...steps, rest, levelEntry("end", end)];
}

function isLevel(entry: Entry): boolean {
  return entry.kind === "start" || entry.kind === "end";
}

/** The ends of an entry's spread on the axis. */
function spreadOf(entry: Entry): Spread | undefined {
  if (!isDrawable(entry.low) || !isDrawable(entry.high)) return undefined;
  const base = isLevel(entry) ? 0 : entry.from;
  return { low: base + entry.low, high: base + entry.high };
}

function rangeOf(figure: WaterfallFigure, entries: readonly Entry[]): Range {
  const values = entries.flatMap((entry) => {
    const spread = spreadOf(entry);
    return [entry.from, entry.to, ...(spread === undefined ? [] : [spread.low, spread.high])];
  });
  return axisRange(figure.value, [values], "round");
}

function rowsOf(figure: WaterfallFigure, entries: readonly Entry[], range: Range): readonly Row[] {
  const step = printedStep(range);
  return entries.map((entry) => {
    const { label, role, low, high } = entry;
    const print = isLevel(entry) ? numberText : signed;
    const amount = isLevel(entry) ? entry.to : entry.to - entry.from;
    const number = withUnit(print(amount, step), figure.value.unit);
    if (!isDrawable(low) || !isDrawable(high)) return { label, role, number };
    const detail = `${print(low, step)} to ${withUnit(print(high, step), figure.value.unit)}`;
    return { label, role, number, detail };
  });
}

function keyOf({ increase }: WaterfallFigure): readonly KeyEntry[] {
  if (increase === "neutral") return [];
  const [more, less] =
    increase === "better" ? (["better", "worse"] as const) : (["worse", "better"] as const);
  return [
    { text: "adds", role: more, sample: "area", nth: 0 },
    { text: "takes away", role: less, sample: "area", nth: 0 },
  ];
}

// Length of the point of an arrow [px].
const arrowPoint = 9;

function shapeSvg(entry: Entry | undefined, space: RowSpace): string {
  if (entry === undefined) return "";
  const { x, y, half, id } = space;
  const whisker = whiskerSvg(spreadOf(entry), space);
  if (isLevel(entry)) return whisker + beadShape(entry.role, x(entry.to), y, 6.5);
  const [from, to] = [x(entry.from), x(entry.to)];
  if (Math.abs(to - from) < 0.5) {
    const stroke = { ...stroked(entry.role), "stroke-width": 2.5 };
    return whisker + element("path", { d: `M${pixel(to)} ${pixel(y - half)}v${pixel(2 * half)}`, ...stroke });
  }
  const point = Math.sign(to - from) * Math.min(arrowPoint, Math.abs(to - from));
  const corners = [
    [from, y - half],
    [to - point, y - half],
    [to, y],
    [to - point, y + half],
    [from, y + half],
  ];
  const outline = corners.map((corner) => corner.map(pixel).join(",")).join(" ");
  const area = areaOf(entry.role, id);
  return [
    element("polygon", {
      points: outline,
      ...area,
      ...("fill-opacity" in area ? { "fill-opacity": 0.4 } : {}),
    }),
    element("polygon", { points: outline, ...stroked(entry.role), "stroke-width": 1.5 }),
    whisker,
  ].join("");
}

/** Guides down from row to row, at the level each row leaves to the next. */
function connectors(entries: readonly Entry[], spaces: readonly RowSpace[]): string {
  const guides = entries.slice(0, -1).map((entry, index) => {
    const [own, next] = [spaces[index], spaces[index + 1]];
    if (own === undefined || next === undefined) return "";
    return `M${pixel(own.x(entry.to))} ${pixel(own.y)}V${pixel(next.y)}`;
  });
  return element("path", {
    d: guides.join(""),
    ...stroked("quiet"),
    "stroke-width": 1.25,
    "stroke-dasharray": "3 3",
  });
}

function shapeText(entries: readonly Entry[], index: number, { canvas, column }: RowTextSpace): void {
  const entry = entries[index];
  if (entry === undefined) return;
  const { unicode } = canvas.manner;
  const to = Math.floor(column(entry.to));
  if (isLevel(entry)) {
    const spread = spreadOf(entry);
    if (spread !== undefined) whiskerText(canvas, column(spread.low), column(spread.high));
    const style = roleStyles[entry.role];
    canvas.put(to, 0, inTurn(unicode ? style.glyphs : style.plainGlyphs, 0), entry.role);
    return;
  }
  const from = Math.floor(column(entry.from));
  const [left, right] = [Math.min(from, to), Math.max(from, to)];
  for (let at = left; at <= right; at++) canvas.put(at, 0, unicode ? "━" : "=", entry.role);
  canvas.put(to, 0, arrowHead(Math.sign(entry.to - entry.from), unicode), entry.role);
}

function arrowHead(direction: number, unicode: boolean): string {
  if (direction === 0) return unicode ? "┃" : "|";
  if (direction > 0) return unicode ? "▶" : ">";
  return unicode ? "◀" : "<";
}

function table(figure: WaterfallFigure): Table {
  const { value } = figure;
  const heads = [
    columnHead(value),
    columnHead(value, "low"),
    columnHead(value, "high"),
    columnHead(value, "after"),
  ];
  return {
    heads: ["entry", "label", ...heads],
    rows: entriesOf(figure).map((entry) => [
      entry.kind,
      entry.label,
      isLevel(entry) ? entry.to : entry.to - entry.from,
      entry.low,
      entry.high,
      entry.to,
    ]),
  };
}
