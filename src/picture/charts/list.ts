import type { ChartKind } from "./chart.js";
import { type HistogramFigure, histogram } from "./histogram.js";
import { type IntervalFigure, interval } from "./interval.js";
import { parallel } from "./parallel.js";
import type { ParallelFigure } from "./parallelFigure.js";
import { plot } from "./plot.js";
import type { PlotFigure } from "./plotFigure.js";
import { type StreamsFigure, streams } from "./streams.js";
import { type TornadoFigure, tornado } from "./tornado.js";
import { type WaterfallFigure, waterfall } from "./waterfall.js";

/** Every kind of figure, in the order in which the documentation shows them. */
interface FigureOfKind {
  readonly plot: PlotFigure;
  readonly histogram: HistogramFigure;
  readonly waterfall: WaterfallFigure;
  readonly streams: StreamsFigure;
  readonly tornado: TornadoFigure;
  readonly interval: IntervalFigure;
  readonly parallel: ParallelFigure;
}

/** The name of a kind of figure. */
export type FigureName = keyof FigureOfKind;

/** Anything that can be drawn as a picture. */
export type Figure<K extends FigureName = FigureName> = {
  readonly [P in K]: FigureOfKind[P] & { readonly kind: P };
}[K];

const kinds: { readonly [K in FigureName]: ChartKind<Figure<K>> } = {
  plot,
  histogram,
  waterfall,
  streams,
  tornado,
  interval,
  parallel,
};

/** The record of a figure's kind. */
export function kindOfFigure<K extends FigureName>(figure: Figure<K>): ChartKind<Figure<K>> {
  return kinds[figure.kind];
}
