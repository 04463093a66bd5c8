import type { HistogramFigure } from "./histogram.js";
import type { IntervalFigure } from "./interval.js";
import type { PlotFigure } from "./plotFigure.js";
import type { TornadoFigure } from "./tornado.js";
import type { WaterfallFigure } from "./waterfall.js";

/** Anything that can be drawn as a picture. */
export type Figure = PlotFigure | HistogramFigure | WaterfallFigure | TornadoFigure | IntervalFigure;
