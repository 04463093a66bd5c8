import type { Role } from "../role.js";
import { type MarkKind, requireDrawable, type TextSpace } from "./mark.js";

/** A few words beside a place in the figure. */
export interface NoteMark {
  readonly kind: "note";
  readonly x: number;
  readonly y: number;
  readonly text: string;
  /** "neutral" unless given. */
  readonly role?: Role;
}

/** How a note is checked, drawn and listed; in SVG the figure places its words as a label. */
export const note: MarkKind<NoteMark> = {
  check: ({ x, y }) => {
    requireDrawable("note", "x", x);
    requireDrawable("note", "y", y);
  },
  extent: ({ x, y }) => ({ xs: [x], ys: [y] }),
  outlines: () => [],
  label: ({ x, y, text, role = "neutral" }) => ({ where: "inside", text, role, sample: "bead", x, y }),
  overhangs: false,
  drawSvg: () => "",
  drawText: noteText,
  rows: ({ x, y }) => [{ x, y }],
};

function noteText({ x, y, text, role = "neutral" }: NoteMark, space: TextSpace): void {
  const { canvas } = space;
  const letters = canvas.letters(text).slice(0, canvas.columns);
  const column = Math.floor(space.column(x));
  const row = Math.floor(space.row(y));
  if (column < 0 || column >= canvas.columns || row < 0 || row >= canvas.rows) return;
  const left = Math.max(0, Math.min(canvas.columns - letters.length, column + 2));
  const rows = [row, row - 1, row + 1, row - 2, row + 2].filter((one) => one >= 0 && one < canvas.rows);
  const isFree = (one: number): boolean => letters.every((_, offset) => !canvas.isTaken(left + offset, one));
  canvas.write(left, rows.find(isFree) ?? row, letters.join(""), role);
}
