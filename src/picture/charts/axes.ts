/** Axes: which range, which ticks, how drawn. All charts draw theirs here. */
import { scaleLinear } from "d3-scale";
import { isDrawable } from "../marks/mark.js";
import type { Axis, Numbers } from "../role.js";
import { element, pixel, words } from "../svg/element.js";
import { edge } from "../svg/heading.js";
import type { Box } from "../svg/labels.js";
import { filled, stroked } from "../svg/sheet.js";
import { axisTitle, numberText, textWidth } from "../words.js";

/** Type size of tick labels and axis titles [px]. */
export const tickSize = 13;

/** A range of values, low < high. */
export type Range = readonly [number, number];

/** A tick with its printed number. */
export interface Tick {
  readonly value: number;
  readonly text: string;
}

// An axis that comes this near to zero (as a share of its greatest value) is drawn from zero.
const nearZero = 0.4;

// Ticks an upright axis has, about.
export const tickCount = 6;
// An axis runs on to the next round number unless that is more than this share of a step away; then
// it ends a little past the values.
const mostExtra = 0.6;
const littleMargin = 0.05;

/**
 * The range an axis shows: the given one, else that of the values; an empty or single-valued range
 * is widened so that it can be drawn.
 * @param ends  "round" widens to round numbers and to a zero that is near; "exact" does not
 */
export function axisRange(axis: Axis, columns: readonly Numbers[], ends: "round" | "exact"): Range {
  if (axis.range !== undefined && isDrawable(axis.range[0]) && isDrawable(axis.range[1]))
    return widened(Math.min(...axis.range), Math.max(...axis.range));
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const column of columns)
    for (let index = 0; index < column.length; index++) {
      const value = column[index];
      if (!isDrawable(value)) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  if (low > high) return [0, 1];
  const [from, to] = widened(low, high);
  if (ends === "exact") return [from, to];
  const start = from > 0 && from < nearZero * to ? 0 : from;
  const stop = to < 0 && to > nearZero * from ? 0 : to;
  const [roundFrom = start, roundTo = stop] = scaleLinear().domain([start, stop]).nice(tickCount).domain();
  const step = tickStep(ticks([roundFrom, roundTo], tickCount));
  const margin = littleMargin * (stop - start);
  return [
    start - roundFrom > mostExtra * step ? start - margin : roundFrom,
    roundTo - stop > mostExtra * step ? stop + margin : roundTo,
  ];
}

/** A range of some width: neighbouring floating-point numbers cannot be told apart in a picture. */
function widened(low: number, high: number): Range {
  const size = Math.max(Math.abs(low), Math.abs(high));
  if (high - low > 1e-9 * size && high - low > 1e-250) return [low, high];
  const half = size > 1e-250 ? 0.1 * size : 1;
  return [low - half, high + half];
}

/** Position of a value, linear between the ends of a range and two positions. */
export function linear(range: Range, from: number, to: number): (value: number) => number {
  const slope = (to - from) / (range[1] - range[0]);
  return (value) => from + (value - range[0]) * slope;
}

/** Round values within a range, about as many as asked for. */
export function ticks(range: Range, count: number): readonly Tick[] {
  const values = scaleLinear().domain(range).ticks(count);
  const step = values.length > 1 ? Math.abs((values[1] ?? 0) - (values[0] ?? 0)) : range[1] - range[0];
  return values.map((value) => ({ value, text: numberText(value, roundStep(step)) }));
}

/** A step freed of the rounding of its subtraction. */
function roundStep(step: number): number {
  return Number(step.toPrecision(3));
}

/** As many ticks as stand side by side in a length with space between their numbers. */
export function fittingTicks(
  range: Range,
  length: number,
  widthOf: (text: string) => number,
  space: number,
): readonly Tick[] {
  for (let count = 10; count > 1; count--) {
    const list = ticks(range, count);
    const widest = Math.max(0, ...list.map(({ text }) => widthOf(text)));
    const apart = list.length > 1 ? (length * tickStep(list)) / (range[1] - range[0]) : length;
    if (widest + space <= apart) return list;
  }
  return ticks(range, 1);
}

function tickStep(list: readonly Tick[]): number {
  return (list[1]?.value ?? 0) - (list[0]?.value ?? 0);
}

/** The level axis under a frame: line, ticks, numbers, title at its right end. Takes 44 px. */
export function levelAxis(axis: Axis, range: Range, frame: Box): string {
  const x = linear(range, frame.left, frame.right);
  const list = fittingTicks(range, frame.right - frame.left, (text) => textWidth(text, tickSize), 14);
  const marks = list.map(({ value }) => `M${pixel(x(value))} ${pixel(frame.bottom)}v5`).join("");
  const line = element("path", {
    d: `M${pixel(frame.left)} ${pixel(frame.bottom)}H${pixel(frame.right)}${marks}`,
    ...stroked("ink"),
    "stroke-width": 1.5,
  });
  const numbers = list.map(({ value, text }) =>
    element(
      "text",
      { x: x(value), y: frame.bottom + 19, "text-anchor": "middle", "font-size": tickSize, ...filled("ink") },
      words(text),
    ),
  );
  const title = element(
    "text",
    {
      x: frame.right,
      y: frame.bottom + 38,
      "text-anchor": "end",
      "font-size": tickSize,
      ...filled("quiet"),
    },
    words(axisTitle(axis, frame.right - edge, (text) => textWidth(text, tickSize))),
  );
  return [line, ...numbers, title].join("\n");
}

/** Height that levelAxis takes under the frame [px]. */
export const levelAxisHeight = 46;

/** Rules across a frame at the ticks of the upright axis, with their numbers to the left. */
export function uprightAxis(list: readonly Tick[], range: Range, frame: Box): string {
  const y = linear(range, frame.bottom, frame.top);
  const rules = list.map(({ value }) => `M${pixel(frame.left)} ${pixel(y(value))}H${pixel(frame.right)}`);
  const numbers = list.map(({ value, text }) =>
    element(
      "text",
      {
        x: frame.left - 8,
        y: y(value) + 4.5,
        "text-anchor": "end",
        "font-size": tickSize,
        ...filled("ink"),
      },
      words(text),
    ),
  );
  const ruled = element("path", { d: rules.join(""), ...stroked("rule"), "stroke-width": 1 });
  return [ruled, ...numbers].join("\n");
}
