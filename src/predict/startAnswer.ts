/** How the engine starts and stops in one case: the answer of start.ts. */
import type { ProbabilityInterval } from "../numerics/index.js";
import type { EngineRun, OpeningTrace } from "../physics/start/index.js";
import type { OwnFigures } from "./ownBand.js";

/** A start or stop in which something fails, at the nominal values. */
export interface FailedRun {
  readonly words: string;
  readonly run: EngineRun;
}

/** Commands that were tried: how the valves move, the other one's command after this one's [s], samples that keep box, lead and unburnt mass. */
export interface TriedStart {
  readonly words: string;
  readonly offset_s: number;
  readonly inside: ProbabilityInterval;
}

/** An opening of a valve, its command counted from the start [s]. */
export interface ShownOpening {
  readonly trace: OpeningTrace;
  readonly offset_s: number;
}

/** Everything at the nominal values. */
export interface StartRuns {
  readonly start: EngineRun;
  /** Undefined where its commands are not known. */
  readonly stop: EngineRun | undefined;
  readonly abort: EngineRun | undefined;
  readonly own: ShownOpening;
  readonly partner: ShownOpening;
  /** It never lights: both valves open, the flow stays unlit. */
  readonly unlit: EngineRun;
  readonly failed: readonly FailedRun[];
  readonly failedStops: readonly FailedRun[];
  /** Liquid behind each valve that still runs out after it has shut [kg]. */
  readonly dribble: { readonly own: number; readonly partner: number } | undefined;
}

/**
 * Figures: `lead`, oxidiser after fuel at the injector [s]; `fill:own`, `fill:partner` from first flow to the injector [s];
 * `box`, the worse of least ratio over the box's and the box's over the greatest, less one [-]; `unburnt` [kg] and `burnt`, the
 * pressure if it burns at once [Pa], both without end where it does not light; `ignites`, `rises` from the start [s]; `pressure`, at the end [Pa]; `stop` and `abort`, fuel below a
 * tenth after the oxidiser in a stop and in an abort [s]; `injector:own`, `injector:partner` least drop over chamber pressure [-];
 * `offset:<k>`, `led:<k>`, 1 where box, lead and unburnt mass are kept with other commands, else 0; `p:<k>`, `ox:<k>`, `fu:<k>` over time.
 */
export interface StartAnswer {
  /** Why it cannot be followed though nothing is missing. */
  readonly unfit: string | undefined;
  /** Fields without which nothing of it is known. */
  readonly missing: readonly string[];
  /**
   * And those of parts of it: of a stop, of an abort, and the drop of each injector. Without an injector's drop only the stop and the
   * filling of the other side are known, whatever else the runs hold.
   */
  readonly missingOf: Readonly<Record<"stop" | "abort" | "own" | "partner", readonly string[]>>;
  readonly side: "oxidiser" | "fuel" | undefined;
  readonly figures: OwnFigures;
  readonly runs: StartRuns | undefined;
  /** Other offsets of the commands as the valves move by themselves; valves led at an even speed. */
  readonly offsets: readonly TriedStart[];
  readonly led: readonly TriedStart[];
  /** Times of `p:<k>` and its like [s]. */
  readonly times: readonly number[];
}

/** Points of a band against time. */
export const startPoints = 48;
export const timeFigures = ["p", "ox", "fu"] as const;
/** Offsets that are tried: so many on either side of the declared one, so far apart [s]. */
export const offsetsTried = { around: 6, apart_s: 0.02 } as const;
/** Valves that are led: in so many times what they take by themselves, in whole such times [s]. */
export const ledTried = { factors: [1.5, 2.5], ways: 3, rounded_s: 0.01 } as const;

/** Ids of all figures. */
export const startIds: readonly string[] = [
  "lead",
  "fill:own",
  "fill:partner",
  "box",
  "unburnt",
  "burnt",
  "ignites",
  "rises",
  "pressure",
  "stop",
  "abort",
  "injector:own",
  "injector:partner",
  ...Array.from({ length: 2 * offsetsTried.around + 1 }, (_, k) => `offset:${k}`),
  ...Array.from({ length: ledTried.ways * ledTried.factors.length }, (_, k) => `led:${k}`),
  ...timeFigures.flatMap((id) => Array.from({ length: startPoints }, (_, k) => `${id}:${k}`)),
];
