import type { Axis, FigureWords } from "../role.js";

/** An estimate with its confidence interval, in the unit of the axis. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What one input does to the result: alone (first) and with all it acts through (total). */
export interface Effect {
  readonly label: string;
  readonly first: Estimate;
  readonly total: Estimate;
}

/** Which inputs move the result, largest total effect at the top. */
export interface TornadoFigure extends FigureWords {
  readonly kind: "tornado";
  readonly value: Axis;
  readonly effects: readonly Effect[];
}
