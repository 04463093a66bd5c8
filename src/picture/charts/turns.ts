/** Telling marks of one role apart. */
import type { Mark, MarkName } from "../marks/list.js";
import type { Role } from "../role.js";

// Kinds that look different anyway do not take turns with each other.
const strokes: readonly MarkName[] = ["line", "step"];

/** For each mark its turn among the marks of its role and manner, counted from 0: 0, 1, 2, ... */
export function turns(marks: readonly Mark[]): readonly number[] {
  const seen = new Map<string, number>();
  return marks.map((mark) => {
    const role: Role = mark.role ?? "limit";
    const manner = `${role} ${strokes.includes(mark.kind) ? "stroke" : mark.kind}`;
    const nth = seen.get(manner) ?? 0;
    seen.set(manner, nth + 1);
    return nth;
  });
}
