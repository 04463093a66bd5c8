/** Stretches of a time series: coarse over all of a record, fine where one looks, and what stands at an instant. */

export interface View {
  readonly from_s: number;
  readonly to_s: number;
}

/** One quantity of one run over a stretch of time, in the unit of its axis; NaN is a gap. */
export interface Stretch {
  /** On the clock of the run [s]. */
  readonly from_s: number;
  readonly to_s: number;
  readonly isThinned: boolean;
  /** Width of the stretches whose extremes are kept [s]; of rows as recorded nothing. */
  readonly step_s: number;
  readonly time_s: readonly number[];
  readonly value: readonly number[];
}

/** The finest stretch that covers what a view sees of the record; else the whole record. */
export function bestFor(all: readonly Stretch[], view: View): Stretch | undefined {
  const whole = all[0];
  if (whole === undefined) return undefined;
  const [from, to] = [Math.max(view.from_s, whole.from_s), Math.min(view.to_s, whole.to_s)];
  return all.reduce((best, one) => {
    const covers = one.from_s <= from && one.to_s >= to;
    return covers && (one.step_s < best.step_s || (one.step_s === best.step_s && width(one) < width(best)))
      ? one
      : best;
  }, whole);
}

const width = ({ from_s, to_s }: View): number => to_s - from_s;

/** Value at an instant: straight between two points; of thinned points the extremes about it. */
export function valueAt(
  { x, y }: { readonly x: readonly number[]; readonly y: readonly number[] },
  at: number,
): number | undefined {
  let [low, high] = [0, x.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((x[middle] ?? 0) < at) low = middle + 1;
    else high = middle;
  }
  const [x0, x1, y0, y1] = [x[low - 1], x[low], y[low - 1], y[low]];
  if (x1 === at && y1 !== undefined && Number.isFinite(y1)) return y1;
  if (x0 === undefined || x1 === undefined || y0 === undefined || y1 === undefined) return undefined;
  const value = x1 > x0 ? y0 + ((y1 - y0) * (at - x0)) / (x1 - x0) : y1;
  return Number.isFinite(value) ? value : undefined;
}
