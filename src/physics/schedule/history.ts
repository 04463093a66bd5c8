/** A wanted history of the flow: moves one after the other, or points joined by straight lines. */
import { requireNotNegative } from "../../quantity/index.js";

/** How a flow gets from one value to the next. */
export type MoveShape = "step" | "ramp" | "gentle";

/** One move and the rest after it. */
export interface FlowMove {
  /** Value at its end, in any one unit. */
  readonly to: number;
  /** >= 0; a step takes none [s]. */
  readonly within: number;
  readonly shape: MoveShape;
  /** >= 0 [s]. */
  readonly hold: number;
}

/** A wanted history. */
export interface WantedHistory {
  readonly duration: number;
  /** @param t from its beginning; before it the first value, after it the last [s] */
  readonly at: (t: number) => number;
}

/** Share of a gentle move in which its rate rises, and in which it falls [-]. */
const rounded = 0.2;

/**
 * Share of a move that is done after a share of its time.
 *
 *   ramp    x
 *   gentle  x^2/(2 r (1 - r)) up to r,  (x - r/2)/(1 - r) up to 1/2,  the rest by symmetry;  r = 0.2
 *
 * A line feels dp = (sum L/A) dW/dt of a slow change: a ramp has the least greatest rate, and a jump of it at both
 * ends; the gentle move has none, for a rate that is at most 1/(1 - r) = 1.25 times as great.
 *
 * @param x  share of the time, 0 to 1 [-]
 * Source  trapezoid of the rate, textbook kinematics; inertia of a rigid column [wylie-streeter-1993, ch. 1]
 */
export function moveShare(shape: MoveShape, x: number): number {
  if (x <= 0) return shape === "step" ? 1 : 0;
  if (x >= 1 || shape === "step") return 1;
  if (shape === "ramp") return x;
  if (x > 0.5) return 1 - moveShare(shape, 1 - x);
  if (x < rounded) return (x * x) / (2 * rounded * (1 - rounded));
  return (x - rounded / 2) / (1 - rounded);
}

/**
 * History of some moves.
 * @param start  value before the first
 * Refuses       a negative time
 */
export function historyOf(start: number, moves: readonly FlowMove[]): WantedHistory {
  let begins = 0;
  let from = start;
  const pieces = moves.map(({ to, within, shape, hold }) => {
    requireNotNegative(within, "time of a move", "time", "A move goes forward in time.");
    requireNotNegative(hold, "time after a move", "time", "A rest goes forward in time.");
    const takes = shape === "step" ? 0 : within;
    const piece = { begins, takes, from, to, shape: takes === 0 ? ("step" as const) : shape };
    begins += takes + hold;
    from = to;
    return piece;
  });
  return {
    duration: begins,
    at(t) {
      let value = start;
      for (const piece of pieces) {
        if (t < piece.begins) break;
        const x = piece.takes === 0 ? 1 : (t - piece.begins) / piece.takes;
        value = piece.from + (piece.to - piece.from) * moveShare(piece.shape, x);
      }
      return value;
    },
  };
}

/** History of points joined by straight lines. @param times ascending [s]; @param values one for each, in any one unit */
export function historyThrough(times: readonly number[], values: readonly number[]): WantedHistory {
  const first = times[0] ?? 0;
  const last = times.length - 1;
  let k = 0;
  return {
    duration: (times[last] ?? 0) - first,
    at(t) {
      const at = first + t;
      // Asked in ascending order as a rule: the search goes on from where it was.
      if (at < (times[k] ?? 0)) k = 0;
      while (k < last && (times[k + 1] ?? 0) <= at) k++;
      const [low, high] = [times[k] ?? 0, times[k + 1]];
      const value = values[k] ?? Number.NaN;
      if (high === undefined || at <= low) return value;
      return value + (((values[k + 1] ?? value) - value) * (at - low)) / (high - low);
    },
  };
}
