import { area as areaPath } from "d3-shape";
import { keptIndices } from "../decimate.js";
import type { Numbers, Role } from "../role.js";
import { element } from "../svg/element.js";
import { areaOf, stroked } from "../svg/sheet.js";
import {
  isDrawable,
  lastPoint,
  type MarkKind,
  requireSameLength,
  type SvgSpace,
  type TextSpace,
} from "./mark.js";

/** The area between two series over the same x. */
export interface BandMark {
  readonly kind: "band";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly low: Numbers;
  readonly high: Numbers;
}

/** How a band is checked, drawn and listed. */
export const band: MarkKind<BandMark> = {
  check: ({ x, low, high }) => requireSameLength("band", { x, low, high }),
  extent: ({ x, low, high }) => ({ xs: x, ys: [...Array.from(low), ...Array.from(high)] }),
  outlines: () => [],
  label: ({ label, role, x, low, high }) => {
    const [foot, head] = [lastPoint(x, low), lastPoint(x, high)];
    if (label === undefined || foot === undefined || head === undefined) return undefined;
    return { where: "end", text: label, role, sample: "area", x: head.x, y: (foot.y + head.y) / 2 };
  },
  overhangs: false,
  drawSvg: bandSvg,
  drawText: bandText,
  rows: ({ x, low, high }) =>
    Array.from(x, (value, index) => ({
      x: value,
      yLow: low[index] ?? Number.NaN,
      yHigh: high[index] ?? Number.NaN,
    })),
};

function bandSvg({ role, x, low, high }: BandMark, space: SvgSpace): string {
  const columnOf = (index: number): number => {
    const at = x[index];
    return isDrawable(at) && isDrawable(low[index]) && isDrawable(high[index])
      ? Math.floor(space.x(at))
      : Number.NaN;
  };
  const indices = keptIndices(x.length, columnOf, [low, high]);
  const path = areaPath<number>()
    .defined((index) => !Number.isNaN(columnOf(index)))
    .x((index) => space.x(x[index] ?? 0))
    .y0((index) => space.y(low[index] ?? 0))
    .y1((index) => space.y(high[index] ?? 0))
    .digits(2)([...indices]);
  if (path === null) return "";
  // The thin edge keeps the band visible where a printer drops the tint.
  const edge = { ...stroked(role), "stroke-width": 0.9, "stroke-opacity": 0.55 };
  return element("path", { d: path, ...areaOf(role, space.id) }) + element("path", { d: path, ...edge });
}

function bandText({ role, x, low, high }: BandMark, space: TextSpace): void {
  const { canvas } = space;
  const glyph = canvas.manner.unicode ? "░" : ".";
  for (let index = 0; index < x.length; index++) {
    const [fromX, fromLow, fromHigh] = [
      x[index - 1] ?? x[index],
      low[index - 1] ?? low[index],
      high[index - 1] ?? high[index],
    ];
    const [toX, toLow, toHigh] = [x[index], low[index], high[index]];
    if (!isDrawable(fromX) || !isDrawable(fromLow) || !isDrawable(fromHigh)) continue;
    if (!isDrawable(toX) || !isDrawable(toLow) || !isDrawable(toHigh)) continue;
    const start = space.column(fromX);
    const end = space.column(toX);
    const left = Math.max(0, Math.floor(Math.min(start, end)));
    const right = Math.min(canvas.columns - 1, Math.floor(Math.max(start, end)));
    for (let column = left; column <= right; column++) {
      const share = end === start ? 1 : Math.max(0, Math.min(1, (column + 0.5 - start) / (end - start)));
      const top = space.row(fromHigh + share * (toHigh - fromHigh));
      const bottom = space.row(fromLow + share * (toLow - fromLow));
      shadeColumn(space, column, Math.min(top, bottom), Math.max(top, bottom), glyph, role);
    }
  }
}

function shadeColumn(
  space: TextSpace,
  column: number,
  top: number,
  bottom: number,
  glyph: string,
  role: Role,
) {
  const last = Math.min(space.canvas.rows - 1, Math.floor(bottom));
  for (let row = Math.max(0, Math.floor(top)); row <= last; row++)
    space.canvas.shade(column, row, glyph, role);
}
