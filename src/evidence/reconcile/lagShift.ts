/**
 * How much later a slow angle sensor makes a log show a time. Behind a steady motion it is just the
 * sensor's lag; at the end of travel, where the reading creeps up to the stop, it is several times
 * that. The event engine that reads the log reads the simulated angle too, with and without the lag.
 */
import { randomStream } from "../../numerics/index.js";
import { StrokePath, timeDefinitions } from "../../physics/motion/index.js";
import { flowMark, strokeOf, ValveSample } from "../../predict/index.js";
import type { Angle } from "../../quantity/index.js";
import { detectEvents, openingTimes } from "../event/index.js";
import { fitTolerance, lagged } from "./observe.js";
import type { JointSpace } from "./parameters.js";

/** A lag below this delays every time by just itself, within what can be told [s]. */
const noticeableLag_s = 3e-3;
/** Readings of the simulated sensor, as a usual logger takes them [s]. */
const reading_s = 1e-3;
/** Shown before the command and after the end of travel [s]; at the end so many lags more. */
const before_s = 0.3;
const after_s = 0.3;
const lagsAfter = 8;
/** Least noise of a sensor: without any the detector has nothing to go by [rad]. */
const leastNoise_rad = 1e-4;

/**
 * Delay of a time by the lag of the angle sensor, at the independent scores of an update [s].
 * @param definition id of the time
 */
export function lagShift(space: JointSpace, run: number, z: Float64Array, definition: string): number {
  const fitted = space.runs[run];
  const { angleLag_s: lag } = space.viewing(run, z);
  if (fitted === undefined || lag < noticeableLag_s) return lag;
  const { plan, stroke } = fitted;
  const sample = new ValveSample(plan);
  space.fill(run, z, sample.values);
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const path = new StrokePath();
  const mark = flowMark(sample, stroke.sense);
  const { arrival } = strokeOf(plan, sample, train, stroke.sense, mark, {
    path,
    tolerance: fitTolerance,
  }).stroke;
  if (arrival === undefined) return lag;
  const count = Math.round((before_s + arrival + after_s + lagsAfter * lag) / reading_s);
  const time = Float64Array.from({ length: count }, (_, i) => i * reading_s - before_s);
  const angle = new Float64Array(count);
  path.sample(time, angle, new Float64Array(count), new Float64Array(count));
  const sigma = Math.max(
    stroke.histories.find(({ channel }) => channel === "angle")?.noise ?? 0,
    leastNoise_rad,
  );
  const found = (shown: Float64Array): number | undefined => {
    const stream = randomStream(1, 3);
    const { events } = detectEvents(
      {
        time_s: time,
        angle_rad: shown.map((value) => value + sigma * stream.normal()),
        command: time.map((t) => (t >= 0 ? 1 : 0)),
      },
      { travel_rad: train.travel as Angle },
    );
    const [only] = openingTimes(
      events,
      timeDefinitions.filter(({ id }) => id === definition),
    );
    return only?.known === true ? only.value_s : undefined;
  };
  const late = found(lagged(time, angle, lag));
  const prompt = found(angle);
  return late === undefined || prompt === undefined ? lag : late - prompt;
}
