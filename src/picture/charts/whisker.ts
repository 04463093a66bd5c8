/** Spreads in charts made of rows. */
import { element, pixel } from "../svg/element.js";
import { stroked } from "../svg/sheet.js";
import type { Canvas } from "../text/canvas.js";
import type { RowSpace } from "./rowsSvg.js";

/** The two ends of a spread on the axis. */
export interface Spread {
  readonly low: number;
  readonly high: number;
}

/** A thin line with caps over a spread. @param capHalf  half the height of a cap [px] */
export function whiskerSvg(spread: Spread | undefined, space: RowSpace, capHalf = 5): string {
  if (spread === undefined) return "";
  const { x, y } = space;
  const ends = [x(spread.low), x(spread.high)];
  const [left, right] = [pixel(Math.min(...ends)), pixel(Math.max(...ends))];
  const [top, bottom] = [pixel(y - capHalf), pixel(y + capHalf)];
  return element("path", {
    d: `M${left} ${pixel(y)}H${right}M${left} ${top}V${bottom}M${right} ${top}V${bottom}`,
    ...stroked("ink"),
    "stroke-width": 1.5,
  });
}

/** A spread in characters. @param from, to  columns, with fractions */
export function whiskerText(canvas: Canvas, from: number, to: number): void {
  const { unicode } = canvas.manner;
  const [left, right] = [Math.floor(Math.min(from, to)), Math.floor(Math.max(from, to))];
  for (let at = Math.max(0, left); at <= Math.min(canvas.columns - 1, right); at++)
    canvas.put(at, 0, unicode ? "─" : "-");
  canvas.put(left, 0, unicode ? "├" : "[");
  if (right > left) canvas.put(right, 0, unicode ? "┤" : "]");
}
