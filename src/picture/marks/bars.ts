import { refuse } from "../../fault/index.js";
import type { Numbers, Role } from "../role.js";
import { element } from "../svg/element.js";
import { areaOf, stroked } from "../svg/sheet.js";
import { isDrawable, type MarkKind, type SvgSpace, type TextSpace } from "./mark.js";

/** Columns over adjoining intervals of x: `edges` has one entry more than `heights`. */
export interface BarsMark {
  readonly kind: "bars";
  readonly role: Role;
  readonly label?: string;
  readonly edges: Numbers;
  readonly heights: Numbers;
  /** The part of the columns beyond this value is drawn in the role "worse"; a column astride is cut there. */
  readonly beyond?: { readonly value: number; readonly side: "above" | "below" };
}

/** How columns are checked, drawn and listed. */
export const bars: MarkKind<BarsMark> = {
  check: ({ edges, heights }) => {
    if (edges.length === heights.length + 1) return;
    refuse(
      "picture-edges",
      `a bars mark has ${edges.length} edges for ${heights.length} heights`,
      "Each column stands between two edges and shares one with its neighbour.",
      "Give one edge more than heights.",
    );
  },
  extent: ({ edges, heights }) => ({ xs: edges, ys: [0, ...Array.from(heights)] }),
  outlines: ({ edges, heights }) => [
    {
      x: Array.from(heights, (_, index) => ((edges[index] ?? 0) + (edges[index + 1] ?? 0)) / 2),
      y: heights,
    },
  ],
  label: ({ label, role }) =>
    label === undefined ? undefined : { where: "key", text: label, role, sample: "area" },
  overhangs: false,
  drawSvg: barsSvg,
  drawText: barsText,
  rows: (mark) => columnsOf(mark).map(({ from, to, height }) => ({ xLow: from, xHigh: to, y: height })),
};

interface Column {
  readonly from: number;
  readonly to: number;
  readonly height: number;
  readonly role: Role;
}

function columnsOf({ edges, heights, role }: BarsMark): readonly Column[] {
  return Array.from(heights, (height, index) => ({
    from: edges[index] ?? Number.NaN,
    to: edges[index + 1] ?? Number.NaN,
    height,
    role,
  }));
}

/** The columns with the one astride the bound cut in two, and the roles set. */
function partedColumns(mark: BarsMark): readonly Column[] {
  const drawable = columnsOf(mark).filter(
    ({ from, to, height }) => isDrawable(from) && isDrawable(to) && isDrawable(height),
  );
  const { beyond } = mark;
  if (beyond === undefined) return drawable;
  return drawable.flatMap((column) => {
    const cut = Math.max(column.from, Math.min(column.to, beyond.value));
    const [lower, upper] = [
      { ...column, to: cut },
      { ...column, from: cut },
    ];
    const parts =
      beyond.side === "above"
        ? [lower, { ...upper, role: "worse" as const }]
        : [{ ...lower, role: "worse" as const }, upper];
    return parts.filter(({ from, to }) => to > from);
  });
}

function barsSvg(mark: BarsMark, space: SvgSpace): string {
  return partedColumns(mark)
    .filter(({ height }) => height !== 0)
    .map(({ from, to, height, role }) => {
      const [left, right] = [space.x(from), space.x(to)];
      const [top, foot] = [space.y(Math.max(0, height)), space.y(Math.min(0, height))];
      const gap = Math.min(1, (right - left) / 4);
      const shape = { x: left + gap / 2, y: top, width: right - left - gap, height: foot - top };
      return (
        element("rect", {
          ...shape,
          ...areaOf(role, space.id),
          ...(role === "worse" ? {} : { "fill-opacity": 0.42 }),
        }) + element("rect", { ...shape, ...stroked(role), "stroke-width": 1 })
      );
    })
    .join("");
}

const eighths = [" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"] as const;

function barsText(mark: BarsMark, space: TextSpace): void {
  const { canvas } = space;
  const foot = Math.floor(space.row(0) - 1e-9);
  for (const { from, to, height, role } of partedColumns(mark)) {
    const top = space.row(height);
    const first = Math.max(0, Math.round(space.column(from)));
    const last = Math.min(canvas.columns - 1, Math.max(first, Math.round(space.column(to)) - 1));
    for (let column = first; column <= last; column++)
      for (let row = Math.max(0, Math.floor(top)); row <= Math.min(canvas.rows - 1, foot); row++) {
        const share = Math.max(0, Math.min(1, row + 1 - top));
        const glyph = glyphOf(canvas.manner.unicode, share, role);
        if (glyph !== " ") canvas.put(column, row, glyph, role);
      }
  }
}

function glyphOf(unicode: boolean, share: number, role: Role): string {
  if (!unicode) return share < 0.5 ? " " : role === "worse" ? "!" : "#";
  // Past the bound the columns are hatched, not solid: a terminal may have no colour.
  if (role === "worse") return share < 0.25 ? " " : "▒";
  return eighths[Math.round(share * 8)] ?? "█";
}
