/**
 * What is known of the clock of one log against the clock of its run, which is that of the run's first
 * file:
 *
 *   t_run = t_file + offset_s + drift t_file
 */

/** How an offset was found. */
export const alignmentMethods = ["common edge", "cross-correlation", "related edge", "by hand"] as const;
export type AlignmentMethod = (typeof alignmentMethods)[number];

/** The clock of one file of a run. */
export interface ClockAlignment {
  /** Name of the file, as in run.yaml. */
  readonly file: string;
  /** Added to the time of the file [s]. */
  readonly offset_s: number;
  /** Further seconds for each second of the file's own time; absent where nothing tells. */
  readonly drift?: number;
  /** Standard uncertainty of a time of this file on the clock of the run [s]. */
  readonly standardUncertainty_s: number;
  readonly method: AlignmentMethod;
  /** In words: the channels, the edges or the correlation. */
  readonly how: string;
  /** Who set it by hand, and why. */
  readonly who?: string;
  readonly why?: string;
}

/** A time of a file on the clock of its run [s]. */
export function onRunClock(
  { offset_s, drift = 0 }: Pick<ClockAlignment, "offset_s" | "drift">,
  time_s: number,
): number {
  return time_s + offset_s + drift * time_s;
}
