/** A straight line through points: slope and intercept with their uncertainties and their correlation. */
import { refuse } from "../fault/index.js";

/** y = intercept + slope (x - origin). */
export interface StraightLine {
  readonly origin: number;
  readonly intercept: number;
  readonly slope: number;
  readonly interceptUncertainty: number;
  readonly slopeUncertainty: number;
  /** Correlation coefficient of the two [-]. */
  readonly correlation: number;
  /** Standard deviation of the residuals. */
  readonly scatter: number;
  /** n - 2. */
  readonly degreesOfFreedom: number;
}

/**
 * Ordinary least squares.
 *
 *   slope = sum (x - X)(y - Y) / sum (x - X)^2,   s^2 = sum residual^2 / (n - 2)
 *
 * @param x, y    of the same length, three points or more, not all at one x
 * @param origin  x from which the intercept counts
 * Refuses        fewer than three points, and points that all lie at one x
 * Source         [gum-2008, H.3.2]
 */
export function straightLine(x: ArrayLike<number>, y: ArrayLike<number>, origin = 0): StraightLine {
  const n = x.length;
  const sum = (f: (i: number) => number) => {
    let total = 0;
    for (let i = 0; i < n; i++) total += f(i);
    return total;
  };
  const X = sum((i) => x[i] ?? 0) / n;
  const Y = sum((i) => y[i] ?? 0) / n;
  const xx = sum((i) => ((x[i] ?? 0) - X) ** 2);
  if (!(n >= 3 && xx > 0))
    refuse(
      "line-points",
      `${n} points for a straight line${n >= 3 ? ", all at one place" : ""}`,
      "A line with its uncertainty needs three points, not all at one place.",
      "Take a longer stretch of the record.",
    );
  const slope = sum((i) => ((x[i] ?? 0) - X) * ((y[i] ?? 0) - Y)) / xx;
  const away = origin - X;
  const intercept = Y + slope * away;
  const residuals = sum((i) => ((y[i] ?? 0) - Y - slope * ((x[i] ?? 0) - X)) ** 2);
  const scatter = Math.sqrt(residuals / (n - 2));
  const slopeUncertainty = scatter / Math.sqrt(xx);
  const interceptUncertainty = scatter * Math.sqrt(1 / n + (away * away) / xx);
  return {
    origin,
    intercept,
    slope,
    interceptUncertainty,
    slopeUncertainty,
    correlation: away / Math.sqrt(xx / n + away * away),
    scatter,
    degreesOfFreedom: n - 2,
  };
}
