/**
 * The two ceilings of an opening time: the fastest opening that no friction at all would give, and
 * the slowest finite one before friction stalls the drive. No amount of friction explains a measured
 * time outside them.
 */
import { standstillCurrent } from "../physics/drive/index.js";
import {
  angleLoad,
  type LoadCurve,
  nodeValue,
  type Regime,
  type RigidTrain,
} from "../physics/motion/index.js";
import type { AngularDamping, Resistance, Torque } from "../quantity/index.js";

export interface Ceilings {
  /** Time without friction in valve, gears and motor; undefined if even that does not open [s]. */
  readonly fastest: number | undefined;
  /** Time just before friction stalls the drive; undefined if it stalls as it is [s]. */
  readonly slowest: number | undefined;
  /** Factor on all friction at which the drive stalls [-]. */
  readonly stallFactor: number | undefined;
}

/**
 * A train without friction: gears lossless, seats, packing, stem and motor free. The flow stays. What
 * is left, `settlingShare` of the torque at standstill, lets a ball that the flow holds half way come
 * to rest there instead of swinging about that angle for ever; it moves the time by less than its share.
 */
export function frictionless(train: RigidTrain): RigidTrain {
  const free: Regime = { ...train.lossless, friction: 0 as Torque };
  const { load, travel } = train;
  const current = standstillCurrent(
    train.openCircuitVoltage,
    (train.resistance + train.supplyResistance) as Resistance,
    train.currentLimit,
  );
  const left = (settlingShare * train.torqueConstant * current) / free.loadShare;
  const nothing = new Float64Array(load.count);
  const fluid = Float64Array.from(nothing, (_, j) => nodeValue(load, "fluid", j));
  return {
    ...train,
    dwellTorque: 0 as Torque,
    load: angleLoad(
      travel,
      nothing.map(() => left),
      nothing,
      fluid,
    ),
    motorFriction: 0 as Torque,
    motorDamping: 0 as AngularDamping,
    damping: 0 as AngularDamping,
    forward: free,
    starting: free,
    backward: free,
    lossless: free,
  };
}

/** Share of the standstill torque that is left to settle by [-]. */
const settlingShare = 1e-5;

/** A train with the valve's friction multiplied; the drive's own stays. */
export function scaledFriction(train: RigidTrain, factor: number): RigidTrain {
  const { load, travel } = train;
  const curve = (which: LoadCurve, scale: number) =>
    Float64Array.from({ length: load.count }, (_, j) => scale * nodeValue(load, which, j));
  return {
    ...train,
    dwellTorque: (factor * train.dwellTorque) as Torque,
    load: angleLoad(travel, curve("friction", factor), curve("excess", factor), curve("fluid", 1)),
  };
}

/** Factors tried at most before the drive is taken as never stalled by friction. */
const largestFactor = 1e4;
/**
 * The stalling factor is found within this share of itself. Much nearer to the cliff a stroke creeps
 * at the balance of drive and friction, which no valve holds so evenly.
 */
const stallResolution = 1e-4;

/** @param timeOf time of a stroke by the definition in question, NaN if it does not arrive [s] */
export function ceilingsOf(train: RigidTrain, timeOf: (train: RigidTrain) => number): Ceilings {
  const fastest = timeOf(frictionless(train));
  const given = fastest > 0 ? fastest : undefined;
  if (Number.isNaN(timeOf(train))) return { fastest: given, slowest: undefined, stallFactor: undefined };
  let low = 1;
  let high = 2;
  while (high < largestFactor && !Number.isNaN(timeOf(scaledFriction(train, high)))) {
    low = high;
    high *= 2;
  }
  if (high >= largestFactor) return { fastest: given, slowest: undefined, stallFactor: undefined };
  while (high - low > stallResolution * low) {
    const middle = 0.5 * (low + high);
    if (Number.isNaN(timeOf(scaledFriction(train, middle)))) high = middle;
    else low = middle;
  }
  return { fastest: given, slowest: timeOf(scaledFriction(train, low)), stallFactor: high };
}
