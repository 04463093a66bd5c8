import type { EventMark } from "../marks/event.js";
import type { Mark } from "../marks/list.js";
import type { Axis, FigureWords } from "../role.js";
import type { KeyEntry } from "../svg/heading.js";
import type { ChartKind } from "./chart.js";
import { plot } from "./plot.js";
import type { PlotFigure } from "./plotFigure.js";
import { plotSvg } from "./plotSvg.js";
import { plotText } from "./plotText.js";

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

/** How a histogram is checked, drawn and listed: as a plot of columns, a limit and markers. */
export const histogram: ChartKind<HistogramFigure> = {
  check: (figure) => plot.check(asPlot(figure)),
  drawSvg: (figure, size) => plotSvg(asPlot(figure), size, remarks(figure)),
  drawText: (figure, size) => plotText(asPlot(figure), size, remarks(figure)),
  table: (figure) => {
    const { heads, rows } = plot.table(asPlot(figure));
    if (figure.apart === undefined) return { heads, rows };
    const apart = ["apart", "worse", figure.apart];
    return { heads, rows: [...rows, heads.map((_, index) => apart[index])] };
  },
};

function asPlot(figure: HistogramFigure): PlotFigure {
  const { id, title, words, value, height, edges, heights, limit, markers = [] } = figure;
  const beyond = limit === undefined ? {} : { beyond: { value: limit.value, side: limit.forbidden } };
  const events = markers.map(
    (marker): EventMark => ({
      kind: "event",
      role: "neutral",
      x: marker.value,
      label: marker.label,
    }),
  );
  const limits: readonly Mark[] = limit === undefined ? [] : [{ kind: "limit", axis: "x", ...limit }];
  return {
    kind: "plot",
    id,
    title,
    words,
    x: value,
    y: height,
    marks: [{ kind: "bars", role: "prediction", edges, heights, ...beyond }, ...events, ...limits],
  };
}

function remarks({ apart }: HistogramFigure): readonly KeyEntry[] {
  return apart === undefined ? [] : [{ text: apart, role: "worse", sample: "bead", nth: 0 }];
}
