/**
 * A measured stroke as reconciliation reads it: histories on one clock whose zero is the command,
 * thinned to a few hundred points, each with its standard uncertainty.
 */
import type { Sense } from "../../predict/index.js";

/** A history thinned for comparison. */
export interface MeasuredHistory {
  readonly channel: "angle" | "current" | "supply voltage";
  /** Ascending, zero at the command [s]. */
  readonly time_s: Float64Array;
  /** [rad], [A] or [V]. */
  readonly values: Float64Array;
  /** Standard uncertainty of one value, noise and resolution [same unit]. */
  readonly noise: number;
}

/** A time by one definition. */
export interface MeasuredTime {
  readonly definition: string;
  readonly value_s: number;
  readonly standardUncertainty_s: number;
}

export interface MeasuredStroke {
  readonly runId: string;
  readonly sense: Sense;
  readonly histories: readonly MeasuredHistory[];
  readonly times: readonly MeasuredTime[];
  /** Standard uncertainty of the instant of the command on the log's clock [s]. */
  readonly commandUncertainty_s: number;
  /** Whether the ball reached the end of its travel; undefined where the log does not show it. */
  readonly arrived: boolean | undefined;
}

/** One logged channel on the log's own clock. */
export interface LoggedChannel {
  readonly channel: MeasuredHistory["channel"];
  readonly values: Float64Array;
  /** Standard uncertainty of the sensor's scale factor and the like is declared elsewhere; this is noise. */
  readonly noise: number;
}

/** Points of a thinned history: enough for any shape a stroke has, few enough for a fast fit. */
const historyPoints = 160;
/** How far beyond the end of travel a history is compared, as a share of the stroke. */
const tail = 0.05;

/**
 * Thins logged channels to the stroke.
 * @param time_s      the log's clock, ascending [s]
 * @param command_s   instant of the command on it [s]
 * @param end_s       instant at which the stroke is over, or the log ends [s]
 */
export function thinned(
  time_s: Float64Array,
  channels: readonly LoggedChannel[],
  command_s: number,
  end_s: number,
): readonly MeasuredHistory[] {
  const until = end_s + tail * (end_s - command_s);
  return channels.map(({ channel, values, noise }) => {
    const times: number[] = [];
    const kept: number[] = [];
    const step = (until - command_s) / historyPoints;
    let next = command_s;
    for (let i = 0; i < time_s.length; i++) {
      const t = time_s[i] ?? Number.NaN;
      const value = values[i] ?? Number.NaN;
      if (t < next || t > until || Number.isNaN(value)) continue;
      times.push(t - command_s);
      kept.push(value);
      while (next <= t) next += step;
    }
    return { channel, time_s: Float64Array.from(times), values: Float64Array.from(kept), noise };
  });
}
