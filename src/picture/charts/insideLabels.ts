/** Labels inside the frame of a plot: placed where they cover least. */
import { kindOfMark, type Mark } from "../marks/list.js";
import type { LabelWish, SvgSpace } from "../marks/mark.js";
import type { PointsMark } from "../marks/points.js";
import type { Role } from "../role.js";
import { element, pixel } from "../svg/element.js";
import { labelSize, lineHeight, rimmed } from "../svg/heading.js";
import { type Box, leastCovered } from "../svg/labels.js";
import { filled, stroked } from "../svg/sheet.js";
import { textWidth, wrap } from "../words.js";

/** A mark and the label it asks for. */
export interface Labelled {
  readonly mark: Mark;
  readonly label: LabelWish | undefined;
}

/** Notes beside their places, and level limits on their lines when no column takes them. */
export function insideLabels(
  drawn: readonly Labelled[],
  limits: "beside" | "on their lines",
  space: Omit<SvgSpace, "nth">,
): string {
  const { frame } = space;
  const curves = drawn.flatMap(({ mark }) => curvePoints(mark, space));
  const levels = drawn.flatMap(({ label }) => (label?.where === "level" ? [space.y(label.y)] : []));
  const taken: Box[] = [];
  const parts: string[] = [];
  for (const { mark, label } of drawn) {
    if (label === undefined) continue;
    const isOnLine = label.where === "level" && limits === "on their lines";
    if (label.where !== "inside" && !isOnLine) continue;
    const lines = wrap(label.text, 0.45 * (frame.right - frame.left), (text) => textWidth(text, labelSize));
    const box = {
      width: Math.max(...lines.map((line) => textWidth(line, labelSize)), 0),
      height: lines.length * lineHeight,
    };
    const px = label.where === "inside" ? space.x(label.x) : frame.right;
    const py = space.y(label.y);
    const candidates = mark.kind === "limit" ? onLine(py, box, frame, mark.forbidden) : around(px, py, box);
    const pushed = candidates.map((one) => pushedInside(one, frame));
    const own = mark.kind === "limit" ? pushed.filter((one) => isBesideOwn(one, py, levels)) : pushed;
    const inside = own.length > 0 ? own : pushed;
    const place = leastCovered(inside, curves, taken);
    if (place === undefined) continue;
    taken.push(place);
    if (mark.kind === "note") parts.push(leader(px, py, place, label.role));
    for (const [row, line] of lines.entries())
      parts.push(rimmed(line, place.left, place.top + 13.5 + row * lineHeight, "start", label.role));
  }
  return parts.join("\n");
}

/** A dot at the place of a note, and a line to its words where they stand apart. */
function leader(px: number, py: number, place: Box, role: Role): string {
  const dot = element("circle", { cx: px, cy: py, r: 3, ...filled(role) });
  const [nearX, nearY] = [
    Math.max(place.left, Math.min(place.right, px)),
    Math.max(place.top + 3, Math.min(place.bottom - 2, py)),
  ];
  if (Math.hypot(nearX - px, nearY - py) < 2 * noteGap) return dot;
  const line = { d: `M${pixel(px)} ${pixel(py)}L${pixel(nearX)} ${pixel(nearY)}`, ...stroked(role) };
  return dot + element("path", { ...line, "stroke-width": 1 });
}

interface Extents {
  readonly width: number;
  readonly height: number;
}

function boxAt(left: number, top: number, { width, height }: Extents): Box {
  return { left, top, right: left + width, bottom: top + height };
}

// Distance of a note from its place, and of a limit's label from its line, near first [px].
const noteGap = 9;
const lineGaps = [8, 14] as const;
// Between lines that lie close, on the side without teeth [px].
const closeGap = 1;

