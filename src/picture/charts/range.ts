/** Which range an axis shows, and its ticks. */
import { tickStep as decimalStep } from "d3-array";
import { kindOfMark, type Mark } from "../marks/list.js";
import { isDrawable } from "../marks/mark.js";
import type { Axis, Numbers } from "../role.js";
import { numberText } from "../words.js";
import type { PlotFigure } from "./plotFigure.js";

/** A range of values, low < high. */
export type Range = readonly [number, number];

/** A tick with its printed number. */
export interface Tick {
  readonly value: number;
  readonly text: string;
}

// An axis that comes this near to zero (as a share of its greatest value) is drawn from zero.
const nearZero = 0.4;
/** Ticks an upright axis has, about. */
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
  return ends === "exact" ? [from, to] : roundRange(from, to, axis.unit);
}

function roundRange(from: number, to: number, unit: string): Range {
  const start = from > 0 && from < nearZero * to ? 0 : from;
  const stop = to < 0 && to > nearZero * from ? 0 : to;
  const step = roundStep([start, stop], tickCount, unit);
  const margin = littleMargin * (stop - start);
  const [lower, upper] = [Math.floor(start / step + slack) * step, Math.ceil(stop / step - slack) * step];
  return [
    start - lower > mostExtra * step ? start - margin : Math.min(start, lower),
    upper - stop > mostExtra * step ? stop + margin : Math.max(stop, upper),
  ];
}

/** The ranges of a plot. A limit on the edge is moved inside, so that its line and teeth show. */
export function plotRanges({ x, y, marks }: PlotFigure): { readonly x: Range; readonly y: Range } {
  const extents = marks.map((mark) => kindOfMark(mark).extent(mark));
  const xs = extents.map((extent) => extent.xs);
  const ys = extents.map((extent) => extent.ys);
  return {
    x: withRoomFor(marks, "x", x, axisRange(x, xs, "exact")),
    y: withRoomFor(marks, "y", y, axisRange(y, ys, "round")),
  };
}

function withRoomFor(marks: readonly Mark[], direction: "x" | "y", axis: Axis, range: Range): Range {
  if (axis.range !== undefined) return range;
  const room = littleMargin * (range[1] - range[0]);
  const limits = marks.flatMap((mark) =>
    mark.kind === "limit" && mark.axis === direction ? [mark.value] : [],
  );
  return widened(
    Math.min(range[0], ...limits.map((value) => value - room)),
    Math.max(range[1], ...limits.map((value) => value + room)),
  );
}

/** A range of some width: neighbouring floating-point numbers cannot be told apart in a picture. */
function widened(low: number, high: number): Range {
  const size = Math.max(Math.abs(low), Math.abs(high));
  if (high - low > 1e-9 * size && high - low > 1e-250) return [low, high];
  const half = size > 1e-250 ? 0.1 * size : 1;
  return [low - half, high + half];
}

/** Position of a value, linear between the ends of a range and two positions; NaN for NaN. */
export function linear(range: Range, from: number, to: number): (value: number) => number {
  const span = range[1] - range[0];
  return (value) => {
    const share = (value - range[0]) / span;
    return from * (1 - share) + to * share;
  };
}

// Angles are read against these, not against tens of tens: a quarter turn ends on a tick.
const angleUnits = ["°", "deg"];
const angleSteps = [1, 2, 5, 10, 15, 30, 45, 90, 180];
// There may be a fifth more ticks than asked for, so that a quarter turn with a margin keeps its step.
const mostOver = 1.2;

/** The round step that parts a range about into a number of parts. */
function roundStep(range: Range, count: number, unit: string): number {
  const span = range[1] - range[0];
  const isAngle = angleUnits.includes(unit) && span > 10 && span <= 1000;
  const angle = isAngle ? angleSteps.find((step) => span <= step * count * mostOver) : undefined;
  return angle ?? Math.abs(decimalStep(range[0], range[1], count));
}

// A tick this near to the end of the range (as a share of a step) still belongs to it.
const slack = 1e-6;

/** Round values within a range, about as many as asked for. */
export function ticks(range: Range, count: number, unit: string): readonly Tick[] {
  const step = roundStep(range, count, unit);
  const first = Math.ceil(range[0] / step - slack);
  const last = Math.floor(range[1] / step + slack);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => {
    const value = (first + index) * step;
    return { value, text: numberText(value, step) };
  });
}

/** As many ticks as stand side by side in a length with space between their numbers. */
export function fittingTicks(
  range: Range,
  unit: string,
  length: number,
  widthOf: (text: string) => number,
  space: number,
): readonly Tick[] {
  for (let count = 10; count > 1; count--) {
    const list = ticks(range, count, unit);
    const widest = Math.max(0, ...list.map(({ text }) => widthOf(text)));
    const [first, second] = list;
    const apart =
      first === undefined || second === undefined ? range[1] - range[0] : second.value - first.value;
    if (widest + space <= (length * apart) / (range[1] - range[0])) return list;
  }
  return ticks(range, 1, unit);
}
