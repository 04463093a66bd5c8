/** What a figure of parallel axes is: its description, and the range of each axis. */
import type { Axis, FigureWords, Numbers, Role } from "../role.js";
import { axisRange, type Range } from "./range.js";

/** Several numbers of each of several items: an axis for each number, a line across the axes for each item. */
export interface ParallelFigure extends FigureWords {
  readonly kind: "parallel";
  readonly axes: readonly ParallelAxis[];
  /** Later ones lie on top of earlier ones. */
  readonly items: readonly ParallelItem[];
}

/** One of the axes. Its good end is on the right. */
export interface ParallelAxis extends Axis {
  readonly better: "more" | "less";
  /** Words under the label, as its limit. */
  readonly detail?: string;
  /** A bound; drawn where it lies near the values. */
  readonly limit?: number;
}

/** One line across the axes. */
export interface ParallelItem {
  readonly label: string;
  /** What the key says of all items of one role. */
  readonly group: string;
  readonly role: Role;
  /** In the order of the axes; one that is not finite is not known, and stands left of the axis. */
  readonly values: Numbers;
  /** Ends of the spread around each value. */
  readonly low?: Numbers;
  readonly high?: Numbers;
  /** Whether it stands out, with its numbers beside it. */
  readonly isChosen?: boolean;
}

/** A limit this far beyond the values, in their widths, is left out: it would press them together. */
const mostBeyond = 1;

/** The range of an axis: of the values, of the spreads of chosen ones, and of a limit that lies near. */
export function parallelRange({ axes, items }: ParallelFigure, index: number): Range {
  const axis = axes[index] ?? { label: "", unit: "" };
  const own = items.flatMap(({ values, low, high, isChosen }) => [
    values[index] ?? Number.NaN,
    ...(isChosen === true ? [low?.[index] ?? Number.NaN, high?.[index] ?? Number.NaN] : []),
  ]);
  const [from, to] = axisRange(axis, [own], "exact");
  const limit = axes[index]?.limit;
  const room = mostBeyond * (to - from);
  const isNear = limit !== undefined && limit > from - room && limit < to + room;
  return axisRange(axis, [isNear ? [from, to, limit] : [from, to]], "exact");
}

/** The ends of an axis from left to right: worse, better. */
export function endsOf(range: Range, { better }: Pick<ParallelAxis, "better">): Range {
  return better === "more" ? range : [range[1], range[0]];
}
