/** Where everything of a figure of parallel axes stands in SVG: for drawing it, and for finding what was pressed. */
import { isDrawable } from "../marks/mark.js";
import { edge, heading, type KeyEntry, key, labelSize, lineHeight, type Part } from "../svg/heading.js";
import { axisTitle, textWidth, wrap } from "../words.js";
import type { SvgSize } from "./chart.js";
import { endsOf, type ParallelFigure, parallelRange } from "./parallelFigure.js";
import { linear, type Range } from "./range.js";

/** One axis in its place. */
export interface PlacedAxis {
  readonly range: Range;
  readonly x: (value: number) => number;
  /** Height of the line [px]. */
  readonly y: number;
  readonly title: readonly string[];
  readonly detail: readonly string[];
  /** Baseline of the first line of the title, and its left end [px]. */
  readonly titleY: number;
}

export interface ParallelPlaces {
  readonly head: Part;
  readonly key: Part;
  readonly left: number;
  readonly right: number;
  /** Place of what is not known, left of the axes [px]. */
  readonly unknown: number;
  readonly axes: readonly PlacedAxis[];
  readonly bottom: number;
}

/** A place in the picture [px]. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

// From this width on labels stand left of the axes; below it above them.
const wideEnough = 560;
const labelShare = 0.3;
const columnGap = 16;
/** Room left of the axes for what is not known [px]. */
const unknownRoom = 30;
/** Least height of an axis with its numbers and room for lines to part [px]. */
const leastHeight = 66;
const underAxis = 30;

/** Lays a figure out. */
export function parallelPlaces(
  figure: ParallelFigure,
  { width, caption = "drawn" }: SvgSize,
): ParallelPlaces {
  const head = heading(figure, width, caption);
  const keyPart = key(keyOf(figure), head.bottom, width, figure.id);
  const isWide = width >= wideEnough;
  const hasUnknown = figure.items.some(({ values }) =>
    Array.from(values).some((value) => !isDrawable(value)),
  );
  const room = isWide ? labelShare * width : width - 2 * edge;
  const measure = (text: string): number => textWidth(text, labelSize, true);
  const words = figure.axes.map((axis) => ({
    title: wrap(axisTitle(axis, 3 * room, measure), room, measure),
    detail: axis.detail === undefined ? [] : wrap(axis.detail, room, (text) => textWidth(text, labelSize)),
  }));
  const column = Math.max(0, ...words.flatMap((one) => [...one.title, ...one.detail].map(measure)));
  const labels = isWide ? Math.min(room, column) + columnGap : 0;
  const left = edge + 8 + labels + (hasUnknown ? unknownRoom : 0);
  const right = width - edge - 12;
  let top = keyPart.bottom + 8;
  const axes = figure.axes.map((axis, index): PlacedAxis => {
    const { title, detail } = words[index] ?? { title: [], detail: [] };
    const lines = (title.length + detail.length) * lineHeight;
    const height = isWide ? Math.max(leastHeight, lines + 14) : lines + leastHeight - 12;
    const y = isWide ? top + height / 2 - 4 : top + height - underAxis;
    const titleY = isWide ? y + 4.5 - (lines - lineHeight) / 2 : top + 12;
    top += height;
    const range = parallelRange(figure, index);
    return { range, x: linear(endsOf(range, axis), left, right), y, title, detail, titleY };
  });
  return { head, key: keyPart, left, right, unknown: left - unknownRoom + 6, axes, bottom: top + 10 };
}

/** One entry for each role, in the order in which they come. */
export function keyOf({ items }: ParallelFigure): readonly KeyEntry[] {
  const seen = new Map(
    items.map(({ role, group, isChosen }): [string, KeyEntry] => [
      role,
      { text: group, role, sample: isChosen === true ? "bead" : "line", nth: 0 },
    ]),
  );
  return [...seen.values()];
}

/** The corners of an item's line. */
export function cornersOf(places: ParallelPlaces, values: ArrayLike<number>): readonly Place[] {
  return places.axes.map(({ x, y }, index) => {
    const value = values[index];
    return { x: isDrawable(value) ? x(value) : places.unknown, y };
  });
}

/** Farther off than this nothing was meant [px]: half of what a gloved finger needs. */
const reach = 28;

/**
 * The item whose line passes nearest to a place in the drawn picture.
 * @param size  as given to drawSvg
 * @returns     its place among the items; undefined where none is near
 */
export function nearestItem(figure: ParallelFigure, size: SvgSize, at: Place): number | undefined {
  const places = parallelPlaces(figure, size);
  let best: number | undefined;
  let nearest = reach;
  for (const [index, { values }] of figure.items.entries()) {
    const corners = cornersOf(places, values);
    const distance = Math.min(
      ...corners.map((corner, j) => distanceTo(at, corners[j - 1] ?? corner, corner)),
    );
    // Of two that are equally near the upper one is meant.
    if (distance > nearest) continue;
    best = index;
    nearest = distance;
  }
  return best;
}

/** From a place to a piece of a line [px]. */
function distanceTo(at: Place, from: Place, to: Place): number {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = dx * dx + dy * dy;
  const along = length === 0 ? 0 : ((at.x - from.x) * dx + (at.y - from.y) * dy) / length;
  const share = Math.max(0, Math.min(1, along));
  return Math.hypot(at.x - from.x - share * dx, at.y - from.y - share * dy);
}
