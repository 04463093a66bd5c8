import type { Axis, FigureWords } from "../role.js";

/** How often a value fell into each interval, against a limit. */
export interface HistogramFigure extends FigureWords {
  readonly kind: "histogram";
  /** The value that was counted. */
  readonly value: Axis;
  /** What the height of a column says, as "Share of the runs that opened" in "%". */
  readonly height: Axis;
  /** One entry more than `heights`. */
  readonly edges: readonly number[];
  readonly heights: readonly number[];
  readonly limit?: { readonly value: number; readonly label: string; readonly forbidden: "above" | "below" };
  /** Values to point out, as the median or the ends of an interval. */
  readonly markers?: readonly { readonly value: number; readonly label: string }[];
  /** What has no place on the axis, in words with its share: "did not open: 3.1 % of 4096 runs". */
  readonly apart?: string;
}
