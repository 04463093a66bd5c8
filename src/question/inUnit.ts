/** Columns of numbers in the unit of an axis. */
import { type Dimension, fromSi, readUnit } from "../quantity/index.js";

/** A column of SI numbers in a unit, as "deg" or "ms". */
export function inUnit(values: readonly number[], dimension: Dimension, unit: string): readonly number[] {
  const resolved = readUnit(unit, dimension);
  return values.map((value) => fromSi(resolved, value));
}
