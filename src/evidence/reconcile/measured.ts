/**
 * A measured stroke as reconciliation reads it: histories on one clock whose zero is the command,
 * thinned to a few hundred points, each with its standard uncertainty.
 */
import type { Sense } from "../../predict/index.js";
import { WindowMean } from "./average.js";

/** A history thinned for comparison. */
export interface MeasuredHistory {
  readonly channel: "angle" | "current" | "supply voltage" | "pressure drop";
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
export const historyPoints = 160;
/**
 * How far beyond the end of travel a history is compared, as a share of the stroke. What a driver does
 * once the ball is at its stop is its own affair: current and voltage are compared a little less far.
 */
const tail = { angle: 0.05, current: -0.02, "supply voltage": -0.02, "pressure drop": 0.05 } as const;
/** Windows overlap threefold, so that nothing between two points is lost. */
const windowSteps = 3;

/** Width of the window over which a history of so many points is averaged [s]. */
export function windowOf(history: MeasuredHistory): number {
  const { time_s } = history;
  const n = time_s.length;
  return n < 2 ? 0 : (windowSteps * ((time_s[n - 1] ?? 0) - (time_s[0] ?? 0))) / (n - 1);
}

/**
 * Thins logged channels to the stroke; each point is the mean over a window around it.
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
  return channels.map(({ channel, values, noise }) => {
    const span = (end_s - command_s) * (1 + tail[channel]);
    const centres = Float64Array.from({ length: historyPoints }, (_, k) => (span * k) / (historyPoints - 1));
    const known = Array.from(time_s, (_, i) => i).filter(
      (i) => Number.isFinite(time_s[i]) && Number.isFinite(values[i]),
    );
    const means = new WindowMean().of(
      Float64Array.from(known, (i) => (time_s[i] ?? 0) - command_s),
      Float64Array.from(known, (i) => values[i] ?? 0),
    );
    const history = { channel, time_s: centres, values: centres, noise };
    return { ...history, values: means.at(centres, windowOf(history)) };
  });
}
