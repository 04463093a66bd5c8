/** Where an instant lies on a plot, which points of a line are drawn there, and how the shown time moves. */
import { keptIndices } from "../../picture/index.js";

/** Ends of the shown time, since the zero of the series [ms]. */
export type Range = readonly [number, number];

/** Closer than this nothing is told apart [ms]. */
const closest = 0.5;
/** Margins about the plot [px of the page]; the strip above holds the names of the events, which are dragged by it. */
export const margin = { left: 64, right: 12, top: 26, bottom: 26, strip: 72 } as const;

/** Where an instant lies [px of the page]. */
export function pixelOf(x: number, range: Range, width: number): number {
  return margin.left + ((x - range[0]) / (range[1] - range[0])) * (width - margin.left - margin.right);
}

/** The instant at a place, the inverse of `pixelOf`. */
export function instantAt(pixel: number, range: Range, width: number): number {
  const inside = width - margin.left - margin.right;
  return range[0] + ((pixel - margin.left) / inside) * (range[1] - range[0]);
}

/** Indices of the points to draw: of each pixel column the first, last, least and greatest; one more on either side. */
export function pointsToDraw(
  x: readonly number[],
  y: readonly number[],
  range: Range,
  width: number,
): readonly number[] {
  const first = Math.max(0, firstAtLeast(x, range[0]) - 1);
  const last = Math.min(x.length, firstAtLeast(x, range[1]) + 2);
  const scale = width / (range[1] - range[0]);
  const columnOf = (i: number): number => {
    const at = x[first + i] ?? Number.NaN;
    return Number.isNaN(y[first + i] ?? Number.NaN) ? Number.NaN : Math.floor((at - range[0]) * scale);
  };
  const values = y.slice(first, last);
  return keptIndices(values.length, columnOf, [values]).map((i) => first + i);
}

function firstAtLeast(rising: readonly number[], value: number): number {
  let [low, high] = [0, rising.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rising[middle] ?? 0) < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A range about an instant, narrower or wider. */
export function zoomed([from, to]: Range, about: number, factor: number): Range {
  const width = Math.max(closest, (to - from) * factor);
  const share = (about - from) / (to - from);
  return [about - share * width, about + (1 - share) * width];
}

/** A range moved along. @param share of its own width */
export function panned([from, to]: Range, share: number): Range {
  const by = share * (to - from);
  return [from + by, to + by];
}
