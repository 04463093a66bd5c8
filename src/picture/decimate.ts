/** Thinning of long series for drawing. */
import type { Numbers } from "./role.js";

/**
 * Indices of the samples that a picture needs: of each run of neighbours in one pixel column the
 * first, the last, and the least and greatest of every given series; a gap keeps one sample.
 * What is drawn through them covers the same pixels as the whole series.
 *
 * @param count     number of samples
 * @param columnOf  pixel column of a sample (an integer); NaN where it cannot be drawn
 * @param series    the values whose extremes are kept
 * @returns         indices, rising
 */
export function keptIndices(
  count: number,
  columnOf: (index: number) => number,
  series: readonly Numbers[],
): readonly number[] {
  const kept: number[] = [];
  let start = 0;
  while (start < count) {
    const column = columnOf(start);
    let end = start + 1;
    while (end < count && Object.is(columnOf(end), column)) end++;
    const picks = Number.isNaN(column) ? [start] : runPicks(start, end, series);
    kept.push(...picks);
    start = end;
  }
  return kept;
}

function runPicks(start: number, end: number, series: readonly Numbers[]): readonly number[] {
  const picks = new Set<number>([start, end - 1]);
  for (const values of series) {
    let [least, greatest] = [start, start];
    for (let index = start + 1; index < end; index++) {
      const value = values[index] ?? Number.NaN;
      if (value < (values[least] ?? Number.NaN)) least = index;
      if (value > (values[greatest] ?? Number.NaN)) greatest = index;
    }
    picks.add(least).add(greatest);
  }
  return [...picks].sort((a, b) => a - b);
}
