/** When a command or a current sets in: signals that leave their rest faster than a ball does. */
import { median } from "../../numerics/index.js";
import { currentShapes } from "./corner.js";
import { bracketed, type Instant } from "./instant.js";
import { restOf } from "./rest.js";
import { type Leaving, leaving } from "./side.js";
import { resolutionStep } from "./staircase.js";
import { restingAtStart, type Signal } from "./stroke.js";

/** An onset, or why there is none. */
export type Onset =
  | { readonly instant: Instant; readonly how: string; readonly noise: number; readonly first: number }
  | { readonly because: string };

/** Samples at the start that are taken for the rest if nothing else is known. */
const restShare = 0.05;
const leastRest = 5;
/** A signal has set in where it leaves its rest by this many of its noise, this many samples running. */
const clearly = 6;
const running = 3;
/** A change smaller than this share of the largest is not the onset: a ripple of the rest. */
const leastShare = 0.01;
/** A rise of fewer samples than this, up to a quarter of its size, is a step. */
const stepSamples = 4;
const quarter = 0.25;

/**
 * The first lasting departure of a signal from its rest.
 *
 * A step lies between two samples: uniform law. A rise over more samples is fitted as a corner.
 *
 * @param signal  without gaps
 * @param search  instant from which the onset is looked for; samples before it are the rest
 * @param name    of the channel, for the words
 */
export function onset(signal: Signal, search: number | undefined, name: string): Onset {
  const { time_s, value } = signal;
  const n = value.length;
  if (n < leastRest + running)
    return { because: `the ${name} has only ${n === 1 ? "1 reading" : `${n} readings`}` };
  const begin =
    search === undefined
      ? 0
      : Math.max(
          0,
          time_s.findIndex((t) => t >= search),
        );
  const rests = Math.max(leastRest, search === undefined ? restingAtStart(value, restShare) : begin - 1);
  const step = resolutionStep(value);
  const spread = value.reduce((a, v) => Math.max(a, Math.abs(v - (value[0] ?? 0))), 0);
  if (spread === 0) return { because: `the ${name} does not change in the record` };
  const rest = restOf(value.subarray(0, Math.min(rests, n)), step, 1e-6 * spread);
  const away = value.map((v) => Math.abs(v - rest.level));
  const largest = away.reduce((a, b) => Math.max(a, b), 0);
  const least = Math.max(clearly * rest.noise, 1.5 * step, leastShare * largest);
  const first = firstRun(away, Math.max(begin - 1, 1), least);
  if (first === undefined) {
    return { because: `the ${name} does not leave its rest by more than ${clearly} times its noise` };
  }
  const top = firstRun(away, first, quarter * typicalSize(away.subarray(first), least)) ?? first;
  const before = time_s[first - 1] ?? 0;
  const at = time_s[first] ?? 0;
  if (top - first < stepSamples) {
    return {
      instant: bracketed(before, at),
      how: bracketWords(time_s, before, at),
      noise: rest.noise,
      first,
    };
  }
  const sense = (value[first] ?? 0) >= rest.level ? 1 : -1;
  const height = value.subarray(0, top + 1).map((v) => sense * (v - rest.level));
  const side = {
    time_s: time_s.subarray(0, top + 1),
    height,
    smooth: height,
    leaves: first - 1,
    top: Math.max(height[top] ?? 0, least) / mostOfQuarter,
    noise: rest.noise,
    step,
  };
  const fit: Leaving = leaving(side, currentShapes);
  return { instant: fit.corner, how: fit.how, noise: rest.noise, first };
}

/** An interval longer than this many usual ones is a gap. */
const gapFrom = 1.5;

/** Between two samples, or across a gap of the record, which is named. */
function bracketWords(time_s: Float64Array, before: number, at: number): string {
  const usual = median(time_s.subarray(1).map((t, i) => t - (time_s[i] ?? 0)));
  return at - before > gapFrom * usual
    ? `somewhere in a gap of the record from ${before.toFixed(4)} to ${at.toFixed(4)} s`
    : "between two samples";
}

/** The rise up to a quarter of the size is the side's share that may be followed. */
const mostOfQuarter = 0.3;

/** Size of the change: its median over the third that lies highest of what has left the rest, however long the record. */
function typicalSize(away: Float64Array, least: number): number {
  const sorted = away.filter((v) => v > least).sort();
  return sorted.length === 0 ? 0 : median(sorted.subarray(Math.floor((2 / 3) * (sorted.length - 1))));
}

function firstRun(away: Float64Array, from: number, least: number): number | undefined {
  let count = 0;
  for (let i = from; i < away.length; i++) {
    count = (away[i] ?? 0) > least ? count + 1 : 0;
    if (count === running) return i - running + 1;
  }
  // A step in the last samples of the record still is a step.
  return count > 0 && away.length - count > from ? away.length - count : undefined;
}
