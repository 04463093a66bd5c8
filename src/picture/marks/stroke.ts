/** A curve through samples, in SVG and in text; lines and steps are drawn with it. */
import { line as linePath } from "d3-shape";
import { keptIndices } from "../decimate.js";
import type { Numbers, Role } from "../role.js";
import { beadShape } from "../svg/bead.js";
import { element } from "../svg/element.js";
import { boxesOverlap } from "../svg/labels.js";
import { stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import { isDrawable, type SvgSpace, type TextSpace } from "./mark.js";

/** A point on the drawing surface; NaN where the curve is broken. */
type Spot = readonly [number, number];

// Pixels along a curve from bead to bead, and before the first.
const beadSpacing = 56;
const firstBead = 20;
const beadSize = 4;

/** SVG path of a curve with its dash and beads. */
export function strokeSvg(role: Role, x: Numbers, y: Numbers, space: SvgSpace): string {
  const style = roleStyles[role];
  const spots = spotsOf(x, y, space);
  const path = linePath<Spot>()
    .defined(([px, py]) => !Number.isNaN(px) && !Number.isNaN(py))
    .digits(2)(spots);
  if (path === null) return "";
  const stroke = element("path", {
    d: path,
    ...stroked(role),
    "stroke-width": style.lineWidth,
    "stroke-dasharray": inTurn(style.dashes, space.nth) || undefined,
    "stroke-linejoin": "round",
    "stroke-linecap": inTurn(style.dashes, space.nth) === "" ? "round" : undefined,
  });
  return style.beaded ? stroke + beads(role, spots, space) : stroke;
}

// A curve is cut off this far outside the frame, so that coordinates stay short.
const overshoot = 2000;

function spotsOf(x: Numbers, y: Numbers, space: SvgSpace): readonly Spot[] {
  const { frame } = space;
  const place = (value: number | undefined, scale: (value: number) => number, low: number, high: number) =>
    isDrawable(value) ? Math.max(low - overshoot, Math.min(high + overshoot, scale(value))) : Number.NaN;
  const pixelX = (index: number): number => place(x[index], space.x, frame.left, frame.right);
  const columnOf = (index: number): number => (isDrawable(y[index]) ? Math.floor(pixelX(index)) : Number.NaN);
  return keptIndices(x.length, columnOf, [y]).map(
    (index): Spot => [pixelX(index), place(y[index], space.y, frame.top, frame.bottom)],
  );
}

function beads(role: Role, spots: readonly Spot[], space: SvgSpace): string {
  const { frame } = space;
  const shapes: string[] = [];
  let next = firstBead;
  let travelled = 0;
  let from: Spot | undefined;
  for (const spot of spots) {
    const length = from === undefined ? Number.NaN : Math.hypot(spot[0] - from[0], spot[1] - from[1]);
    if (from !== undefined && !Number.isNaN(length) && length > 0) {
      while (next <= travelled + length) {
        const share = (next - travelled) / length;
        const [px, py] = [from[0] + share * (spot[0] - from[0]), from[1] + share * (spot[1] - from[1])];
        const isInside = px >= frame.left && px <= frame.right && py >= frame.top && py <= frame.bottom;
        if (isInside) shapes.push(beadShape(role, px, py, beadSize));
        next += beadSpacing;
      }
      travelled += length;
    }
    from = spot;
  }
  return shapes.join("");
}

// Cells along a curve from letter to letter, so that letters read as beads and not as a wall.
const letterSpacing = 2;
// A cell is about twice as high as wide.
const cellShape = 2;

/** A curve in characters: fine dots for the first line of a figure, letters for the others. */
export function strokeText(role: Role, x: Numbers, y: Numbers, space: TextSpace): void {
  const { unicode } = space.canvas.manner;
  const letter = inTurn(unicode ? roleStyles[role].glyphs : roleStyles[role].plainGlyphs, space.nth);
  const spacing = space.fine && !unicode ? 1 : letterSpacing;
  let last: Spot | undefined;
  trace(x, y, space, (column, row) => {
    if (space.fine && unicode) return space.canvas.dot(column, row, role);
    const cell: Spot = [Math.floor(column), Math.floor(row)];
    const distance =
      last === undefined
        ? Number.POSITIVE_INFINITY
        : Math.max(Math.abs(cell[0] - last[0]), cellShape * Math.abs(cell[1] - last[1]));
    if (distance < spacing) return;
    space.canvas.put(cell[0], cell[1], letter, role);
    last = cell;
  });
}

/** Visits the curve at least once per fine dot, within the canvas. */
function trace(x: Numbers, y: Numbers, space: TextSpace, visit: (column: number, row: number) => void): void {
  const { columns, rows } = space.canvas;
  const canvasBox = { left: 0, top: 0, right: columns, bottom: rows };
  let from: Spot | undefined;
  for (let index = 0; index < x.length; index++) {
    const [valueX, valueY] = [x[index], y[index]];
    if (!isDrawable(valueX) || !isDrawable(valueY)) {
      from = undefined;
      continue;
    }
    const to: Spot = [
      Math.max(-columns, Math.min(2 * columns, space.column(valueX))),
      Math.max(-rows, Math.min(2 * rows, space.row(valueY))),
    ];
    const start = from ?? to;
    from = to;
    const box = {
      left: Math.min(start[0], to[0]) - 1,
      right: Math.max(start[0], to[0]) + 1,
      top: Math.min(start[1], to[1]) - 1,
      bottom: Math.max(start[1], to[1]) + 1,
    };
    if (!boxesOverlap(box, canvasBox)) continue;
    const steps = Math.max(
      1,
      Math.ceil(Math.max(4 * Math.abs(to[0] - start[0]), 8 * Math.abs(to[1] - start[1]))),
    );
    for (let step = 0; step <= steps; step++) {
      const share = step / steps;
      visit(start[0] + share * (to[0] - start[0]), start[1] + share * (to[1] - start[1]));
    }
  }
}
