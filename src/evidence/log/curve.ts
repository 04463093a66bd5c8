/** From the reading of a column to the value of its channel, as data: the database evaluates it too. */

/** A curve of the reading x. */
export type Curve =
  /** c0 + x (c1 + x (c2 + ...)). */
  | { readonly kind: "polynomial"; readonly coefficients: readonly number[] }
  /** 1 / (factor x): a unit that is a reciprocal one. */
  | { readonly kind: "reciprocal"; readonly factor: number }
  /** Straight pieces; beyond its ends the outermost piece goes on. Readings rise. */
  | { readonly kind: "table"; readonly readings: readonly number[]; readonly values: readonly number[] };

/** Value on a curve, in the order of operations that the database uses too. */
export function onCurve(curve: Curve, x: number): number {
  switch (curve.kind) {
    case "reciprocal":
      return 1 / (curve.factor * x);
    case "polynomial": {
      let value = 0;
      for (let i = curve.coefficients.length - 1; i >= 0; i--)
        value = value * x + (curve.coefficients[i] ?? 0);
      return value;
    }
    case "table": {
      const { readings } = curve;
      let piece = 0;
      while (piece < readings.length - 2 && x >= (readings[piece + 1] ?? 0)) piece++;
      const { at, from, slope } = pieceOf(curve, piece);
      return from + slope * (x - at);
    }
  }
}

/** One straight piece of a table: value = from + slope (x - at). */
export function pieceOf(
  { readings, values }: Extract<Curve, { readonly kind: "table" }>,
  piece: number,
): { readonly at: number; readonly from: number; readonly slope: number } {
  const [x0 = 0, x1 = 1] = [readings[piece], readings[piece + 1]];
  const [y0 = 0, y1 = 0] = [values[piece], values[piece + 1]];
  return { at: x0, from: y0, slope: (y1 - y0) / (x1 - x0) };
}
