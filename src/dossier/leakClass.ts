/** The shipped classes of seat leakage, as data with their source. To add one: its row in data/leakage/classes.json. */
import file from "../../data/leakage/classes.json" with { type: "json" };

/** Ids of the classes, in the order of the file. */
export const leakClassIds: readonly string[] = file.classes.map(({ id }) => id);

/** A class with its limit for one valve. */
export interface LeakLimit {
  readonly id: string;
  readonly name: string;
  /** Largest leakage, gas at 101.325 kPa and 20 degC [m3/s]. */
  readonly most_m3_s: number;
  /** Where the number comes from, in words. */
  readonly from: string;
  /** Key into the bibliography. */
  readonly source: string;
}

/**
 * Largest leakage of gas that a class allows.
 *
 *   per size:  q = c DN;   tabled:  q / DN^2 straight between the rows
 *
 * @param id    of a class;  @param size  nominal size [m]
 * @returns     undefined for an unknown class, one that has no limit for gas, or a size beyond its table
 * Source       the class's own [iso-5208-2015; iec60534-4; fci-70-2-2013; mss-sp-61; bs-6364-1984]; interpolation
 *              with the square of the size: common practice, no source
 */
export function gasLeakLimit(id: string, size: number): LeakLimit | undefined {
  const row = file.classes.find((one) => one.id === id);
  if (row === undefined) return undefined;
  const frame = { id, name: row.name, from: row.from, source: row.reference };
  const millimetres = 1e3 * size;
  if (row.gas_mm3_s_per_mm !== undefined)
    return { ...frame, most_m3_s: 1e-9 * row.gas_mm3_s_per_mm * millimetres };
  const tabled = tabledRate(row.gas_mL_min_by_size_mm ?? [], millimetres);
  return tabled === undefined ? undefined : { ...frame, most_m3_s: (1e-6 * tabled) / 60 };
}

function tabledRate(rows: readonly (readonly number[])[], size: number): number | undefined {
  for (let k = 0; k < rows.length; k++) {
    const [below = 0, rate = 0] = rows[k] ?? [];
    if (size === below) return rate;
    const [above = 0, next = 0] = rows[k + 1] ?? [];
    if (size < below || size >= above) continue;
    const share = (size - below) / (above - below);
    const perSquare = (rate / below ** 2) * (1 - share) + (next / above ** 2) * share;
    return perSquare * size ** 2;
  }
  return undefined;
}
