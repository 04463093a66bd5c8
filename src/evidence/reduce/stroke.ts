/** One stroke of a log as the reduction reads it: events, speed and acceleration, stretches of travel. */
import { savitzkyGolayDerivative, savitzkyGolayWeights } from "../../numerics/index.js";
import type { Sense } from "../../predict/index.js";
import type { DetectedEvent } from "../event/index.js";
import type { StrokeMeasurement } from "../run/measure.js";
import type { LogRecord } from "./record.js";

/** A stroke with its motion on an even clock. */
export interface ReducedStroke {
  readonly sense: Sense;
  readonly events: readonly DetectedEvent[];
  /** Even [s]. */
  readonly time_s: Float64Array;
  /** Travel from the start, rising [rad], its rate [rad/s] and the rate of that [rad/s2]. */
  readonly travelled_rad: Float64Array;
  readonly speed_rad_s: Float64Array;
  readonly acceleration_rad_s2: Float64Array;
  /** Of one sample, from the noise of the angle. */
  readonly speedUncertainty_rad_s: number;
  readonly accelerationUncertainty_rad_s2: number;
  /** Travel of the whole stroke [rad]. */
  readonly travel_rad: number;
}

/** Half of the window over which speed and acceleration are taken [s]: short against a stroke, long against noise. */
const halfWindow_s = 0.015;
const leastHalfWidth = 3;
const degree = 3;

/** The instant of an event, or undefined where it was not found. */
export function instantOf(events: readonly DetectedEvent[], id: string) {
  const event = events.find((one) => one.id === id);
  return event?.found === true ? event : undefined;
}

/** Reads the motion of a stroke; undefined where the ball does not move, or the record is too short. */
export function reducedStroke(record: LogRecord, measurement: StrokeMeasurement): ReducedStroke | undefined {
  const { detection, events } = measurement;
  const { sense, rests } = detection;
  const angle = record.values("angle");
  const first = instantOf(events, "first motion");
  const last = instantOf(events, "end of travel") ?? instantOf(events, "90 % travel");
  if (
    sense === undefined ||
    rests === undefined ||
    angle === undefined ||
    first === undefined ||
    last === undefined
  )
    return undefined;
  const interval = record.interval_s();
  const halfWidth = Math.max(leastHalfWidth, Math.round(halfWindow_s / interval));
  const lag = record.lag("angle").lag_s;
  const from = first.time_s - 4 * halfWidth * interval;
  const count = Math.floor((last.time_s + 4 * halfWidth * interval - from) / interval) + 1;
  if (count < 2 * halfWidth + 2) return undefined;
  const way = sense === "opening" ? 1 : -1;
  const time_s = Float64Array.from({ length: count }, (_, i) => from + i * interval);
  const travelled = straightBetween(record.time_s, angle, time_s).map((a) => way * (a - rests.from_rad));
  const derivative = (order: number) =>
    savitzkyGolayDerivative(travelled, interval, { halfWidth, degree, derivative: order }).values;
  const noise = detection.noise.angle ?? 0;
  const spread = (order: number) =>
    (noise * Math.hypot(...savitzkyGolayWeights(halfWidth, degree, order))) / interval ** order;
  return {
    sense,
    events,
    time_s: time_s.map((t) => t - lag),
    travelled_rad: travelled,
    speed_rad_s: derivative(1),
    acceleration_rad_s2: derivative(2),
    speedUncertainty_rad_s: spread(1),
    accelerationUncertainty_rad_s2: spread(2),
    travel_rad: Math.abs(rests.to_rad - rests.from_rad),
  };
}

/** Values at ascending instants, straight between the samples, over gaps too. */
function straightBetween(time: Float64Array, values: Float64Array, at: Float64Array): Float64Array {
  const known: number[] = [];
  for (let i = 0; i < time.length; i++) if (Number.isFinite(values[i])) known.push(i);
  let k = 0;
  return at.map((t) => {
    while (k < known.length - 2 && (time[known[k + 1] ?? 0] ?? 0) < t) k++;
    const a = known[k] ?? 0;
    const b = known[k + 1] ?? a;
    const [ta = 0, tb = 0, va = 0, vb = 0] = [time[a], time[b], values[a], values[b]];
    const share = tb > ta ? Math.min(Math.max((t - ta) / (tb - ta), 0), 1) : 0;
    return va + (vb - va) * share;
  });
}

/** A stretch of travel: its instants, mean speed and mean acceleration. */
export interface Stretch {
  readonly from_s: number;
  readonly to_s: number;
  readonly speed: number;
  readonly acceleration: number;
  readonly samples: number;
}

/** The stretch between two shares of the travel; undefined where the stroke does not pass it. */
export function stretchBetween(stroke: ReducedStroke, from: number, to: number): Stretch | undefined {
  const { time_s, travelled_rad, travel_rad } = stroke;
  const a = travelled_rad.findIndex((x) => x >= from * travel_rad);
  const b = travelled_rad.findIndex((x) => x >= to * travel_rad);
  if (a < 1 || b <= a) return undefined;
  const part = (values: Float64Array) =>
    values.subarray(a, b + 1).reduce((sum, v) => sum + v, 0) / (b + 1 - a);
  return {
    from_s: time_s[a] ?? 0,
    to_s: time_s[b] ?? 0,
    speed: part(stroke.speed_rad_s),
    // The mean of a derivative is the change of what it derives over the time.
    acceleration:
      ((stroke.speed_rad_s[b] ?? 0) - (stroke.speed_rad_s[a] ?? 0)) / ((time_s[b] ?? 0) - (time_s[a] ?? 0)),
    samples: b + 1 - a,
  };
}
