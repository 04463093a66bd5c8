/**
 * What a kind of mark has to say for itself. To add one:
 *   1. write src/picture/marks/<mark>.ts with its description (plain readonly data with a `kind` of
 *      its own) and its MarkKind;
 *   2. add its line to the list in marks/list.ts: type and record;
 *   3. add an example to test/picture/examples.ts; its picture is then kept in test/figures/.
 * Everything else (axes, labels, keys, clipping, CSV) follows from the record.
 */
import { refuse } from "../../fault/index.js";
import type { Numbers, Role } from "../role.js";
import type { Box } from "../svg/labels.js";
import type { Canvas } from "../text/canvas.js";

/** The record of one kind of mark. */
export interface MarkKind<M> {
  /** Refuses a description that cannot be drawn (columns of unequal length, nothing to bound). */
  readonly check: (mark: M) => void;
  /** Values the axes should show; those not finite are passed over. */
  readonly extent: (mark: M) => Extent;
  /** Curves that labels should keep clear of, in data units. */
  readonly outlines: (mark: M) => readonly Outline[];
  /** The mark's label and where it belongs; none if it has no label. */
  readonly label: (mark: M) => LabelWish | undefined;
  /** Whether beads and half a line's width may hang over the edge of the frame. */
  readonly overhangs: boolean;
  /** SVG markup, in pixels, rounded to two decimals. */
  readonly drawSvg: (mark: M, space: SvgSpace) => string;
  /** Draws into a grid of characters. */
  readonly drawText: (mark: M, space: TextSpace) => void;
  /** The data behind the mark, a row per value. */
  readonly rows: (mark: M) => readonly DataRow[];
}

/** Values on each axis. */
export interface Extent {
  readonly xs: Numbers;
  readonly ys: Numbers;
}

/** A curve through points. */
export interface Outline {
  readonly x: Numbers;
  readonly y: Numbers;
}

/** How a key shows the mark beside its label. */
export type Sample = "line" | "area" | "region" | "solid" | "bead" | "rail" | "limit";

/**
 * A label and where it belongs: beside the right end of a curve, along a level line, over the figure at an x, near a
 * place inside it, or in the key only.
 */
export type LabelWish = { readonly text: string; readonly role: Role; readonly sample: Sample } & (
  | { readonly where: "end"; readonly x: number; readonly y: number }
  | { readonly where: "level"; readonly y: number }
  | { readonly where: "top"; readonly x: number }
  | { readonly where: "inside"; readonly x: number; readonly y: number }
  | { readonly where: "key" }
);

/** Where an SVG mark is drawn: pixel of a value on either axis, the frame, its turn among marks of its role. */
export interface SvgSpace {
  readonly id: string;
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
  readonly frame: Box;
  readonly nth: number;
}

/** Where a text mark is drawn: cell (with fraction) of a value on either axis, counted from the upper left of the plot. */
export interface TextSpace {
  readonly canvas: Canvas;
  readonly column: (value: number) => number;
  readonly row: (value: number) => number;
  readonly nth: number;
  /** Whether this line is the one of its figure that is traced with fine dots, if the terminal can. */
  readonly fine: boolean;
}

/** One row behind a mark; what it has no value for is left out. */
export interface DataRow {
  readonly x?: number;
  readonly y?: number;
  readonly xLow?: number;
  readonly xHigh?: number;
  readonly yLow?: number;
  readonly yHigh?: number;
}

// Sums and differences of larger numbers overflow; no quantity in a figure comes near.
const largest = 1e300;

/** From one end of an axis to the other, whatever its range. */
export const everywhere: Numbers = [-1e250, 1e250];

/** Whether a value can be drawn. */
export function isDrawable(value: number | undefined): value is number {
  return value !== undefined && Math.abs(value) < largest;
}

/** Refuses columns of unequal length. */
export function requireSameLength(kind: string, columns: Readonly<Record<string, Numbers>>): void {
  const lengths = Object.entries(columns).map(([name, values]) => ({ name, length: values.length }));
  if (lengths.every(({ length }) => length === lengths[0]?.length)) return;
  const found = lengths.map(({ name, length }) => `${length} in ${name}`).join(", ");
  refuse(
    "picture-columns",
    `the columns of a ${kind} mark have unequal lengths: ${found}`,
    "Each value needs its partner in every column of the mark.",
    "Give columns of one length; write NaN where a value is missing.",
  );
}

/** Refuses a single value that has no place on an axis. */
export function requireDrawable(kind: string, name: string, value: number): void {
  if (isDrawable(value)) return;
  refuse(
    "picture-value",
    `${name} of a ${kind} mark is ${value}`,
    "It is a place on an axis, so it must be a finite number below 1e300.",
    "Leave the mark out when its value is not known.",
  );
}

/** The last point of a curve that can be drawn. */
export function lastPoint(x: Numbers, y: Numbers): { readonly x: number; readonly y: number } | undefined {
  for (let index = Math.min(x.length, y.length) - 1; index >= 0; index--) {
    const point = { x: x[index], y: y[index] };
    if (isDrawable(point.x) && isDrawable(point.y)) return { x: point.x, y: point.y };
  }
  return undefined;
}
