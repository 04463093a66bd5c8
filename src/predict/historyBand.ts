/**
 * The band of the histories of a stroke: at each instant since the command, between which values angle,
 * speed, current, supply voltage and flow lie in the central share of the samples.
 *
 * The band is read instant by instant: no single stroke need follow its edge. A stroke that stalls stays
 * in the sample with the angle it stalls at.
 */
import { Refusal } from "../fault/index.js";
import { quantileOfSorted, sobolBlock } from "../numerics/index.js";
import { StrokePath } from "../physics/motion/index.js";
import { bandCoverage } from "./band.js";
import { valuesAt } from "./inputs.js";
import { flowAt } from "./nominal.js";
import { isAnswerable, type Plan } from "./plan.js";
import { flowMark, type Sense, strokeOf } from "./strokes.js";
import { supplyVoltage } from "./supply.js";
import { ValveSample } from "./valveSample.js";

export type HistoryChannel = "angle" | "speed" | "current" | "supply voltage" | "flow";

/** Values at the instants of the band, SI; NaN where a value does not exist. */
interface ChannelBand {
  readonly nominal: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

export interface HistoryBand {
  readonly sense: Sense;
  /** Since the command [s]. */
  readonly time_s: readonly number[];
  /** Strokes behind the band. */
  readonly samples: number;
  /** Share of the strokes between the edges [-]. */
  readonly coverage: number;
  readonly channels: Readonly<Record<HistoryChannel, ChannelBand>>;
}

/** Instants of a band. */
const instants = 161;
/** Speed, current and voltage are those of the strokes still in motion: with fewer than this share of them no band. */
const leastMoving = 0.5;
/** The band goes on for this many nominal strokes; a stalled one is followed this long [s]. */
const beyond = 1.5;
const stalledFor_s = 1;

/**
 * The band of one sense; undefined where the motion is not known.
 * @param sampling  seed and number of strokes, 1 or more
 * Source           docs/theory/uncertainty.md; quantiles as order statistics
 */
export function historyBand(
  plan: Plan,
  sense: Sense,
  { seed, samples }: { readonly seed: number; readonly samples: number },
): HistoryBand | undefined {
  if (!isAnswerable(plan, "motion")) return undefined;
  const { space } = plan;
  const sample = new ValveSample(plan);
  const path = new StrokePath();
  const d = Math.max(space.inputs.length, 1);
  const points = sobolBlock(0, samples, d, seed);
  sample.values.set(space.nominal);
  const nominalEnd = runInto(plan, sample, sense, path);
  const end = nominalEnd === undefined ? stalledFor_s : beyond * nominalEnd;
  const time_s = Array.from({ length: instants }, (_, j) => (end * j) / (instants - 1));
  const nominal = valuesOf(sample, path, time_s, nominalEnd);
  const drawn: (typeof nominal)[] = [];
  for (let i = 0; i < samples; i++) {
    valuesAt(space, points.subarray(i * d, (i + 1) * d), sample.values);
    try {
      const arrival = runInto(plan, sample, sense, path);
      drawn.push(valuesOf(sample, path, time_s, arrival));
    } catch (thrown) {
      // A sample that no valve can be has no stroke.
      if (!(thrown instanceof Refusal)) throw thrown;
    }
  }
  const bandOf = (channel: HistoryChannel): ChannelBand => ({
    nominal: [...nominal[channel]],
    ...edgesOf(drawn.map((one) => one[channel])),
  });
  const channels = {
    angle: bandOf("angle"),
    speed: bandOf("speed"),
    current: bandOf("current"),
    "supply voltage": bandOf("supply voltage"),
    flow: bandOf("flow"),
  };
  return { sense, time_s, samples: drawn.length, coverage: bandCoverage, channels };
}

/** Runs the stroke of the sample's present values. @returns its arrival [s], undefined where it does not arrive */
function runInto(plan: Plan, sample: ValveSample, sense: Sense, path: StrokePath): number | undefined {
  sample.updateFlow();
  sample.updateTorque();
  path.clear();
  const { stroke } = strokeOf(plan, sample, sample.train(), sense, flowMark(sample, sense), { path });
  return stroke.arrival;
}

function valuesOf(
  sample: ValveSample,
  path: StrokePath,
  time_s: readonly number[],
  arrival: number | undefined,
): Record<HistoryChannel, Float64Array> {
  const n = time_s.length;
  const [angle, speed, current] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  path.sample(time_s, angle, speed, current);
  const train = sample.train();
  const voltage = Float64Array.from(current, (i, j) => supplyVoltage(train, i, speed[j] ?? 0));
  const flow = Float64Array.from(angle, (a) => flowAt(sample, a));
  // At the arrival the model of the stroke ends: what stop and driver do then is not its matter.
  for (let j = 0; j < n; j++)
    if (arrival !== undefined && (time_s[j] ?? 0) > arrival) speed[j] = current[j] = voltage[j] = Number.NaN;
  return { angle, speed, current, "supply voltage": voltage, flow };
}

function edgesOf(drawn: readonly Float64Array[]): { readonly low: number[]; readonly high: number[] } {
  const tail = (1 - bandCoverage) / 2;
  const low: number[] = [];
  const high: number[] = [];
  for (let j = 0; j < instants; j++) {
    const values = drawn.map((one) => one[j] ?? Number.NaN).filter(Number.isFinite);
    const isEnough = values.length > 0 && values.length >= leastMoving * drawn.length;
    const sorted = Float64Array.from(values).sort();
    low.push(isEnough ? quantileOfSorted(sorted, tail) : Number.NaN);
    high.push(isEnough ? quantileOfSorted(sorted, 1 - tail) : Number.NaN);
  }
  return { low, high };
}
