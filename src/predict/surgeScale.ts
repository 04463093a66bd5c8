/** Peaks of a line against what its places may reach, and how much faster a motion may be. */
import type { LineRun } from "../physics/line/index.js";
import type { SurgePlace } from "./surgeLine.js";
import type { Stretch } from "./surgeShort.js";

/** Peaks at each place of the closing run through in `scale` of its time. */
export interface Rung {
  readonly scale: number;
  readonly peaks: readonly number[];
}

/** Highest pressure in some stretches [Pa]. */
export function peakIn(run: LineRun, stretches: readonly Stretch[]): number {
  let peak = Number.NEGATIVE_INFINITY;
  for (const { pipe, from, to } of stretches) {
    const high = run.high[pipe];
    if (high === undefined) continue;
    const last = high.length - 1;
    for (let s = Math.round(from * last); s <= Math.round(to * last); s++)
      peak = Math.max(peak, high[s] ?? peak);
  }
  return peak;
}

/** Highest over allowed, at the worst place that has a rating; NaN without one [-]. */
export function worstOf(peaks: readonly number[], places: readonly SurgePlace[]): number {
  let worst = Number.NaN;
  places.forEach(({ allowed_Pa }, i) => {
    if (allowed_Pa === undefined) return;
    const share = (peaks[i] ?? Number.NaN) / allowed_Pa;
    if (!(share <= worst)) worst = share;
  });
  return worst;
}

/**
 * Smallest scale of the time with which a share stays at one, by straight lines over the logarithm of the scale: the share
 * bends upwards there, so that the line errs to the slow side. The fastest that was tried where all hold, infinite where none does.
 * @param rungs from the fastest to the slowest
 */
export function scaleWhere(rungs: readonly Rung[], shareOf: (peaks: readonly number[]) => number): number {
  const shares = rungs.map(({ peaks }) => shareOf(peaks));
  const held = shares.findLastIndex((share) => !(share <= 1));
  if (held < 0) return rungs[0]?.scale ?? Number.NaN;
  const [fast, slow] = [rungs[held], rungs[held + 1]];
  if (fast === undefined || slow === undefined) return Number.POSITIVE_INFINITY;
  const [over, under] = [shares[held] ?? Number.NaN, shares[held + 1] ?? Number.NaN];
  return fast.scale * (slow.scale / fast.scale) ** ((over - 1) / (over - under));
}
