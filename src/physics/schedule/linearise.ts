/** The opening that gives a flow: the installed characteristic turned round. */

/** Flow at openings from closed to open. */
export interface FlowTable {
  /** Ascending [rad]. */
  readonly angle: Float64Array;
  /** Not falling [kg/s]. */
  readonly flow: Float64Array;
}

/**
 * Smallest opening that passes a flow, by straight lines between the openings of the table.
 * @returns undefined where none of them does [rad]
 */
export function openingForFlow({ angle, flow }: FlowTable, wanted: number): number | undefined {
  const n = angle.length;
  if (!(wanted > (flow[0] ?? 0))) return angle[0];
  let low = 0;
  let high = n - 1;
  if (!((flow[high] ?? 0) >= wanted)) return undefined;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((flow[middle] ?? 0) >= wanted) high = middle;
    else low = middle;
  }
  const [w0, w1] = [flow[low] ?? 0, flow[high] ?? 0];
  const [a0, a1] = [angle[low] ?? 0, angle[high] ?? 0];
  return a0 + ((a1 - a0) * (wanted - w0)) / (w1 - w0);
}

/** Flow at an opening, by straight lines; beyond the ends that of the ends [kg/s]. */
export function flowAtOpening({ angle, flow }: FlowTable, opening: number): number {
  const last = angle.length - 1;
  const place = ((opening - (angle[0] ?? 0)) / ((angle[last] ?? 1) - (angle[0] ?? 0))) * last;
  const j = Math.min(Math.max(Math.floor(place), 0), last - 1);
  const share = Math.min(Math.max(place - j, 0), 1);
  const low = flow[j] ?? 0;
  return low + share * ((flow[j + 1] ?? low) - low);
}
