/**
 * What each part brings to the rigid train, as numbers of one sample at the temperatures of the case:
 * motor, gear stages, supply and driver. The train is put together of them here, whether they come from
 * one sample of a dossier or, in a search, each from the sample of another one.
 */
import { type GearStage, gearTrain, type MotorThermal } from "../physics/drive/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import type {
  AngularDamping,
  Current,
  HeatCapacity,
  Inductance,
  Inertia,
  Resistance,
  ThermalResistance,
  Time,
  Torque,
  TorqueConstant,
  Voltage,
} from "../quantity/index.js";
import type { Plan } from "./plan.js";

/** A motor at its temperature. */
export interface MotorValues {
  readonly resistance: Resistance;
  readonly inductance: Inductance;
  readonly torqueConstant: TorqueConstant;
  readonly inertia: Inertia;
  readonly friction: Torque;
  readonly damping: AngularDamping;
  /** Its fields are not numbers where they are not known. */
  readonly thermal: MotorThermal;
}

export interface SupplyValues {
  readonly openCircuitVoltage: Voltage;
  /** Battery, cable and connectors. */
  readonly resistance: Resistance;
}

export interface DriverValues {
  readonly currentLimit: Current;
  readonly deadTime: Time;
}

/** Everything that drives the valve. */
export interface DriveValues {
  readonly motor: MotorValues;
  /** From motor to stem. */
  readonly stages: readonly GearStage[];
  readonly supply: SupplyValues;
  readonly driver: DriverValues;
}

/** What a valve sample brings to the train: its load, and what moves with the ball. */
export type LoadValues = Pick<
  RigidTrain,
  "load" | "damping" | "stribeckSpeed" | "dwellTorque" | "travel" | "restitution"
> & { readonly inertia: Inertia };

/** What the drive is read from: a sample of a dossier. */
interface DriveSample {
  readonly plan: Plan;
  /** Value of a slot, SI; not a number where it is not known. */
  at(slot: number): number;
  windingResistance(): Resistance;
  torqueConstant(): TorqueConstant;
  supplyResistance(): Resistance;
}

/** The motor of a sample's dossier. */
export function motorValues(sample: DriveSample): MotorValues {
  const { slots } = sample.plan;
  return {
    resistance: sample.windingResistance(),
    inductance: sample.at(slots.inductance) as Inductance,
    torqueConstant: sample.torqueConstant(),
    inertia: sample.at(slots.rotorInertia) as Inertia,
    friction: sample.at(slots.motorFriction) as Torque,
    damping: sample.at(slots.motorDamping) as AngularDamping,
    thermal: {
      windingHeatCapacity: sample.at(slots.windingHeatCapacity) as HeatCapacity,
      caseHeatCapacity: sample.at(slots.caseHeatCapacity) as HeatCapacity,
      windingToCase: sample.at(slots.windingToCase) as ThermalResistance,
      caseToAmbient: sample.at(slots.caseToAmbient) as ThermalResistance,
    },
  };
}

/** The supply of a sample's dossier. */
export function supplyValues(sample: DriveSample): SupplyValues {
  return {
    openCircuitVoltage: sample.at(sample.plan.slots.openCircuitVoltage) as Voltage,
    resistance: sample.supplyResistance(),
  };
}

/** The driver of a sample's dossier. */
export function driverValues(sample: DriveSample): DriverValues {
  const { slots } = sample.plan;
  return {
    currentLimit: sample.at(slots.currentLimit) as Current,
    deadTime: sample.at(slots.deadTime) as Time,
  };
}

/** The rigid train of a load and what drives it. */
export function trainOf(valve: LoadValues, { motor, stages, supply, driver }: DriveValues): RigidTrain {
  const { inertia, load, damping, stribeckSpeed, dwellTorque, travel, restitution } = valve;
  return {
    resistance: motor.resistance,
    inductance: motor.inductance,
    torqueConstant: motor.torqueConstant,
    motorDamping: motor.damping,
    motorFriction: motor.friction,
    openCircuitVoltage: supply.openCircuitVoltage,
    supplyResistance: supply.resistance,
    currentLimit: driver.currentLimit,
    deadTime: driver.deadTime,
    ...gearTrain(motor.inertia, motor.friction, inertia, stages),
    damping,
    stribeckSpeed,
    dwellTorque,
    travel,
    restitution,
    load,
  };
}
