/**
 * Trains of the tests in the words of a data sheet: motor, stages, curves. `trainOf` makes of one what
 * the engine runs; secondSolution.ts solves its equations without the engine.
 */
import { type GearStage, gearTrain } from "../../../src/physics/drive/index.js";
import { angleLoad, type RigidTrain } from "../../../src/physics/motion/index.js";
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  Current,
  Inductance,
  Inertia,
  Resistance,
  Time,
  Torque,
  TorqueConstant,
  Voltage,
} from "../../../src/quantity/index.js";

export interface PlainStage {
  readonly ratio: number;
  readonly efficiency: number;
  /** As `efficiency` where it is left out. */
  readonly startingEfficiency?: number;
  readonly backEfficiency: number;
  readonly noLoadTorque: number;
  readonly inertia: number;
}

/** SI throughout; curves over the travel, closed to open. */
export interface PlainTrain {
  readonly resistance: number;
  readonly inductance: number;
  readonly torqueConstant: number;
  readonly motorDamping: number;
  readonly motorFriction: number;
  readonly rotorInertia: number;
  readonly voltage: number;
  readonly supplyResistance: number;
  readonly currentLimit: number;
  readonly deadTime: number;
  readonly stages: readonly PlainStage[];
  readonly loadInertia: number;
  readonly damping: number;
  readonly stribeckSpeed: number;
  readonly dwellTorque: number;
  readonly travel: number;
  readonly restitution: number;
  /** At equally spaced angles, all of one length >= 2. */
  readonly friction: readonly number[];
  readonly excess: readonly number[];
  readonly fluid: readonly number[];
}

export const quarterTurn = Math.PI / 2;

/** A stage that loses the same both ways. */
export function stage(ratio: number, efficiency: number, noLoadTorque = 0, inertia = 0): PlainStage {
  const backEfficiency = Math.max(2 - 1 / efficiency, 0);
  return { ratio, efficiency, startingEfficiency: efficiency, backEfficiency, noLoadTorque, inertia };
}

/** Values of a curve at equally spaced shares of the travel, 0 to 1. */
export function curve(count: number, at: (share: number) => number): number[] {
  return Array.from({ length: count }, (_, j) => at(j / (count - 1)));
}

/** An invented DN32 valve on a 24 V motor with one planetary stage: opens in about 0.37 s. */
export const ordinary: PlainTrain = {
  resistance: 0.8,
  inductance: 0.4e-3,
  torqueConstant: 0.042,
  motorDamping: 4e-6,
  motorFriction: 6e-3,
  rotorInertia: 8e-6,
  voltage: 24,
  supplyResistance: 0,
  currentLimit: Number.POSITIVE_INFINITY,
  deadTime: 0,
  stages: [stage(120, 0.72)],
  loadInertia: 2e-3,
  damping: 0,
  stribeckSpeed: 0.05,
  dwellTorque: 0,
  travel: quarterTurn,
  restitution: 0,
  friction: curve(9, (x) => 10.5 + 4.5 * Math.cos(Math.PI * x)),
  excess: curve(9, (x) => 4.2 + 1.8 * Math.cos(Math.PI * x)),
  fluid: curve(9, () => 0),
};

export function trainOf(plain: PlainTrain): RigidTrain {
  const stages = plain.stages.map((one) => ({
    ...(one as PlainStage & GearStage),
    startingEfficiency: one.startingEfficiency ?? one.efficiency,
  }));
  return {
    resistance: plain.resistance as Resistance,
    inductance: plain.inductance as Inductance,
    torqueConstant: plain.torqueConstant as TorqueConstant,
    motorDamping: plain.motorDamping as AngularDamping,
    motorFriction: plain.motorFriction as Torque,
    openCircuitVoltage: plain.voltage as Voltage,
    supplyResistance: plain.supplyResistance as Resistance,
    currentLimit: plain.currentLimit as Current,
    deadTime: plain.deadTime as Time,
    ...gearTrain(
      plain.rotorInertia as Inertia,
      plain.motorFriction as Torque,
      plain.loadInertia as Inertia,
      stages,
    ),
    damping: plain.damping as AngularDamping,
    stribeckSpeed: plain.stribeckSpeed as AngularSpeed,
    dwellTorque: plain.dwellTorque as Torque,
    travel: plain.travel as Angle,
    restitution: plain.restitution,
    load: angleLoad(
      plain.travel as Angle,
      Float64Array.from(plain.friction),
      Float64Array.from(plain.excess),
      Float64Array.from(plain.fluid),
    ),
  };
}
