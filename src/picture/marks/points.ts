import type { Numbers, Role } from "../role.js";
import { beadShape } from "../svg/bead.js";
import { element, pixel } from "../svg/element.js";
import { stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import {
  type DataRow,
  isDrawable,
  lastPoint,
  type MarkKind,
  requireSameLength,
  type SvgSpace,
  type TextSpace,
} from "./mark.js";

/** Single values, each with its uncertainty in y if that is known. */
export interface PointsMark {
  readonly kind: "points";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
  readonly low?: Numbers;
  readonly high?: Numbers;
}

/** How single values are checked, drawn and listed. */
export const points: MarkKind<PointsMark> = {
  check: ({ x, y, low = y, high = y }) => requireSameLength("points", { x, y, low, high }),
  extent: ({ x, y, low = [], high = [] }) => ({
    xs: x,
    ys: [...Array.from(y), ...Array.from(low), ...Array.from(high)],
  }),
  outlines: ({ x, y }) => [{ x, y }],
  label: ({ label, role, x, y }) => {
    const end = lastPoint(x, y);
    if (label === undefined || end === undefined) return undefined;
    return { where: "end", text: label, role, sample: "bead", ...end };
  },
  overhangs: true,
  drawSvg: pointsSvg,
  drawText: pointsText,
  rows: ({ x, y, low, high }) =>
    Array.from(
      x,
      (value, index): DataRow => ({
        x: value,
        y: y[index] ?? Number.NaN,
        ...(low === undefined ? {} : { yLow: low[index] ?? Number.NaN }),
        ...(high === undefined ? {} : { yHigh: high[index] ?? Number.NaN }),
      }),
    ),
};

const beadSize = 5;
// Half the width of the cap of an uncertainty bar [px].
const capHalf = 4;

function pointsSvg({ role, x, y, low, high }: PointsMark, space: SvgSpace): string {
  let bars = "";
  let beads = "";
  for (let index = 0; index < x.length; index++) {
    const [valueX, valueY] = [x[index], y[index]];
    if (!isDrawable(valueX) || !isDrawable(valueY)) continue;
    const px = space.x(valueX);
    const [from, to] = [low?.[index], high?.[index]];
    if (isDrawable(from) && isDrawable(to)) bars += whisker(px, space.y(from), space.y(to));
    beads += beadShape(role, px, space.y(valueY), beadSize);
  }
  return (bars === "" ? "" : element("path", { d: bars, ...stroked(role), "stroke-width": 1.5 })) + beads;
}

function whisker(x: number, low: number, high: number): string {
  const [px, from, to] = [x, low, high].map(pixel);
  const [left, right] = [x - capHalf, x + capHalf].map(pixel);
  return `M${px} ${from}V${to}M${left} ${from}H${right}M${left} ${to}H${right}`;
}

function pointsText({ role, x, y, low, high }: PointsMark, space: TextSpace): void {
  const { canvas } = space;
  const { unicode } = canvas.manner;
  const letter = inTurn(unicode ? roleStyles[role].glyphs : roleStyles[role].plainGlyphs, space.nth);
  for (let index = 0; index < x.length; index++) {
    const [valueX, valueY] = [x[index], y[index]];
    if (!isDrawable(valueX) || !isDrawable(valueY)) continue;
    const column = space.column(valueX);
    const [from, to] = [low?.[index], high?.[index]];
    if (isDrawable(from) && isDrawable(to)) {
      const last = Math.min(canvas.rows - 1, Math.floor(space.row(from)));
      for (let row = Math.max(0, Math.floor(space.row(to))); row <= last; row++)
        canvas.put(column, row, unicode ? "│" : "|", role);
    }
    canvas.put(column, space.row(valueY), letter, role);
  }
}
