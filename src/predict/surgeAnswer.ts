/** What the line feels of the valve in one case: the answer of surge.ts. */
import type { Stroke } from "../physics/motion/index.js";
import type { OwnFigures } from "./ownBand.js";
import type { PrimingFigures } from "./priming.js";
import type { Sense } from "./strokes.js";
import type { SurgePlace } from "./surgeLine.js";

/** A stroke and what the line felt of it, at the nominal values. */
export interface SurgeRun {
  readonly sense: Sense;
  readonly outcome: Stroke["outcome"];
  /** From command: first motion, end of the motion [s]. */
  readonly start_s: number;
  readonly end_s: number;
  /** From command [s]; pressure ahead of the valve and behind it [Pa], flow through it [kg/s], opening [rad]. */
  readonly time_s: readonly number[];
  readonly ahead_Pa: readonly number[];
  readonly behind_Pa: readonly number[];
  readonly flow_kg_s: readonly number[];
  readonly angle_rad: readonly number[];
  /** Places that were asked for, in their order, with their pressure at those times. */
  readonly stations: readonly { readonly name: string; readonly pressure_Pa: readonly number[] }[];
  /** Along the main line from the tank [m]; the valve's place stands twice. */
  readonly x_m: readonly number[];
  readonly high_Pa: readonly number[];
  readonly low_Pa: readonly number[];
  readonly steady_Pa: readonly number[];
  /** Largest volume of vapour at one time [m3]. */
  readonly vapour_m3: number;
  /** How often stroke and waves were solved in turn, and what the last turn moved the stroke's time by [-]. */
  readonly turns: number;
  readonly change: number;
  /** Share by which the coupling moves the stroke's time [-]. */
  readonly coupling: number;
}

/** What closing costs, at the nominal values. */
export interface SurgeBounds {
  /** Wave speed of each pipe [m/s]. */
  readonly pipes: readonly {
    readonly name: string;
    readonly waveSpeed_m_s: number;
    readonly speed_m_s: number;
  }[];
  /** 2 L/a of the main line ahead of the valve and behind it [s]. */
  readonly aheadCritical_s: number;
  readonly behindCritical_s: number;
  /** rho a dv of an instant closing, of the pipe ahead of the valve [Pa]. */
  readonly joukowsky_Pa: number;
  /** Of each place that has a rating: shortest time of this motion, from first motion to end; without end where none that was tried is slow enough [s]. */
  readonly shortest: readonly { readonly place: SurgePlace; readonly time_s: number }[];
  /** The slowest that was tried, over the time of the motion [-]. */
  readonly slowest: number;
  readonly supply_Pa: number;
  /** Highest of the opening at each place [Pa]. */
  readonly opened: readonly { readonly place: SurgePlace; readonly pressure_Pa: number }[];
  /** Difference of the highest pressure between the grid of the samples and a finer one, over the rise [-]. */
  readonly gridUncertainty: number;
  /** Largest share by which a pipe's travel time is rounded to whole reaches [-]. */
  readonly rounded: number;
  readonly isScaled: boolean;
  /** Pipes that count as level because no rise is given, and what a metre would change [Pa/m]. */
  readonly level: readonly string[];
  readonly weight_Pa_m: number;
}

/**
 * Figures: `close:<place>` highest pressure of a closing there [Pa]; `dip`, lowest pressure ahead of the valve in an
 * opening over the vapour pressure, below zero where the liquid tears apart [Pa]; `openShare`, the highest of an opening
 * over what the place may reach, at the worst place [-]; `ratio`, the time of the closing motion over the shortest that
 * every rated place allows [-]; `shortest`, that time in the closing definition [s]; `surge`, rise at the valve over the
 * supply in either stroke [Pa]; and those of priming.
 */
export interface SurgeAnswer {
  /** Why the line cannot be followed though nothing is missing. */
  readonly unfit: string | undefined;
  /** Fields without which nothing of it is known, and those of priming beside them. */
  readonly missing: readonly string[];
  readonly missingPriming: readonly string[];
  readonly places: readonly SurgePlace[];
  readonly figures: OwnFigures;
  readonly closing: SurgeRun | undefined;
  readonly opening: SurgeRun | undefined;
  readonly bounds: SurgeBounds | undefined;
  readonly priming: PrimingFigures | undefined;
  /** What stands behind the shut valve, as declared; the opening is that of it, of a full one where nobody says. */
  readonly behind: "empty" | "full" | undefined;
}

/** Id of the figure of a place. */
export function surgeFigure(place: SurgePlace): string {
  return `close:${place.path}`;
}

/** Ids of the figures that belong to no place. */
export const surgeIds = ["dip", "openShare", "ratio", "shortest", "surge"] as const;
