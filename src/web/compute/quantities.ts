/** What the time series of a stroke show, each over an axis of its own. */

import type { HistoryChannel } from "../../predict/index.js";
import { type Dimension, fromSi, readUnit } from "../../quantity/index.js";

/** One axis: what lies over it in a prediction and in a log. */
export interface Quantity {
  readonly id: HistoryChannel;
  readonly label: string;
  readonly unit: string;
  readonly dimension: Dimension;
  /** Of the channel in a log; none: it is worked out of another. */
  readonly role: string | undefined;
}

export const quantities: readonly Quantity[] = [
  { id: "angle", label: "Opening from closed", unit: "deg", dimension: "angle", role: "angle" },
  { id: "speed", label: "Speed of the stem", unit: "deg/s", dimension: "angular speed", role: undefined },
  { id: "current", label: "Motor current", unit: "A", dimension: "current", role: "motor_current" },
  {
    id: "supply voltage",
    label: "Voltage at the driver",
    unit: "V",
    dimension: "voltage",
    role: "supply_voltage",
  },
  { id: "flow", label: "Mass flow", unit: "kg/s", dimension: "mass flow", role: "flow" },
];

/** The channel of a log that a quantity is read from; a volume flow is no mass flow. */
export function channelOf(
  { role, dimension }: Quantity,
  channels: readonly { readonly name: string; readonly role: string }[],
): string | undefined {
  const found = channels.find((channel) => channel.role === role)?.name;
  return dimension === "mass flow" && found?.endsWith("kg_s") !== true && found?.endsWith("kg/s") !== true
    ? undefined
    : found;
}

/** An SI value in the unit of its axis. */
export function shownValue({ unit, dimension }: Quantity, si: number): number {
  return fromSi(readUnit(unit, dimension), si);
}

/** Half of the window over which the speed of a test is taken: short against a stroke, long against noise [s]. */
const halfWindow_s = 0.01;

/**
 * Speed out of the angle, as the slope of a straight line over a window about each sample; NaN where fewer
 * than three samples lie in the window. Only of rows as they were recorded: extremes have no slope.
 */
export function slopesOf(time_s: readonly number[], angle: readonly (number | null)[]): number[] {
  let first = 0;
  let last = 0;
  return time_s.map((t, i) => {
    while ((time_s[first] ?? t) < t - halfWindow_s) first++;
    while (last < time_s.length && (time_s[last] ?? t) <= t + halfWindow_s) last++;
    if (angle[i] === null) return Number.NaN;
    let [n, st, sa, stt, sta] = [0, 0, 0, 0, 0];
    for (let k = first; k < last; k++) {
      const a = angle[k];
      if (a === null || a === undefined) continue;
      const d = (time_s[k] ?? t) - t;
      n++;
      st += d;
      sa += a;
      stt += d * d;
      sta += d * a;
    }
    const spread = n * stt - st * st;
    return n < 3 || !(spread > 0) ? Number.NaN : (n * sta - st * sa) / spread;
  });
}
