/** What the channels of a log would show of a simulated stroke, at the instants at which they were measured. */
import { StrokePath } from "../../physics/motion/index.js";
import {
  flowMark,
  type Plan,
  type Sense,
  strokeOf,
  supplyVoltage,
  type ValveSample,
} from "../../predict/index.js";
import { WindowMean } from "./average.js";
import { type MeasuredHistory, type MeasuredStroke, windowOf } from "./measured.js";

/** How the log sees the stroke. */
export interface Viewing {
  /** The command reached the driver so much later than the log's zero, clock and delay together [s]. */
  readonly delay_s: number;
  /** Time constant of the angle sensor, taken as of first order [s]. */
  readonly angleLag_s: number;
}

/** A log whose zero is the command, and sensors that follow. */
export const plainViewing: Viewing = { delay_s: 0, angleLag_s: 0 };

/** What a simulated stroke shows at the measured instants, a column for each history. */
export type Simulated = readonly Float64Array[];

/** Simulations inside a fit run this tight, so that differences between them are meaningful. */
export const fitTolerance = 1e-6;
/** Followed so much longer than the record, so that a late stroke has its end [s]. */
const beyond_s = 0.05;

/**
 * Simulates the stroke at the present values of a sample and reads the channels at the measured instants.
 * @param tolerance of the simulation; `fitTolerance` where differences are taken [-]
 */
export function simulateAt(
  plan: Plan,
  sample: ValveSample,
  stroke: MeasuredStroke,
  viewing: Viewing,
  tolerance: number = fitTolerance,
): Simulated {
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const path = new StrokePath();
  const horizon = longest(stroke.histories);
  strokeOf(plan, sample, train, stroke.sense, flowMark(sample, stroke.sense), { path, tolerance, horizon });
  const times = readingTimes(path, horizon, narrowest(stroke.histories) / readingsPerWindow);
  const angle = new Float64Array(times.length);
  const speed = new Float64Array(times.length);
  const current = new Float64Array(times.length);
  path.sample(times, angle, speed, current);
  return stroke.histories.map((history) => {
    const means = new WindowMean(times, shown(history.channel));
    const centres = history.time_s.map((t) => t - viewing.delay_s);
    return means.at(centres, windowOf(history));
  });

  function shown(channel: MeasuredHistory["channel"]): Float64Array {
    switch (channel) {
      case "angle":
        return lagged(times, travelled(angle, stroke.sense, train.travel), viewing.angleLag_s);
      case "current":
        return current.map(Math.abs);
      case "supply voltage":
        return current.map((i, j) => supplyVoltage(train, i, speed[j] ?? 0));
      case "pressure drop":
        return angle.map((a) => dropAt(sample, a));
    }
  }
}

/** A window holds so many readings at least: between two of them a channel is close to straight. */
const readingsPerWindow = 8;
/** No closer than a few electrical time constants [s]. */
const leastReading_s = 4e-4;

/** Even readings, and where the path has corners. */
function readingTimes(path: StrokePath, horizon: number, wanted: number): Float64Array {
  const step = Math.max(wanted, leastReading_s);
  const knots = path.knots();
  const even = Math.ceil(horizon / step);
  const times = new Float64Array(knots.length + even);
  let k = 0;
  let n = 0;
  for (let j = 0; j < times.length; j++) {
    const next = n * step;
    if (k < knots.length && (n >= even || (knots[k] ?? 0) <= next)) times[j] = knots[k++] ?? 0;
    else {
      times[j] = next;
      n++;
    }
  }
  return times;
}

function narrowest(histories: readonly MeasuredHistory[]): number {
  return histories.reduce((least, history) => Math.min(least, windowOf(history)), 1);
}

/** Angles are compared as travel from the start of the stroke, so that a sensor's zero does not matter. */
function travelled(angle: Float64Array, sense: Sense, travel: number): Float64Array {
  return sense === "opening" ? angle : angle.map((a) => travel - a);
}

/**
 * A sensor of first order, tau y' = x - y, exact for an input that is straight between readings:
 *
 *   y_1 = x_1 - m tau + (y_0 - x_0 + m tau) exp(-h/tau),   m the slope of x
 */
export function lagged(times: Float64Array, values: Float64Array, tau: number): Float64Array {
  if (!(tau > 0)) return values;
  const out = Float64Array.from(values);
  for (let j = 1; j < out.length; j++) {
    const h = (times[j] ?? 0) - (times[j - 1] ?? 0);
    const x0 = values[j - 1] ?? 0;
    const x1 = values[j] ?? 0;
    const y0 = out[j - 1] ?? 0;
    const creep = h > 0 ? (tau * (x1 - x0)) / h : 0;
    out[j] = h > 0 ? x1 - creep + (y0 - x0 + creep) * Math.exp(-h / tau) : y0;
  }
  return out;
}

/** Drop across the valve at an opening, quasi-steady [Pa]. */
function dropAt({ angles, drop }: ValveSample, angle: number): number {
  const step = angles[1] ?? 1;
  const last = angles.length - 1;
  const x = Math.min(Math.max(angle / step, 0), last);
  const j = Math.min(Math.floor(x), last - 1);
  const low = drop[j] ?? 0;
  return low + (x - j) * ((drop[j + 1] ?? 0) - low);
}

function longest(histories: readonly MeasuredHistory[]): number {
  return histories.reduce((end, { time_s }) => Math.max(end, time_s[time_s.length - 1] ?? 0), 0) + beyond_s;
}
