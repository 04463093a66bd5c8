/** Two changes of one text, by lines: merged where they touch different lines, a conflict where they do not. */

/** Lines that both changed, each in its own way. */
export interface Conflict {
  readonly mine: readonly string[];
  readonly theirs: readonly string[];
  readonly base: readonly string[];
}

export type Merge =
  | { readonly kind: "merged"; readonly text: string }
  | { readonly kind: "conflict"; readonly conflicts: readonly Conflict[] };

/** Lines `from` to `to` of the base stand as `lines` now. */
interface Change {
  readonly from: number;
  readonly to: number;
  readonly lines: readonly string[];
}

/**
 * @param base    what both started from
 * @param mine    one change of it;  @param theirs  the other
 */
export function mergeTexts(base: string, mine: string, theirs: string): Merge {
  if (mine === theirs || theirs === base) return { kind: "merged", text: mine };
  if (mine === base) return { kind: "merged", text: theirs };
  const lines = base.split("\n");
  const ours = changesOf(lines, mine.split("\n"));
  const others = changesOf(lines, theirs.split("\n"));
  const conflicts = ours.flatMap((our) =>
    others
      .filter((other) => touches(our, other) && !isSame(our, other))
      .map((other) => ({
        base: lines.slice(Math.min(our.from, other.from), Math.max(our.to, other.to)),
        mine: our.lines,
        theirs: other.lines,
      })),
  );
  if (conflicts.length > 0) return { kind: "conflict", conflicts };
  const both = [...ours, ...others.filter((other) => !ours.some((our) => touches(our, other)))];
  const merged = both
    .sort((a, b) => b.from - a.from)
    .reduce<readonly string[]>(
      (so, { from, to, lines: put }) => [...so.slice(0, from), ...put, ...so.slice(to)],
      lines,
    );
  return { kind: "merged", text: merged.join("\n") };
}

/** Changes side by side count as touching: which of two insertions comes first, nobody can tell. */
function touches(a: Change, b: Change): boolean {
  return a.from <= b.to && b.from <= a.to;
}

/** The same lines put in the place of the same lines: both made the same change. */
function isSame(a: Change, b: Change): boolean {
  return (
    a.from === b.from &&
    a.to === b.to &&
    a.lines.length === b.lines.length &&
    a.lines.every((line, i) => line === b.lines[i])
  );
}

/** The lines that differ, by the longest common subsequence of what lies between the common ends. */
function changesOf(before: readonly string[], after: readonly string[]): readonly Change[] {
  let head = 0;
  while (head < before.length && head < after.length && before[head] === after[head]) head++;
  let tail = 0;
  while (
    tail < before.length - head &&
    tail < after.length - head &&
    before.at(-1 - tail) === after.at(-1 - tail)
  )
    tail++;
  const a = before.slice(head, before.length - tail);
  const b = after.slice(head, after.length - tail);
  const common = commonLengths(a, b);
  const changes: Change[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length || j < b.length) {
    const from = i;
    const start = j;
    while ((i < a.length || j < b.length) && !(i < a.length && j < b.length && a[i] === b[j])) {
      const down = common[i + 1]?.[j] ?? -1;
      const right = common[i]?.[j + 1] ?? -1;
      if (i < a.length && (down >= right || j >= b.length)) i++;
      else j++;
    }
    if (i > from || j > start) changes.push({ from: head + from, to: head + i, lines: b.slice(start, j) });
    while (i < a.length && j < b.length && a[i] === b[j]) {
      i++;
      j++;
    }
  }
  return changes;
}

/** Length of the longest common subsequence of the rests from each pair of places. */
function commonLengths(a: readonly string[], b: readonly string[]): readonly Uint32Array[] {
  const table = Array.from({ length: a.length + 1 }, () => new Uint32Array(b.length + 1));
  for (let i = a.length - 1; i >= 0; i--) {
    for (let j = b.length - 1; j >= 0; j--) {
      const down = table[i + 1]?.[j] ?? 0;
      const right = table[i]?.[j + 1] ?? 0;
      const row = table[i];
      if (row !== undefined)
        row[j] = a[i] === b[j] ? 1 + (table[i + 1]?.[j + 1] ?? 0) : Math.max(down, right);
    }
  }
  return table;
}
