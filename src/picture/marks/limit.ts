import type { Role } from "../role.js";
import { element, pixel } from "../svg/element.js";
import { stroked } from "../svg/sheet.js";
import { inTurn, roleStyles } from "../theme.js";
import { everywhere, type MarkKind, requireDrawable, type SvgSpace, type TextSpace } from "./mark.js";

/** A bound: a straight line across the figure, with teeth on the side that is not allowed. */
export interface LimitMark {
  readonly kind: "limit";
  /** The axis on which the value lies: "y" draws a level line, "x" an upright one. */
  readonly axis: "x" | "y";
  readonly value: number;
  readonly label: string;
  /** Values on this side are not allowed; left out when neither side is. */
  readonly forbidden?: "above" | "below";
  /** "limit" unless given. */
  readonly role?: Role;
}

/** How a limit is checked, drawn and listed. */
export const limit: MarkKind<LimitMark> = {
  check: ({ value }) => requireDrawable("limit", "the value", value),
  extent: ({ axis, value }) => (axis === "x" ? { xs: [value], ys: [] } : { xs: [], ys: [value] }),
  outlines: ({ axis, value }) => [
    axis === "x" ? { x: [value, value], y: everywhere } : { x: everywhere, y: [value, value] },
  ],
  label: ({ axis, value, label, role = "limit", forbidden }) => {
    const common = { text: label, role, sample: forbidden === undefined ? "rail" : "limit" } as const;
    return axis === "x" ? { ...common, where: "top", x: value } : { ...common, where: "level", y: value };
  },
  overhangs: false,
  drawSvg: limitSvg,
  drawText: limitText,
  rows: ({ axis, value }) => [axis === "x" ? { x: value } : { y: value }],
};

// Length of a tooth and distance from tooth to tooth [px].
const toothLength = 7;
const toothSpacing = 10;

function limitSvg({ axis, value, forbidden, role = "limit" }: LimitMark, space: SvgSpace): string {
  const { frame } = space;
  const isLevel = axis === "y";
  const at = isLevel ? space.y(value) : space.x(value);
  // Whole even where lines of this role are dashed: the teeth tell it from them.
  const rail = element("path", {
    d: isLevel
      ? `M${pixel(frame.left)} ${pixel(at)}H${pixel(frame.right)}`
      : `M${pixel(at)} ${pixel(frame.top)}V${pixel(frame.bottom)}`,
    ...stroked(role),
    "stroke-width": roleStyles[role].lineWidth,
  });
  if (forbidden === undefined) return rail;
  const toward = isLevel === (forbidden === "above") ? -toothLength : toothLength;
  let teeth = "";
  const [start, end] = isLevel ? [frame.left, frame.right] : [frame.top, frame.bottom];
  for (let along = start; along + toothLength <= end; along += toothSpacing)
    teeth += isLevel
      ? `M${pixel(along)} ${pixel(at)}l${toothLength} ${toward}`
      : `M${pixel(at)} ${pixel(along + toothLength)}l${toward} ${-toothLength}`;
  return rail + element("path", { d: teeth, ...stroked(role), "stroke-width": 1.25 });
}

function limitText({ axis, value, label, role = "limit" }: LimitMark, space: TextSpace): void {
  const { canvas } = space;
  const { unicode } = canvas.manner;
  if (axis === "x") {
    const glyph = unicode ? "╎" : ":";
    for (let row = 0; row < canvas.rows; row++) canvas.put(space.column(value), row, glyph, role);
    return;
  }
  const row = Math.floor(space.row(value));
  const letters = canvas.letters(label);
  const places = [canvas.columns - letters.length - 3, 3];
  const isFree = (start: number): boolean =>
    letters.every((_, offset) => !canvas.isTaken(start + offset, row));
  const start = places.find(isFree) ?? places[0] ?? 3;

  const glyph = inTurn(unicode ? roleStyles.limit.glyphs : roleStyles.limit.plainGlyphs, space.nth);
  for (let column = 0; column < canvas.columns; column++)
    if (unicode || column % 2 === 0) canvas.put(column, row, glyph, role);
  if (letters.length === 0 || letters.length > canvas.columns - 6) return;
  canvas.put(start - 1, row, " ");
  canvas.write(start, row, label, role);
  canvas.put(start + letters.length, row, " ");
}
