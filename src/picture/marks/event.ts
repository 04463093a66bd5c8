import type { Role } from "../role.js";
import { element, pixel } from "../svg/element.js";
import { areaOf, stroked } from "../svg/sheet.js";
import {
  everywhere,
  isDrawable,
  type MarkKind,
  requireDrawable,
  type SvgSpace,
  type TextSpace,
} from "./mark.js";

/** A moment (or angle): an upright line, its label above the figure, its uncertainty as a strip. */
export interface EventMark {
  readonly kind: "event";
  readonly role: Role;
  readonly x: number;
  readonly label: string;
  readonly low?: number;
  readonly high?: number;
}

/** How an event is checked, drawn and listed. */
export const event: MarkKind<EventMark> = {
  check: ({ x }) => requireDrawable("event", "x", x),
  extent: ({ x, low = x, high = x }) => ({ xs: [x, low, high], ys: [] }),
  outlines: ({ x }) => [{ x: [x, x], y: everywhere }],
  label: ({ x, label, role }) => ({ where: "top", text: label, role, sample: "line", x }),
  overhangs: false,
  drawSvg: eventSvg,
  drawText: eventText,
  rows: ({ x, low, high }) => [
    { x, ...(low === undefined ? {} : { xLow: low }), ...(high === undefined ? {} : { xHigh: high }) },
  ],
};

// Half the height of the caps of the uncertainty bar at the foot [px], and its distance from the axis.
const capHalf = 5;
const barLift = 9;

function eventSvg({ role, x, low, high }: EventMark, space: SvgSpace): string {
  const { frame } = space;
  const px = pixel(space.x(x));
  const stem = element("path", {
    d: `M${px} ${pixel(frame.top)}V${pixel(frame.bottom)}`,
    ...stroked(role),
    "stroke-width": 1.5,
    "stroke-dasharray": role === "measurement" ? undefined : "6 3",
  });
  if (!isDrawable(low) || !isDrawable(high)) return stem;
  const [from, to] = [pixel(space.x(Math.min(low, high))), pixel(space.x(Math.max(low, high)))];
  const strip = element("rect", {
    x: from,
    y: frame.top,
    width: to - from,
    height: frame.bottom - frame.top,
    ...areaOf(role, space.id),
  });
  const foot = pixel(frame.bottom - barLift);
  const [capTop, capBottom] = [foot - capHalf, foot + capHalf].map(pixel);
  const bar = element("path", {
    d: `M${from} ${foot}H${to}M${from} ${capTop}V${capBottom}M${to} ${capTop}V${capBottom}`,
    ...stroked(role),
    "stroke-width": 1.75,
  });
  return strip + stem + bar;
}

function eventText({ role, x, low, high }: EventMark, space: TextSpace): void {
  const { canvas } = space;
  const { unicode } = canvas.manner;
  const column = Math.floor(space.column(x));
  for (let row = 0; row < canvas.rows; row++)
    if (!canvas.isTaken(column, row)) canvas.put(column, row, unicode ? "┊" : "|", role);
  if (!isDrawable(low) || !isDrawable(high)) return;
  const [from, to] = [low, high].map((value) => Math.floor(space.column(value)));
  if (from === undefined || to === undefined || to - from < 2) return;
  const foot = canvas.rows - 1;
  for (let at = Math.max(0, from); at <= Math.min(canvas.columns - 1, to); at++)
    canvas.put(at, foot, unicode ? "─" : "-", role);
  canvas.put(from, foot, unicode ? "├" : "<", role);
  canvas.put(to, foot, unicode ? "┤" : ">", role);
  canvas.put(column, foot, unicode ? "┼" : "|", role);
}
