/** What the model says of a torque that was measured: nominal and band at the conditions of the case. */
import { latinHypercube, quantileOfSorted } from "../../numerics/index.js";
import { isAnswerable, type Plan, type Sense, ValveSample, valuesAt } from "../../predict/index.js";

/** A predicted torque, its band carries 95 % [N m]. */
export interface PredictedTorque {
  readonly nominal_Nm: number;
  readonly low_Nm: number;
  readonly high_Nm: number;
}

const samples = 400;
const seed = 1;

/**
 * Torque at the stem that the model predicts: at the start of a stroke, and the mean running torque over
 * 40 to 60 % of the travel.
 * @returns undefined where the torque is not known
 */
export function predictedTorque(
  plan: Plan,
  sense: Sense,
  what: "breakaway" | "running",
): PredictedTorque | undefined {
  if (!isAnswerable(plan, "torque")) return undefined;
  const sample = new ValveSample(plan);
  const torque = () => {
    sample.updateFlow();
    sample.updateTorque();
    return what === "breakaway" ? startOf(sample, sense) : runningOf(sample, sense);
  };
  const nominal = torque();
  const d = Math.max(plan.space.inputs.length, 1);
  const points = latinHypercube(seed, samples, d);
  const values = Float64Array.from({ length: samples }, (_, i) => {
    valuesAt(plan.space, points.slice(i * d, (i + 1) * d), sample.values);
    return torque();
  })
    .filter(Number.isFinite)
    .sort();
  if (values.length === 0) return undefined;
  return {
    nominal_Nm: nominal,
    low_Nm: quantileOfSorted(values, 0.025),
    high_Nm: quantileOfSorted(values, 0.975),
  };
}

function startOf(sample: ValveSample, sense: Sense): number {
  const { breakaway, fluidTorque } = sample;
  const at = sense === "opening" ? 0 : breakaway.length - 1;
  const dwell = sense === "opening" ? sample.dwellTorqueAt(0) : 0;
  const fluid = (sense === "opening" ? 1 : -1) * (fluidTorque[at] ?? 0);
  return (breakaway[at] ?? 0) + dwell + fluid;
}

function runningOf(sample: ValveSample, sense: Sense): number {
  const { running, fluidTorque } = sample;
  const last = running.length - 1;
  let sum = 0;
  let count = 0;
  for (let j = Math.ceil(0.4 * last); j <= Math.floor(0.6 * last); j++) {
    sum += (running[j] ?? 0) + (sense === "opening" ? 1 : -1) * (fluidTorque[j] ?? 0);
    count++;
  }
  return sum / count;
}
