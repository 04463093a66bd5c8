/** Whether an update explains a run, and in plain words why not. */

import { timeDefinitions } from "../../physics/motion/index.js";
import { type Ceilings, ceilingsOf, flowMark, isDone, strokeOf, ValveSample } from "../../predict/index.js";
import { type Comparison, coverageFactor } from "./compare.js";
import type { JointSpace } from "./parameters.js";
import { type TimeLedger, timeAt } from "./share.js";
import type { Update } from "./update.js";
import type { UpdatedInput } from "./updated.js";

/** An update further than this many declared uncertainties is no longer what was declared. */
const incredibleShift = 3;
/** What is taken for granted has a long tail of its own; this far out it is as good as impossible. */
const incredibleTail = 5;
/** Misfit per independent stretch above which the histories are not explained; 1 is expected. */
const largestMisfit = 4;
/** Spread of the updated time that the linear update and the noise of the fit leave [-]. */
const updatedShare = 0.01;

/** Fastest and slowest time that any friction allows the updated valve of a run. */
export function ceilingsAt(
  space: JointSpace,
  run: number,
  z: Float64Array,
  definition: string,
): Ceilings | undefined {
  const fitted = space.runs[run];
  if (fitted === undefined) return undefined;
  const { plan, stroke: measured } = fitted;
  const sample = new ValveSample(plan);
  space.fill(run, z, sample.values);
  if (Number.isNaN(timeAt(plan, sample, measured.sense, definition))) return undefined;
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  const mark = flowMark(sample, measured.sense);
  return ceilingsOf(sample.train(), (train) => {
    const { stroke, times } = strokeOf(plan, sample, train, measured.sense, mark);
    return isDone(stroke, measured.sense, train.travel) === false ? Number.NaN : (times[index] ?? Number.NaN);
  });
}

const ms = (seconds: number) => `${(seconds * 1e3).toFixed(0)} ms`;

/** A time outside the ceilings is explained by no friction. @param delay_s before the drive was asked to move */
export function beyondCeiling(
  { measured_s, dataUncertainty_s }: Pick<Comparison, "measured_s" | "dataUncertainty_s">,
  ceilings: Ceilings | undefined,
  delay_s: number,
): readonly string[] {
  const reach = coverageFactor * dataUncertainty_s;
  const took = measured_s - delay_s;
  if (ceilings?.fastest !== undefined && took + reach < ceilings.fastest)
    return [
      `the test took ${ms(measured_s)}; without any friction the updated drive still needs ${ms(ceilings.fastest)}: no friction explains it`,
    ];
  if (ceilings?.slowest !== undefined && took - reach > ceilings.slowest)
    return [
      `the test took ${ms(measured_s)}; the slowest opening before friction stalls the updated drive takes ${ms(ceilings.slowest)}: no friction explains it`,
    ];
  return [];
}

/** A time that the update leaves over. */
export function leftOver(
  { unexplained_s, measured_s }: TimeLedger,
  dataUncertainty_s: number,
): readonly string[] {
  const reach = coverageFactor * Math.hypot(dataUncertainty_s, updatedShare * measured_s);
  if (Math.abs(unexplained_s) <= reach) return [];
  return [
    `${ms(Math.abs(unexplained_s))} stay unexplained, more than the ${ms(reach)} that the measurement leaves open`,
  ];
}

/** Inputs that would have to lie where nobody declared them. @param say an input's path in words */
export function incredible(inputs: readonly UpdatedInput[]): readonly string[] {
  return inputs.flatMap(({ path, shift, granted }) =>
    Math.abs(shift) <= (granted === undefined ? incredibleShift : incredibleTail)
      ? []
      : [
          `${path} would have to lie ${Math.abs(shift).toFixed(1)} declared uncertainties away from what was declared: either the declaration is wrong or something else is`,
        ],
  );
}

/** Histories that the updated model still misses, of one run or of all. */
export function missed({ channels }: Update, run?: number): readonly string[] {
  return channels
    .filter((one) => (run === undefined || one.run === run) && one.misfit > largestMisfit)
    .map(
      ({ channel, misfit }) =>
        `the updated model still misses the measured ${channel} by ${Math.sqrt(misfit).toFixed(1)} times what a model of this kind may be off`,
    );
}

/** A search that did not come to its end. */
export function unsettledWords({ unsettled }: Update): readonly string[] {
  return unsettled === undefined ? [] : [unsettled];
}

/** How late the drive was asked to move, as updated [s]. */
export function delayOf(space: JointSpace, run: number, z: Float64Array): number {
  return space.viewing(run, z).delay_s;
}
