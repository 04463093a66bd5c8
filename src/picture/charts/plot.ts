import { kindOfMark } from "../marks/list.js";
import type { ChartKind } from "./chart.js";
import type { PlotFigure } from "./plotFigure.js";
import { plotSvg } from "./plotSvg.js";
import { plotTable } from "./plotTable.js";
import { plotText } from "./plotText.js";

/** How a plot is checked, drawn and listed. */
export const plot: ChartKind<PlotFigure> = {
  check: ({ marks }) => {
    for (const mark of marks) kindOfMark(mark).check(mark);
  },
  drawSvg: (figure, size) => plotSvg(figure, size),
  drawText: (figure, size) => plotText(figure, size),
  table: plotTable,
};
