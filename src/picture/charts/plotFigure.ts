import type { Mark } from "../marks/list.js";
import type { Axis, FigureWords } from "../role.js";

/** Marks over two axes; later marks lie on top of earlier ones. */
export interface PlotFigure extends FigureWords {
  readonly kind: "plot";
  readonly x: Axis;
  readonly y: Axis;
  readonly marks: readonly Mark[];
}
