/** Tables of a valve file at one vector of values: linear between their rows, held beyond them. */
import type { TableSlots } from "./plan.js";

/**
 * Values of a table over ascending angles; zero without rows.
 * @param angles  openings from closed, ascending [rad];  @param table  slots of its rows
 * @param values  all slots, SI;  @param out  receives the values; same length as `angles`
 */
export function fillFromTable(
  angles: Float64Array,
  table: TableSlots,
  values: Float64Array,
  out: Float64Array,
): void {
  const last = table.angles.length - 1;
  let row = 0;
  for (let j = 0; j < angles.length; j++) {
    const angle = angles[j] ?? 0;
    while (row < last - 1 && angle > (values[table.angles[row + 1] ?? 0] ?? 0)) row++;
    out[j] = between(angle, row, table, values);
  }
}

/** Value of a table at one angle [rad]; zero without rows. */
export function tableAt(angle: number, table: TableSlots, values: Float64Array): number {
  let row = 0;
  while (row < table.angles.length - 2 && angle > (values[table.angles[row + 1] ?? 0] ?? 0)) row++;
  return between(angle, row, table, values);
}

function between(angle: number, row: number, table: TableSlots, values: Float64Array): number {
  const next = Math.min(row + 1, table.angles.length - 1);
  const a0 = values[table.angles[row] ?? 0] ?? 0;
  const a1 = values[table.angles[next] ?? 0] ?? 0;
  const y0 = values[table.values[row] ?? 0] ?? 0;
  const y1 = values[table.values[next] ?? 0] ?? 0;
  if (table.angles.length === 0) return 0;
  if (!(a1 > a0)) return y0;
  return y0 + (y1 - y0) * Math.min(Math.max((angle - a0) / (a1 - a0), 0), 1);
}
