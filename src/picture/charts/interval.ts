import { refuse } from "../../fault/index.js";
import { isDrawable, requireDrawable } from "../marks/mark.js";
import type { Axis, FigureWords, Role } from "../role.js";
import { beadShape } from "../svg/bead.js";
import { element, pixel } from "../svg/element.js";
import { areaOf, filled, stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import { numberText } from "../words.js";
import type { ChartKind, Table } from "./chart.js";
import { axisRange, type Range } from "./range.js";
import { type Row, stepOfSpread, withUnit } from "./row.js";
import { type RowSpace, rowsSvg } from "./rowsSvg.js";
import { type RowTextSpace, rowsText } from "./rowsText.js";
import { whiskerText } from "./whisker.js";

/** A value with its band against its limit. */
export interface KnownCheck {
  readonly kind: "known";
  readonly label: string;
  readonly unit: string;
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
  readonly limit: number;
  readonly allowed: "at most" | "at least";
  /** The finding as one or two words; its role decides the colour and shape. */
  readonly verdict: string;
  readonly role: Role;
  /** Value, band and limit as printed beside the row ("41 ms, at most 50 ms"); made from the numbers unless given. */
  readonly numbers?: string;
  /** What counts as 100 % on the margin axis, in the check's unit; |limit| unless given, which must then not be 0. */
  readonly scale?: number;
}

/** A check whose value could not be had, and why. */
export interface UnknownCheck {
  readonly kind: "unknown";
  readonly label: string;
  readonly verdict: string;
  readonly reason: string;
}

/** One row of an interval figure. */
export type CheckRow = KnownCheck | UnknownCheck;

/**
 * A list of checks on one common axis: the margin to the limit as a share of the limit,
 *   at most:  (limit - value) / scale,   at least:  (value - limit) / scale,
 * so that every check holds to the right of the same line, whatever its unit.
 */
export interface IntervalFigure extends FigureWords {
  readonly kind: "interval";
  readonly checks: readonly CheckRow[];
}

/** How a list of checks is checked, drawn and listed. */
export const interval: ChartKind<IntervalFigure> = {
  check: ({ checks }) => {
    for (const row of checks) if (row.kind === "known") requireScale(row);
  },
  drawSvg: (figure, size) => {
    const range = rangeOf(figure);
    return rowsSvg(
      figure,
      {
        axis: marginAxis,
        range,
        rows: figure.checks.map(rowOf),
        key: [],
        behind: limitSvg,
        shape: (index, space) => shapeSvg(figure.checks[index], range, space),
      },
      size,
    );
  },
  drawText: (figure, size) => {
    const range = rangeOf(figure);
    return rowsText(
      figure,
      {
        axis: marginAxis,
        range,
        rows: figure.checks.map(rowOf),
        key: [],
        arrangement: "stacked",
        shape: (index, space) => shapeText(figure.checks[index], range, space),
      },
      size,
    );
  },
  table,
};

const marginAxis: Axis = { label: "Margin to the limit; left of 0 it is not met", unit: "%" };

function scaleOf({ scale, limit }: KnownCheck): number {
  return scale ?? Math.abs(limit);
}

function requireScale(check: KnownCheck): void {
  requireDrawable("check", `the value of "${check.label}"`, check.value);
  requireDrawable("check", `the limit of "${check.label}"`, check.limit);
  if (isDrawable(scaleOf(check)) && scaleOf(check) > 0) return;
  refuse(
    "picture-scale",
    `the check "${check.label}" has the scale ${`${scaleOf(check)} ${check.unit}`.trim()}`,
    "Its margin is drawn as a share of its scale, which is |limit| unless given.",
    "Give a scale above 0 for a limit of 0.",
  );
}

/** Margin of a value of a check [%]. */
function margin(check: KnownCheck, value: number): number {
  const room = check.allowed === "at most" ? check.limit - value : value - check.limit;
  return (100 * room) / scaleOf(check);
}

/** The margins of a check's band, lesser first. */
function bandOf(check: KnownCheck): readonly [number, number] | undefined {
  if (!isDrawable(check.low) || !isDrawable(check.high)) return undefined;
  const ends = [margin(check, check.low), margin(check, check.high)];
  return [Math.min(...ends), Math.max(...ends)];
}

// The axis always shows some of both sides, and no more than this: farther values are drawn at its ends.
const leastShown = [-25, 50] as const;
const mostShown = [-100, 100] as const;

function rangeOf({ checks }: IntervalFigure): Range {
  const margins = checks.flatMap((check) =>
    check.kind === "known" ? [margin(check, check.value), ...(bandOf(check) ?? [])] : [],
  );
  const shown = margins.map((one) => Math.max(mostShown[0], Math.min(mostShown[1], one)));
  return axisRange(marginAxis, [[...leastShown, ...shown]], "round");
}

function rowOf(check: CheckRow): Row {
  if (check.kind === "unknown")
    return { label: check.label, detail: check.reason, number: check.verdict, role: "neutral" };
  return {
    label: check.label,
    detail: check.numbers ?? numbersOf(check),
    number: check.verdict,
    role: check.role,
  };
}

function numbersOf(check: KnownCheck): string {
  const { value, low, high, limit, allowed, unit } = check;
  const hasBand = isDrawable(low) && isDrawable(high);
  const half = hasBand ? Math.abs(high - low) / 2 : 0;
  // As the band asks, else three digits of the larger number.
  const step =
    half > 0 ? stepOfSpread(half) : magnitude(Math.max(Math.abs(value), Math.abs(limit), 1e-12)) / 100;
  const band = hasBand ? ` (${numberText(low, step)} to ${numberText(high, step)})` : "";
  // The limit is exact; it keeps its own digits.
  const bound = withUnit(numberText(limit, Math.min(step, lastPlace(limit))), unit);
  return `${withUnit(numberText(value, step), unit)}${band}, ${allowed} ${bound}`;
}

function magnitude(value: number): number {
  return 10 ** Math.floor(Math.log10(value));
}

function lastPlace(value: number): number {
  const decimals = String(value).split(".")[1]?.length ?? 0;
  return 10 ** -Math.min(6, decimals);
}

/** The limit at zero margin, and its forbidden side. */
function limitSvg(spaces: readonly RowSpace[]): string {
  let rail = "";
  let teeth = "";
  const past = spaces.map(({ id, x, zone }) => {
    const at = x(0);
    rail += `M${pixel(at)} ${pixel(zone.top)}V${pixel(zone.bottom)}`;
    for (let y = zone.top + 8; y <= zone.bottom; y += 10) teeth += `M${pixel(at)} ${pixel(y)}l-7 -7`;
    const side = { x: zone.left, y: zone.top, width: at - zone.left, height: zone.bottom - zone.top };
    return element("rect", { ...side, ...areaOf("band", id), "fill-opacity": 0.1 });
  });
  return [
    ...past,
    element("path", { d: rail, ...stroked("limit"), "stroke-width": 2.25 }),
    element("path", { d: teeth, ...stroked("limit"), "stroke-width": 1.25 }),
  ].join("");
}

const valueSize = 6;

function shapeSvg(check: CheckRow | undefined, range: Range, space: RowSpace): string {
  if (check === undefined) return "";
  const { x, y, half, zone } = space;
  if (check.kind === "unknown")
    return element("path", {
      d: `M${pixel(zone.left)} ${pixel(y)}H${pixel(zone.right)}`,
      ...stroked("neutral"),
      "stroke-width": 2,
      "stroke-dasharray": "2 7",
    });
  const at = margin(check, check.value);
  const band = bandOf(check);
  const within = (value: number): number => x(Math.max(range[0], Math.min(range[1], value)));
  let svg = "";
  if (band !== undefined) {
    const [left, right] = [within(band[0]), within(band[1])];
    const shape = { x: left, y: y - half * 0.7, width: right - left, height: half * 1.4 };
    svg += element("rect", { ...shape, ...filled(check.role), "fill-opacity": 0.24 });
    svg += element("rect", { ...shape, ...stroked(check.role), "stroke-width": 1.5 });
  }
  const least = band === undefined ? at : Math.min(at, band[0]);
  const greatest = band === undefined ? at : Math.max(at, band[1]);
  if (least < range[0]) svg += arrow(zone.left, y, -1, check.role);
  if (greatest > range[1]) svg += arrow(zone.right, y, 1, check.role);
  const isShown = at >= range[0] && at <= range[1];
  return isShown ? svg + beadShape(check.role, x(at), y, valueSize) : svg;
}

/** What lies beyond the end of the axis: a point toward it. */
function arrow(x: number, y: number, toward: -1 | 1, role: Role): string {
  const foot = pixel(x - toward * 11);
  const points = `${pixel(x)},${pixel(y)} ${foot},${pixel(y - 7)} ${foot},${pixel(y + 7)}`;
  return element("polygon", { points, ...filled(role) });
}

function shapeText(check: CheckRow | undefined, range: Range, { canvas, column }: RowTextSpace): void {
  const { unicode } = canvas.manner;
  const zero = Math.floor(column(0));
  for (let at = 0; at < zero; at++) canvas.shade(at, 0, unicode ? "░" : ".", "limit");
  if (check?.kind === "known") {
    const within = (value: number): number => column(Math.max(range[0], Math.min(range[1], value)));
    const band = bandOf(check);
    if (band !== undefined) whiskerText(canvas, within(band[0]), within(band[1]));
    canvas.put(zero, 0, unicode ? "┃" : "|", "limit");
    const at = margin(check, check.value);
    const style = roleStyles[check.role];
    const bead = inTurn(unicode ? style.glyphs : style.plainGlyphs, 0);
    const [least, greatest] = [Math.min(at, ...(band ?? [])), Math.max(at, ...(band ?? []))];
    if (least < range[0]) canvas.put(0, 0, unicode ? "◀" : "<", check.role);
    if (greatest > range[1]) canvas.put(canvas.columns - 1, 0, unicode ? "▶" : ">", check.role);
    if (at >= range[0] && at <= range[1]) canvas.put(Math.floor(column(at)), 0, bead, check.role);
    return;
  }
  canvas.put(zero, 0, unicode ? "┃" : "|", "limit");
  for (let at = zero + 2; at < canvas.columns; at += 4) canvas.put(at, 0, "?", "neutral");
}

function table({ checks }: IntervalFigure): Table {
  return {
    heads: [
      "label",
      "verdict",
      "unit",
      "value",
      "low",
      "high",
      "allowed",
      "limit",
      "margin_percent",
      "reason",
    ],
    rows: checks.map((check) =>
      check.kind === "unknown"
        ? [
            check.label,
            check.verdict,
            "",
            undefined,
            undefined,
            undefined,
            "",
            undefined,
            undefined,
            check.reason,
          ]
        : [
            check.label,
            check.verdict,
            check.unit,
            check.value,
            check.low,
            check.high,
            check.allowed,
            check.limit,
            margin(check, check.value),
            "",
          ],
    ),
  };
}