function around(px: number, py: number, box: Extents): readonly Box[] {
  const [left, right] = [px - noteGap - box.width, px + noteGap];
  const [above, below] = [py - box.height - 3, py + 3];
  const beside = [right, left].map((at) => boxAt(at, py - box.height / 2, box));
  const corners = [
    [right, above],
    [left, above],
    [right, below],
    [left, below],
  ].map(([at = 0, top = 0]) => boxAt(at, top, box));
  const farther = [-3 * lineHeight, 3 * lineHeight].map((lift) =>
    boxAt(px - box.width / 2, py - box.height / 2 + lift, box),
  );
  return [...corners, ...beside, ...farther];
}

/** Whether no other limit lies between a label and its line: it would be read as that one's. */
function isBesideOwn({ top, bottom }: Box, py: number, levels: readonly number[]): boolean {
  const middle = (top + bottom) / 2;
  return !levels.some((level) => (level - py) * (level - middle) < 0);
}

/** Places that a label tries along its line. */
const placesOnLine = 16;

/** Along a level limit: on its allowed side first. */
function onLine(
  py: number,
  box: Extents,
  frame: Box,
  forbidden: "above" | "below" | undefined,
): readonly Box[] {
  const [first, last] = [frame.left + 6, frame.right - box.width - 4];
  // Ends and middle first; between them where a curve or a bead lies in all of those.
  const between = Array.from({ length: placesOnLine }, (_, i) => first + ((last - first) * i) / placesOnLine);
  const lefts = [last, first, (frame.left + frame.right - box.width) / 2, ...between];
  const tops = [
    ...lineGaps.flatMap((gap) => {
      const [above, below] = [py - box.height - gap, py + gap];
      return forbidden === "below" ? [above, below] : [below, above];
    }),
    ...(forbidden === "above" ? [] : [py - box.height - closeGap]),
    ...(forbidden === "below" ? [] : [py + closeGap]),
  ];
  return tops.flatMap((top) => lefts.map((left) => boxAt(left, top, box)));
}

function pushedInside(box: Box, frame: Box): Box {
  const width = box.right - box.left;
  const height = box.bottom - box.top;
  const left = Math.max(frame.left + 2, Math.min(frame.right - width - 2, box.left));
  const top = Math.max(frame.top, Math.min(frame.bottom - height, box.top));
  return boxAt(left, top, { width, height });
}

// Distance between the points that stand for a curve when labels look for room [px].
const obstacleStep = 6;

// A bead and a gap around it [px].
const beadReach = 7;

/** Corners around the beads: a label that touches a bead's rim covers it too. */
function beadRims({ x, y }: PointsMark, space: Omit<SvgSpace, "nth">): (readonly [number, number])[] {
  return Array.from(x).flatMap((value, index) => {
    const [px, py] = [space.x(value), space.y(y[index] ?? Number.NaN)];
    if (Number.isNaN(px) || Number.isNaN(py)) return [];
    return [-beadReach, 0, beadReach].flatMap((dx) =>
      [-beadReach, 0, beadReach].map((dy) => [px + dx, py + dy] as const),
    );
  });
}

function curvePoints(mark: Mark, space: Omit<SvgSpace, "nth">): readonly (readonly [number, number])[] {
  const { frame } = space;
  const found: (readonly [number, number])[] = mark.kind === "points" ? beadRims(mark, space) : [];
  for (const { x, y } of kindOfMark(mark).outlines(mark)) {
    const stride = Math.max(1, Math.floor(x.length / 1000));
    let from: readonly [number, number] | undefined;
    for (let index = 0; index < x.length; index += stride) {
      const px = Math.max(frame.left, Math.min(frame.right, space.x(x[index] ?? Number.NaN)));
      const py = Math.max(frame.top, Math.min(frame.bottom, space.y(y[index] ?? Number.NaN)));
      if (Number.isNaN(px) || Number.isNaN(py)) {
        from = undefined;
        continue;
      }
      const start = from ?? [px, py];
      const steps = Math.max(1, Math.ceil(Math.hypot(px - start[0], py - start[1]) / obstacleStep));
      for (let step = 1; step <= steps; step++)
        found.push([
          start[0] + ((px - start[0]) * step) / steps,
          start[1] + ((py - start[1]) * step) / steps,
        ]);
      from = [px, py];
    }
  }
  return found;
}
