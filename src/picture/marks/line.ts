import type { Numbers, Role } from "../role.js";
import { lastPoint, type MarkKind, requireSameLength } from "./mark.js";
import { strokeSvg, strokeText } from "./stroke.js";

/** A series drawn as a line; a value that is not finite breaks it. */
export interface LineMark {
  readonly kind: "line";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
}

/** How a line is checked, drawn and listed. */
export const line: MarkKind<LineMark> = {
  check: ({ x, y }) => requireSameLength("line", { x, y }),
  extent: ({ x, y }) => ({ xs: x, ys: y }),
  outlines: ({ x, y }) => [{ x, y }],
  label: ({ label, role, x, y }) => {
    const end = lastPoint(x, y);
    if (label === undefined || end === undefined) return undefined;
    return { where: "end", text: label, role, sample: "line", ...end };
  },
  overhangs: true,
  drawSvg: ({ role, x, y }, space) => strokeSvg(role, x, y, space),
  drawText: ({ role, x, y }, space) => strokeText(role, x, y, space),
  rows: ({ x, y }) => Array.from(x, (value, index) => ({ x: value, y: y[index] ?? Number.NaN })),
};
