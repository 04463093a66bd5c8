/**
 * What the drive can do with the margins of a schedule, at the slow end of a band (docs/theory/schedule.md).
 *
 * With the share q of the torque, and the friction F of the ball at rest, since it may stop at any opening,
 *
 *   gain   a_0 = c (q T(0) - F - s H) / I
 *   speed  q T(v_0) = F + s H + B v_0
 *   loss   a_b = (q k i_max + c' min(0, f + s H)) / I
 *
 * T the torque of the drive at the stem, f friction in motion, H the fluid's torque towards closed. Each is what
 * the samples have with the wanted probability, opening by opening: together slower than any one valve of them.
 */
import { quantileOfSorted } from "../numerics/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import type { DriveLimits, SenseLimits } from "../physics/schedule/index.js";
import { availableTorque } from "./margin.js";
import { openings, type ValveSample } from "./valveSample.js";

/** The limits of one sample, after `updateTorque`. @param torqueShare of the drive's torque [-] */
export function limitsOf(
  sample: ValveSample,
  train: RigidTrain,
  torqueShare: number,
): Omit<DriveLimits, "speedShare"> {
  return {
    spacing: train.travel / (openings - 1),
    opening: senseLimits(sample, train, torqueShare, 1),
    closing: senseLimits(sample, train, torqueShare, -1),
  };
}

function senseLimits(
  sample: ValveSample,
  train: RigidTrain,
  torqueShare: number,
  sense: 1 | -1,
): SenseLimits {
  const column = () => new Float64Array(openings);
  const [speed, gain, loss] = [column(), column(), column()];
  const { forward, backward } = train;
  const inertia = Math.max(forward.inertia, backward.inertia);
  const held = Math.min(
    train.openCircuitVoltage / (train.resistance + train.supplyResistance),
    train.currentLimit,
  );
  const standstill = availableTorque(train, 0);
  for (let j = 0; j < openings; j++) {
    const fluid = sense * (sample.fluidTorque[j] ?? 0);
    const resists = (sample.breakaway[j] ?? 0) + fluid;
    const drives = Math.min((sample.running[j] ?? 0) + fluid, 0);
    speed[j] = speedWithoutSurplus(train, torqueShare, resists);
    gain[j] = (forward.loadShare * (torqueShare * standstill - resists)) / inertia;
    loss[j] = (torqueShare * train.torqueConstant * held + backward.loadShare * drives) / inertia;
  }
  return { speed, gain, loss };
}

/**
 * Speed at which a share of the torque is what turning takes: the smaller one of two straight lines, one for the full
 * voltage and one for the current limit [rad/s].
 */
function speedWithoutSurplus(train: RigidTrain, share: number, resists: number): number {
  const { forward, ratio, torqueConstant: k } = train;
  const resistance = train.resistance + train.supplyResistance;
  const at = (torque: number, perSpeed: number) =>
    ((share * (torque - forward.friction)) / forward.loadShare - resists) /
    ((share * perSpeed) / forward.loadShare + train.damping);
  const damping = train.motorDamping * ratio;
  return Math.max(
    Math.min(
      at((k * train.openCircuitVoltage) / resistance, (k * k * ratio) / resistance + damping),
      at(k * train.currentLimit, damping),
    ),
    0,
  );
}

/** What some samples have with a probability, and no more than the nominal one; they are all alike in their openings. */
export function slowEnd(
  samples: readonly Omit<DriveLimits, "speedShare">[],
  nominal: Omit<DriveLimits, "speedShare">,
  chance: number,
): Omit<DriveLimits, "speedShare"> {
  if (samples.length === 0) return nominal;
  const column = (pick: (limits: Omit<DriveLimits, "speedShare">) => Float64Array) => {
    const values = new Float64Array(samples.length);
    return Float64Array.from({ length: openings }, (_, j) => {
      for (let i = 0; i < samples.length; i++) values[i] = pick(samples[i] ?? nominal)[j] ?? Number.NaN;
      return Math.min(quantileOfSorted(values.toSorted(), 1 - chance), pick(nominal)[j] ?? 0);
    });
  };
  const sense = (of: "opening" | "closing"): SenseLimits => ({
    speed: column((limits) => limits[of].speed),
    gain: column((limits) => limits[of].gain),
    loss: column((limits) => limits[of].loss),
  });
  return { spacing: nominal.spacing, opening: sense("opening"), closing: sense("closing") };
}
