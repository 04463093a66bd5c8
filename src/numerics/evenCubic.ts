/** A table at even distances, read as a smooth curve. */

/** A curve through values with slopes, a row of such in a longer table. */
export interface EvenTable {
  /** Value and slope at each node, one after the other. */
  readonly rows: Float64Array;
  readonly nodes: number;
}

/**
 * Value, slope and curvature of the cubic with the values and slopes of both neighbours (Hermite); a
 * straight line of the end's slope beyond the table.
 *
 * @param row   which row of the table;  @param low  place of its first node;  @param step  between nodes
 * @param out   receives the three
 */
export function evenCubic(
  { rows, nodes }: EvenTable,
  row: number,
  low: number,
  step: number,
  x: number,
  out: Float64Array,
): void {
  const at = (x - low) / step;
  const first = 2 * row * nodes;
  if (!(at >= 0 && at <= nodes - 1)) {
    const end = at > 0 ? nodes - 1 : 0;
    const slope = rows[first + 2 * end + 1] as number;
    out[0] = (rows[first + 2 * end] as number) + slope * (x - low - end * step);
    out[1] = slope;
    out[2] = 0;
    return;
  }
  const i = Math.min(Math.floor(at), nodes - 2);
  const p = first + 2 * i;
  const t = at - i;
  const f0 = rows[p] as number;
  const s0 = step * (rows[p + 1] as number);
  const rise = (rows[p + 2] as number) - f0;
  const s1 = step * (rows[p + 3] as number);
  const c = 3 * rise - 2 * s0 - s1;
  const d = s0 + s1 - 2 * rise;
  out[0] = f0 + t * (s0 + t * (c + t * d));
  out[1] = (s0 + t * (2 * c + 3 * t * d)) / step;
  out[2] = (2 * c + 6 * t * d) / (step * step);
}
