/** The marks of a plot with what tells them apart, and their labels. */
import { labelOf, type Mark, type MarkName } from "../marks/list.js";
import type { LabelWish } from "../marks/mark.js";
import type { Role } from "../role.js";
import type { Range } from "./range.js";

/** A mark with its turn among the marks of its role, and its label. */
export interface DrawnMark {
  readonly mark: Mark;
  /** Counted from 0: the first line of a role, the second, ... */
  readonly nth: number;
  readonly label: (LabelWish & { readonly nth: number }) | undefined;
}

/** The marks in their order, with labels that have a place in these ranges. */
export function drawnMarks(marks: readonly Mark[], x: Range, y: Range): readonly DrawnMark[] {
  const nths = turns(marks);
  return marks.map((mark, index) => {
    const nth = nths[index] ?? 0;
    const wish = labelOf(mark);
    const label = wish === undefined ? undefined : placed(wish, x, y);
    return { mark, nth, label: label === undefined ? undefined : { ...label, nth } };
  });
}

// Kinds that look different anyway do not take turns with each other.
const strokes: readonly MarkName[] = ["line", "step"];

function turns(marks: readonly Mark[]): readonly number[] {
  const seen = new Map<string, number>();
  return marks.map((mark) => {
    const role: Role = mark.role ?? "limit";
    const manner = `${role} ${strokes.includes(mark.kind) ? "stroke" : mark.kind}`;
    const nth = seen.get(manner) ?? 0;
    seen.set(manner, nth + 1);
    return nth;
  });
}

/** A limit or event off a given range is named in the key, so that it is not silently left out; a note goes. */
function placed(wish: LabelWish, x: Range, y: Range): LabelWish | undefined {
  const isOff =
    ((wish.where === "top" || wish.where === "inside") && (wish.x < x[0] || wish.x > x[1])) ||
    ((wish.where === "level" || wish.where === "inside") && (wish.y < y[0] || wish.y > y[1]));
  if (!isOff) return wish;
  if (wish.where === "inside") return undefined;
  const { role, sample } = wish;
  return { where: "key", text: `${wish.text} (off the picture)`, role, sample };
}
