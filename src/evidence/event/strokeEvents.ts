/** First motion, travel and end of travel, from the angle. */
import type { EventId } from "../../physics/motion/index.js";
import { arrivalShapes, departureShapes } from "./corner.js";
import { passingInstant } from "./crossing.js";
import { type DetectedEvent, found, missing } from "./event.js";
import type { Instant } from "./instant.js";
import type { Rest } from "./rest.js";
import type { Samples } from "./series.js";
import { arrivalSide, coarse, departureSide, leaving, lowPassing, type Side } from "./side.js";
import { edges } from "./staircase.js";
import type { Signal, Stroke } from "./stroke.js";

/** Half-height of the stretch fitted where a level is passed, as a share of the travel. */
const halfHeight = 0.05;
/** Less of the rise is fitted where the noise is small: this many times it, but no less than the share below. */
const stretchInNoise = 60;
const leastHalfHeight = 0.01;
/** A ball that comes to rest beyond this share of its declared travel has arrived: stops and sensors have tolerances. */
export const arrived = 0.95;
/** Samples needed at the second rest. */
const leastRest = 5;
/** The speed at the record's end is that over its last share of the samples in motion, but no fewer than these. */
const endStretch = 0.03;
const leastEndSamples = 4;
/** A ball that is faster at the end than this share of its mean speed still turns, if that stands out of the noise. */
const turningShare = 0.25;
const turningNoise = 8;

/** The stroke's events, in the order of the list. */
export function strokeEvents(
  signal: Signal,
  stroke: Stroke,
  fullTravel: number | undefined,
): readonly DetectedEvent[] {
  const departure = departureSide(signal, stroke);
  const first = leaving(departure, departureShapes);
  const travelled = departure.top;
  const travel = fullTravel ?? travelled;
  const degrees = (radians: number) => `${((radians * 180) / Math.PI).toPrecision(3)} deg`;
  const turned = turnedAtEnd(stroke);
  const hasRested = comesToRest(stroke);
  const isShort = travelled < arrived * travel;
  const arrival = arrivalSide(signal, stroke);
  const last = hasRested ? leaving(arrival, arrivalShapes) : undefined;
  // A ball that has arrived shows its travel between its two rests, whatever the sensor's scale.
  const far =
    last === undefined || isShort
      ? { level: first.rest.level + travel, levelUncertainty: first.rest.levelUncertainty }
      : { level: travelled - last.rest.level, levelUncertainty: last.rest.levelUncertainty };
  const stopped = `the ball stops ${degrees(travelled)} from where it began, ${degrees(travel - travelled)} short of its travel`;
  const lacksRest =
    turned === undefined
      ? "the record ends, or the next motion begins, before the angle has come to rest"
      : stillTurning(turned);
  const passes = (id: EventId, share: number): DetectedEvent => {
    if (fullTravel === undefined && last === undefined)
      return missing(id, `${lacksRest}: its travel is not known`);
    if (share * travel > travelled) return missing(id, last === undefined ? lacksRest : stopped);
    const instant = travelInstant(departure, stroke, share, first.rest, far);
    return instant === undefined
      ? missing(id, "the angle does not rise clearly through this level")
      : found(id, "angle", instant, `local cubic through ${100 * share} % of the travel`);
  };
  const ninetyNine =
    last === undefined || isShort
      ? undefined
      : backwards(lowPassing(arrival, arrivalShapes, 0.01 * travelled));
  const stop = last === undefined ? undefined : backwards(last.corner);
  return [
    found("first motion", "angle", first.corner, first.how),
    passes("10 % travel", 0.1),
    passes("90 % travel", 0.9),
    last === undefined
      ? missing("99 % travel", lacksRest)
      : isShort
        ? missing("99 % travel", stopped)
        : ninetyNine === undefined
          ? missing("99 % travel", "the angle does not rise clearly through this level")
          : found("99 % travel", "angle", ninetyNine, "shapes fitted at the end of the travel"),
    last === undefined || stop === undefined
      ? missing("end of travel", lacksRest)
      : isShort
        ? missing("end of travel", stopped)
        : found("end of travel", "angle", stop, last.how),
  ];
}

/** Whether the record shows the ball at rest after the stroke. */
export function comesToRest(stroke: Stroke): boolean {
  return stroke.until - stroke.arrives >= leastRest && turnedAtEnd(stroke) === undefined;
}

/** How far the ball has turned where the record of the stroke ends at speed; undefined where it rests or falls back. */
function turnedAtEnd({ smooth, leaves, until, noise, step }: Stroke): number | undefined {
  // A record whose signal falls back has shown its highest reading.
  if (until < smooth.length) return undefined;
  const last = until - 1;
  const stretch = Math.max(leastEndSamples, Math.round(endStretch * (last - leaves)));
  if (last - leaves <= 2 * stretch) return undefined;
  const top = smooth[last] ?? 0;
  const rise = top - (smooth[last - stretch] ?? 0);
  const mean = (top / (last - leaves)) * stretch;
  const clear = Math.max(turningNoise * noise, 2 * step);
  return rise > Math.max(turningShare * mean, clear) ? top : undefined;
}

/** Why a time at the end of the travel is not known. */
function stillTurning(turned: number): string {
  return `the record ends while the ball still turns, ${((turned * 180) / Math.PI).toPrecision(3)} deg from where it began`;
}

/** Where the travel ends, as a height above the rough level of the first rest. */
interface FarEnd {
  readonly level: number;
  readonly levelUncertainty: number;
}

function travelInstant(
  side: Side,
  stroke: Stroke,
  share: number,
  rest: Rest,
  far: FarEnd,
): Instant | undefined {
  const travel = far.level - rest.level;
  const level = rest.level + share * travel;
  const u = Math.hypot((1 - share) * rest.levelUncertainty, share * far.levelUncertainty);
  const end = Math.min(stroke.arrives + leastRest, side.height.length);
  const time_s = side.time_s.subarray(0, end);
  const height = side.height.subarray(0, end);
  const half = Math.max(
    Math.min(halfHeight * travel, Math.max(stretchInNoise * rest.noise, leastHalfHeight * travel)),
    4 * rest.noise,
  );
  const stairs =
    side.step > 0 && rest.noise < coarse * side.step ? staircase(time_s, height, side, rest) : undefined;
  const samples =
    stairs !== undefined && passedSlowly(stairs, height, level, half)
      ? stairs
      : { time_s, value: height, noise: height.map(() => rest.noise), correlation: rest.correlation };
  const from = samples === stairs ? 0 : stroke.leaves;
  const rising = samples === stairs ? stairs.value : side.smooth;
  let near = from;
  while (near < samples.value.length - 1 && (rising[near] ?? 0) < level) near++;
  return passingInstant(samples, near, level, u, half);
}

function staircase(time_s: Float64Array, height: Float64Array, side: Side, rest: Rest): Samples {
  return { ...edges(time_s, height, side.step, 0, rest.highest), correlation: 1 };
}

/** True if the reading stands longer than a sample on each step: else the samples say more than the steps. */
function passedSlowly(stairs: Samples, height: Float64Array, level: number, half: number): boolean {
  const within = (values: ArrayLike<number>) =>
    Array.from(values).filter((value) => Math.abs(value - level) <= half).length;
  return within(stairs.value) <= 0.7 * within(height);
}

/** An instant of reversed time. */
function backwards(instant: Instant | undefined): Instant | undefined {
  if (instant === undefined) return undefined;
  const [low, high] = instant.interval95_s;
  return { ...instant, time_s: -instant.time_s, interval95_s: [-high, -low] };
}
