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

// Distance from bead to bead, before the first, and between places tried on a curve [px].
const beadSpacing = 56;
const firstBead = 20;
const beadStride = 4;
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

/** Beads at even distance as the crow flies, so that a noisy record is not paved with them. */
function beads(role: Role, spots: readonly Spot[], space: SvgSpace): string {
  const { frame } = space;
  const shapes: string[] = [];
  let last: Spot | undefined;
  let from: Spot | undefined;
  for (const to of spots) {
    if (from !== undefined && !Number.isNaN(from[1]) && !Number.isNaN(to[1])) {
      const start = from;
      const steps = Math.max(1, Math.ceil(Math.hypot(to[0] - start[0], to[1] - start[1]) / beadStride));
      for (let step = 0; step <= steps; step++) {
        const [px, py] = [0, 1].map((axis) => between(start, to, axis, step / steps));
        if (px === undefined || py === undefined) continue;
        if (px < frame.left || px > frame.right || py < frame.top || py > frame.bottom) continue;
        last ??= [px - beadSpacing + firstBead, py];
        if (Math.hypot(px - last[0], py - last[1]) < beadSpacing) continue;
        shapes.push(beadShape(role, px, py, beadSize));
        last = [px, py];
      }
    }
    from = to;
  }
  return shapes.join("");
}

function between(from: Spot, to: Spot, axis: number, share: number): number {
  const [start, end] = [from[axis] ?? 0, to[axis] ?? 0];
  return start + share * (end - start);
}

/**
 * A curve in characters: fine dots for the first line of a figure; letters for the others, in every
 * second column, so that they read as beads and what lies under them shows.
 */
export function strokeText(role: Role, x: Numbers, y: Numbers, space: TextSpace): void {
  const { unicode } = space.canvas.manner;
  const letter = inTurn(unicode ? roleStyles[role].glyphs : roleStyles[role].plainGlyphs, space.nth);
  const isDense = space.fine && !unicode;
  // Beads of an updated line stand between those of a measured one: neither hides the other.
  const phase = role === "better" ? 1 : 0;
  let written: number | undefined;
  let last = { column: 0, row: 0, direction: 0 };
  const write = (column: number, row: number): void => {
    space.canvas.put(column, row, letter, role);
    written = row;
  };
  trace(x, y, space, (column, row) => {
    if (space.fine && unicode) return space.canvas.dot(column, row, role);
    const here = { column: Math.floor(column), row: Math.floor(row), direction: last.direction };
    if (here.row !== last.row) here.direction = Math.sign(here.row - last.row);
    // A peak between two written columns is written too.
    const isTurn = here.direction * last.direction < 0;
    if (isTurn && written !== undefined && last.row !== written) write(last.column, last.row);
    const isSteep = written !== undefined && Math.abs(here.row - written) > 1;
    if (isDense || here.column % 2 === phase || isSteep) write(here.column, here.row);
    last = here;
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
