/** What the channels of a log would show of a simulated stroke, at the instants at which they were measured. */
import { StrokePath } from "../../physics/motion/index.js";
import { flowMark, type Plan, strokeOf, supplyVoltage, type ValveSample } from "../../predict/index.js";
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

/** Simulates strokes of one run and reads the channels at the measured instants. Its buffers serve every stroke. */
export class StrokeObserver {
  private readonly path = new StrokePath();
  private readonly means = new WindowMean();
  private readonly seen: readonly Float64Array[];
  private readonly horizon: number;
  private readonly step: number;
  /** Of readings: their instants, the states, and one channel [s], [rad], [rad/s], [A]. */
  private time = new Float64Array(0);
  private angle = new Float64Array(0);
  private speed = new Float64Array(0);
  private current = new Float64Array(0);
  private channel = new Float64Array(0);

  /** @param tolerance of the simulation; `fitTolerance` where differences are taken [-] */
  constructor(
    private readonly plan: Plan,
    private readonly stroke: MeasuredStroke,
    private readonly tolerance: number = fitTolerance,
  ) {
    const { histories } = stroke;
    this.seen = histories.map(({ time_s }) => new Float64Array(time_s.length));
    this.horizon = longest(histories);
    this.step = Math.max(narrowest(histories) / readingsPerWindow, leastReading_s);
  }

  /** The stroke at the present values of a sample. @returns buffers that the next call uses again */
  at(sample: ValveSample, viewing: Viewing): Simulated {
    const { plan, stroke, path, tolerance, horizon } = this;
    sample.updateFlow();
    sample.updateTorque();
    const train = sample.train();
    strokeOf(plan, sample, train, stroke.sense, flowMark(sample, stroke.sense), { path, tolerance, horizon });
    const count = this.setTimes();
    const [time, angle, speed, current, channel] = [
      this.time.subarray(0, count),
      this.angle.subarray(0, count),
      this.speed.subarray(0, count),
      this.current.subarray(0, count),
      this.channel.subarray(0, count),
    ];
    path.sample(time, angle, speed, current);
    stroke.histories.forEach((history, h) => {
      switch (history.channel) {
        case "angle":
          // Angles are compared as travel from the start, so that a sensor's zero does not matter.
          for (let j = 0; j < count; j++) {
            const a = angle[j] as number;
            channel[j] = stroke.sense === "opening" ? a : train.travel - a;
          }
          lag(time, channel, viewing.angleLag_s);
          break;
        case "current":
          for (let j = 0; j < count; j++) channel[j] = Math.abs(current[j] as number);
          break;
        case "supply voltage":
          for (let j = 0; j < count; j++)
            channel[j] = supplyVoltage(train, current[j] as number, speed[j] as number);
          break;
        case "pressure drop":
          for (let j = 0; j < count; j++) channel[j] = dropAt(sample, angle[j] as number);
      }
      this.means.of(time, channel).at(history.time_s, windowOf(history), viewing.delay_s, this.seen[h]);
    });
    return this.seen;
  }

  /** Even readings, and where the path has corners. @returns how many */
  private setTimes(): number {
    const { path, step, horizon } = this;
    const knots = path.knots();
    const even = Math.ceil(horizon / step);
    const count = knots.length + even;
    if (this.time.length < count) {
      const size = 2 * count;
      this.time = new Float64Array(size);
      this.angle = new Float64Array(size);
      this.speed = new Float64Array(size);
      this.current = new Float64Array(size);
      this.channel = new Float64Array(size);
    }
    let k = 0;
    let n = 0;
    for (let j = 0; j < count; j++) {
      const next = n * step;
      if (k < knots.length && (n >= even || (knots[k] as number) <= next))
        this.time[j] = knots[k++] as number;
      else {
        this.time[j] = next;
        n++;
      }
    }
    return count;
  }
}

/** A window holds so many readings at least: between two of them a channel is close to straight. */
const readingsPerWindow = 8;
/** No closer than a few electrical time constants [s]. */
const leastReading_s = 4e-4;

function narrowest(histories: readonly MeasuredHistory[]): number {
  return histories.reduce((least, history) => Math.min(least, windowOf(history)), 1);
}

/**
 * A sensor of first order, tau y' = x - y, exact for an input that is straight between readings:
 *
 *   y_1 = x_1 - m tau + (y_0 - x_0 + m tau) exp(-h/tau),   m the slope of x
 */
export function lagged(times: Float64Array, values: Float64Array, tau: number): Float64Array {
  const out = Float64Array.from(values);
  lag(times, out, tau);
  return out;
}

/** The same in place. */
function lag(times: Float64Array, values: Float64Array, tau: number): void {
  if (!(tau > 0)) return;
  let x0 = values[0] ?? 0;
  let y0 = x0;
  for (let j = 1; j < values.length; j++) {
    const h = (times[j] as number) - (times[j - 1] as number);
    const x1 = values[j] as number;
    if (h > 0) {
      const creep = (tau * (x1 - x0)) / h;
      y0 = x1 - creep + (y0 - x0 + creep) * Math.exp(-h / tau);
      values[j] = y0;
    } else values[j] = y0;
    x0 = x1;
  }
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
