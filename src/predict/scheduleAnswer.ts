/** What is known of a schedule of the opening. */
import type { DriveLimits, FlowTable, NoSchedule, Schedule } from "../physics/schedule/index.js";
import type { OwnFigures } from "./ownBand.js";

export const scheduleFigures = ["angle", "angle-rms", "flow", "flow-rms"] as const;

/** The ball and the flow along a schedule, nominal; arrays of one length. */
export interface ScheduleHistory {
  /** From the first row on [s]. */
  readonly time_s: readonly number[];
  readonly scheduled_rad: readonly number[];
  readonly angle_rad: readonly number[];
  /** Flow over the duty's: what is wanted, what the schedule's opening passes, what the ball's passes [-]. */
  readonly wanted: readonly number[];
  readonly scheduledFlow: readonly number[];
  readonly flow: readonly number[];
  readonly current_A: readonly number[];
}

/** What is wanted and no opening allowed gives: over so much of the history [-]. */
export interface OutOfReach {
  /** Greatest and smallest share of the duty's flow that the openings allowed pass [-]. */
  readonly most: number;
  readonly least: number;
  /** Part of the rows that want more, or less [-]. */
  readonly share: number;
}

/** A schedule and how it is followed. */
export interface FollowedSchedule {
  readonly schedule: Schedule;
  readonly step_s: number;
  /** Flow of the installed valve against opening, nominal. */
  readonly table: FlowTable;
  readonly dutyFlow_kg_s: number;
  readonly limits: DriveLimits;
  /** Samples that the limits are the slow end of; 0: at the nominal values. */
  readonly limitSamples: number;
  readonly history: ScheduleHistory;
  /** Row times of the greatest errors, nominal [s]. */
  readonly worstAngle_s: number;
  readonly worstFlow_s: number;
  readonly outOfReach: OutOfReach;
}

/** Figures, at most and as root of the mean square: ball less schedule [rad], flow less wanted over the duty's [-]. */
export interface ScheduleAnswer {
  /** No schedule is asked for. */
  readonly isWanted: boolean;
  /** Why no schedule can be made of this case, whatever is given. */
  readonly unfit: string | undefined;
  readonly missing: readonly string[];
  readonly stuck: NoSchedule | undefined;
  readonly followed: FollowedSchedule | undefined;
  readonly figures: OwnFigures;
}
