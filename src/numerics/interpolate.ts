/**
 * Interpolation of a table y(x): straight pieces, and a cubic that keeps the shape of the data
 * (monotone where they are, no overshoot).
 */
import { refuse } from "../fault/index.js";

/** What the interpolant does beyond the ends of its table. */
export type Beyond = "clamp" | "extend";

/** A function through a table. */
export interface Interpolant {
  value(x: number): number;
  /** Derivative dy/dx; zero beyond the ends of a clamped table. */
  slope(x: number): number;
  /** First and last node. */
  readonly range: readonly [low: number, high: number];
  /** How far x lies beyond the table: negative below it, positive above, 0 within. */
  excess(x: number): number;
}

/**
 * Straight lines between the nodes.
 *
 * @param x       nodes, strictly increasing, at least two
 * @param y       values at the nodes
 * @param beyond  "clamp" holds the end values (default), "extend" carries on the end lines
 * Refuses        fewer than two nodes, unequal lengths, values not finite, nodes not increasing.
 */
export function piecewiseLinear(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  beyond: Beyond = "clamp",
): Interpolant {
  const { nodes, values, low, high } = table(x, y);
  const slopeOf = (i: number): number =>
    (at(values, i + 1) - at(values, i)) / (at(nodes, i + 1) - at(nodes, i));
  return {
    range: [low, high],
    excess: (q) => excessOf(q, low, high),
    value(q) {
      const p = beyond === "clamp" ? Math.min(Math.max(q, low), high) : q;
      const i = interval(nodes, p);
      const t = (p - at(nodes, i)) / (at(nodes, i + 1) - at(nodes, i));
      return at(values, i) * (1 - t) + at(values, i + 1) * t;
    },
    slope(q) {
      if (beyond === "clamp" && (q < low || q > high)) return 0;
      return slopeOf(interval(nodes, q));
    },
  };
}

/**
 * Shape-preserving piecewise cubic Hermite interpolant: monotone between nodes wherever the data
 * are, first derivative continuous.
 *
 * @param x       nodes, strictly increasing, at least two
 * @param y       values at the nodes
 * @param beyond  "clamp" holds the end values (default), "extend" carries on along the end tangents
 * Refuses        fewer than two nodes, unequal lengths, values not finite, nodes not increasing.
 * Source         [fritsch-carlson-1980], slopes [fritsch-butland-1984]
 */
export function monotoneCubic(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  beyond: Beyond = "clamp",
): Interpolant {
  const { nodes, values, low, high } = table(x, y);
  const slopes = pchipSlopes(nodes, values, new Float64Array(nodes.length));
  const last = nodes.length - 1;
  return {
    range: [low, high],
    excess: (q) => excessOf(q, low, high),
    value(q) {
      if (q <= low) return at(values, 0) + (beyond === "clamp" ? 0 : (q - low) * at(slopes, 0));
      if (q >= high) return at(values, last) + (beyond === "clamp" ? 0 : (q - high) * at(slopes, last));
      const i = interval(nodes, q);
      const h = at(nodes, i + 1) - at(nodes, i);
      const t = (q - at(nodes, i)) / h;
      const s = 1 - t;
      const left = s * s * (at(values, i) * (1 + 2 * t) + h * t * at(slopes, i));
      const right = t * t * (at(values, i + 1) * (1 + 2 * s) - h * s * at(slopes, i + 1));
      return left + right;
    },
    slope(q) {
      if (q < low) return beyond === "clamp" ? 0 : at(slopes, 0);
      if (q > high) return beyond === "clamp" ? 0 : at(slopes, last);
      const i = interval(nodes, q);
      const h = at(nodes, i + 1) - at(nodes, i);
      const t = (q - at(nodes, i)) / h;
      const rise = (6 * t * (1 - t) * (at(values, i + 1) - at(values, i))) / h;
      return rise + (1 - t) * (1 - 3 * t) * at(slopes, i) + t * (3 * t - 2) * at(slopes, i + 1);
    },
  };
}

/**
 * Slopes at the nodes that make the Hermite cubic keep the shape of the data: the weighted harmonic
 * mean of the neighbouring secants, zero where they change sign, one-sided three-point at the ends.
 *
 * @param x    nodes, strictly increasing, at least two
 * @param y    values at the nodes
 * @param out  receives the slopes; as long as x
 * @returns    out
 * Source      [fritsch-butland-1984, eq. 5]; ends [fritsch-carlson-1980]
 */
export function pchipSlopes(x: ArrayLike<number>, y: ArrayLike<number>, out: Float64Array): Float64Array {
  const last = x.length - 1;
  const width = (i: number): number => at(x, i + 1) - at(x, i);
  const secant = (i: number): number => (at(y, i + 1) - at(y, i)) / width(i);
  if (last === 1) {
    out[0] = secant(0);
    out[1] = secant(0);
    return out;
  }
  out[0] = endSlope(width(0), width(1), secant(0), secant(1));
  for (let i = 1; i < last; i++) {
    const before = secant(i - 1);
    const after = secant(i);
    const w1 = 2 * width(i) + width(i - 1);
    const w2 = width(i) + 2 * width(i - 1);
    out[i] = before * after > 0 ? (w1 + w2) / (w1 / before + w2 / after) : 0;
  }
  out[last] = endSlope(width(last - 1), width(last - 2), secant(last - 1), secant(last - 2));
  return out;
}

function endSlope(h0: number, h1: number, secant0: number, secant1: number): number {
  const slope = ((2 * h0 + h1) * secant0 - h0 * secant1) / (h0 + h1);
  if (slope * secant0 <= 0) return 0;
  // A bend right behind the end: more than three times the secant would overshoot.
  if (secant0 * secant1 <= 0 && Math.abs(slope) > 3 * Math.abs(secant0)) return 3 * secant0;
  return slope;
}

function table(x: ArrayLike<number>, y: ArrayLike<number>) {
  const nodes = Float64Array.from(x);
  const values = Float64Array.from(y);
  if (nodes.length < 2 || nodes.length !== values.length) {
    refuse(
      "table-length",
      `a table with ${nodes.length} arguments and ${values.length} values`,
      "at least two rows, each with argument and value",
      "Complete the table.",
    );
  }
  for (let i = 0; i < nodes.length; i++) {
    if (!Number.isFinite(at(nodes, i)) || !Number.isFinite(at(values, i))) {
      refuse(
        "table-value",
        `row ${i + 1} of the table is (${at(nodes, i)}, ${at(values, i)})`,
        "finite numbers in every row",
        "Correct or remove that row.",
      );
    }
    if (i > 0 && !(at(nodes, i) > at(nodes, i - 1))) {
      refuse(
        "table-order",
        `row ${i + 1} of the table has argument ${at(nodes, i)} after ${at(nodes, i - 1)}`,
        "arguments that increase from row to row, or the function would have two values at one place",
        "Sort the table and keep one row for each argument.",
      );
    }
  }
  return { nodes, values, low: at(nodes, 0), high: at(nodes, nodes.length - 1) };
}

/** Index i of the piece [x_i, x_(i+1)] used for q; the first or last piece beyond the ends. */
function interval(nodes: Float64Array, q: number): number {
  let low = 0;
  let high = nodes.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (at(nodes, middle) <= q) low = middle;
    else high = middle;
  }
  return low;
}

function excessOf(q: number, low: number, high: number): number {
  if (q < low) return q - low;
  return q > high ? q - high : 0;
}

function at(array: ArrayLike<number>, i: number): number {
  return array[i] ?? Number.NaN;
}
