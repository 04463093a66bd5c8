import { refuse } from "../../fault/index.js";
import type { Role } from "../role.js";
import { element } from "../svg/element.js";
import { areaOf } from "../svg/sheet.js";
import { type MarkKind, requireDrawable, type SvgSpace, type TextSpace } from "./mark.js";

/** A shaded part of the figure, bounded in x, in y or in both. */
export interface RegionMark {
  readonly kind: "region";
  readonly role: Role;
  readonly label?: string;
  readonly x?: readonly [number, number];
  readonly y?: readonly [number, number];
}

/** How a region is checked, drawn and listed; it does not stretch the axes. */
export const region: MarkKind<RegionMark> = {
  check: ({ x, y }) => {
    if (x === undefined && y === undefined)
      refuse(
        "picture-region",
        "a region mark has neither x nor y",
        "A region is bounded in at least one direction.",
        "Give x: [from, to] or y: [from, to].",
      );
    for (const value of [...(x ?? []), ...(y ?? [])]) requireDrawable("region", "a bound", value);
  },
  extent: () => ({ xs: [], ys: [] }),
  outlines: () => [],
  label: ({ label, role }) =>
    label === undefined ? undefined : { where: "key", text: label, role, sample: "region" },
  overhangs: false,
  drawSvg: regionSvg,
  drawText: regionText,
  rows: ({ x, y }) => [
    {
      ...(x === undefined ? {} : { xLow: Math.min(...x), xHigh: Math.max(...x) }),
      ...(y === undefined ? {} : { yLow: Math.min(...y), yHigh: Math.max(...y) }),
    },
  ],
};

function regionSvg({ role, x, y }: RegionMark, space: SvgSpace): string {
  const { frame } = space;
  const [x1, x2] = x === undefined ? [frame.left, frame.right] : [space.x(x[0]), space.x(x[1])];
  const [y1, y2] = y === undefined ? [frame.top, frame.bottom] : [space.y(y[0]), space.y(y[1])];
  return element("rect", {
    x: Math.min(x1, x2),
    y: Math.min(y1, y2),
    width: Math.abs(x2 - x1),
    height: Math.abs(y2 - y1),
    ...areaOf(role, space.id),
  });
}

function regionText({ role, x, y }: RegionMark, space: TextSpace): void {
  const { canvas } = space;
  const glyph = canvas.manner.unicode ? "·" : "/";
  const columns = x === undefined ? [0, canvas.columns - 1] : x.map(space.column);
  const rows = y === undefined ? [0, canvas.rows - 1] : y.map(space.row);
  const [left, right] = [
    Math.max(0, Math.min(...columns)),
    Math.min(canvas.columns - 1, Math.max(...columns)),
  ];
  const [top, bottom] = [Math.max(0, Math.min(...rows)), Math.min(canvas.rows - 1, Math.max(...rows))];
  for (let row = Math.floor(top); row <= bottom; row++)
    for (let column = Math.floor(left); column <= right; column += 2) canvas.shade(column, row, glyph, role);
}
