/** Trains of these tests: those of test/reference/compliant, and rigid ones of the motion's tests made compliant. */
import { readFileSync } from "node:fs";
import {
  assembleTrain,
  type CompliantTrain,
  type Detail,
  type EndStop,
  type TorqueElement,
} from "../../../src/physics/compliant/index.js";
import { angleLoad, batteryCurrent } from "../../../src/physics/motion/index.js";
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  AngularStiffness,
  Current,
  Inductance,
  Inertia,
  Resistance,
  Time,
  Torque,
  TorqueConstant,
  Voltage,
} from "../../../src/quantity/index.js";
import { type PlainTrain, trainOf } from "../motion/plainTrain.js";

/** A case of cases.json with what is common to all. */
export interface ChainCase {
  readonly name: string;
  readonly voltage: number;
  readonly resistance: number;
  readonly inductance: number;
  readonly torqueConstant: number;
  readonly motorDamping: number;
  readonly motorFriction: number;
  readonly supplyResistance: number;
  readonly currentLimit: number | null;
  readonly deadTime: number;
  readonly damping: number;
  readonly stribeckSpeed: number;
  readonly dwellTorque: number;
  readonly travel: number;
  readonly friction: readonly [number, number];
  readonly excess: readonly [number, number];
  readonly fluid: readonly [number, number];
  readonly sense: 1 | -1;
  readonly horizon: number;
  /** Rows, at equal steps of time. */
  readonly samples: number;
  readonly bodies: readonly (readonly [number, number])[];
  readonly links: readonly {
    readonly ratio: number;
    readonly efficiency: number;
    readonly start: number;
    readonly back: number;
    readonly stiffness: number;
    readonly damping: number;
    readonly backlash: number;
  }[];
  readonly stop:
    | { readonly restitution: number }
    | { readonly body: number; readonly stiffness: number; readonly damping: number };
}

export interface ChainRows {
  readonly name: string;
  readonly firstMotion: number | null;
  readonly arrival: number | null;
  readonly peaks: readonly number[];
  readonly events: Readonly<Record<string, number>>;
  /** Time, angles of the bodies, their speeds, current. */
  readonly rows: readonly (readonly number[])[];
}

const fileOf = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../reference/compliant/${name}.json`, import.meta.url), "utf8"));

/** The cases with the rows that the general-purpose solver gave for them. */
export function referenceRuns(): readonly { readonly of: ChainCase; readonly rows: ChainRows }[] {
  const { common, cases } = fileOf("cases");
  const { runs } = fileOf("trajectories");
  return cases.map((one: object, n: number) => ({ of: { ...common, ...one }, rows: runs[n] }));
}

/** Nodes of the load: the curves of a case are straight. */
const nodes = 31;

export function trainOfCase(one: ChainCase): CompliantTrain {
  const straight = ([from, to]: readonly [number, number]) =>
    Float64Array.from({ length: nodes }, (_, j) => from + ((to - from) * j) / (nodes - 1));
  const { stop } = one;
  return {
    resistance: one.resistance as Resistance,
    inductance: one.inductance as Inductance,
    torqueConstant: one.torqueConstant as TorqueConstant,
    motorDamping: one.motorDamping as AngularDamping,
    motorFriction: one.motorFriction as Torque,
    openCircuitVoltage: one.voltage as Voltage,
    supplyResistance: one.supplyResistance as Resistance,
    currentLimit: (one.currentLimit ?? Number.POSITIVE_INFINITY) as Current,
    deadTime: one.deadTime as Time,
    bodies: one.bodies.map(([inertia, friction]) => ({
      inertia: inertia as Inertia,
      friction: friction as Torque,
    })),
    links: one.links.map((link) => ({
      ratio: link.ratio,
      efficiency: link.efficiency,
      startingEfficiency: link.start,
      backEfficiency: link.back,
      stiffness: link.stiffness as AngularStiffness,
      damping: link.damping as AngularDamping,
      backlash: link.backlash as Angle,
    })),
    stop:
      "restitution" in stop
        ? { kind: "hard", restitution: stop.restitution }
        : {
            kind: "soft",
            body: stop.body,
            stiffness: stop.stiffness as AngularStiffness,
            damping: stop.damping as AngularDamping,
          },
    damping: one.damping as AngularDamping,
    stribeckSpeed: one.stribeckSpeed as AngularSpeed,
    dwellTorque: one.dwellTorque as Torque,
    travel: one.travel as Angle,
    load: angleLoad(one.travel as Angle, straight(one.friction), straight(one.excess), straight(one.fluid)),
    batteryCurrent: (power) => batteryCurrent(one.voltage, one.supplyResistance, power),
  };
}

/** How a rigid train is made to yield. */
export interface Yielding {
  /** Twist of every spring under the stall torque of the drive, at the stem [rad]. */
  readonly twist: number;
  /** Play of every stage and of the coupling, at the stem [rad]. */
  readonly backlash: number;
  readonly dampingRatio: number;
  readonly stop?: EndStop;
  readonly detail?: Detail;
}

/** A rigid train of the motion's tests with springs and backlash. */
export function compliantOf(
  plain: PlainTrain,
  yielding: Yielding,
): { readonly train: CompliantTrain; readonly elements: readonly TorqueElement[] } {
  const rigid = trainOf(plain);
  const stall = (plain.torqueConstant * plain.voltage * rigid.ratio) / plain.resistance;
  const stiffness = stall / yielding.twist;
  let behind: number = rigid.ratio;
  const assembled = assembleTrain(
    {
      rotorInertia: plain.rotorInertia as Inertia,
      motorFriction: plain.motorFriction as Torque,
      stages: plain.stages.map((stage) => {
        behind /= stage.ratio;
        return {
          ratio: stage.ratio,
          efficiency: stage.efficiency,
          startingEfficiency: stage.startingEfficiency ?? stage.efficiency,
          backEfficiency: stage.backEfficiency,
          noLoadTorque: stage.noLoadTorque as Torque,
          inertia: stage.inertia as Inertia,
          stiffness: (stiffness / (behind * behind)) as AngularStiffness,
          backlash: (yielding.backlash * behind) as Angle,
        };
      }),
      coupling: { stiffness: stiffness as AngularStiffness, backlash: yielding.backlash as Angle },
      stemStiffness: stiffness as AngularStiffness,
      couplingInertia: 0 as Inertia,
      ballInertia: plain.loadInertia as Inertia,
      dampingRatio: yielding.dampingRatio,
      stopAt: "stem",
    },
    yielding.detail ?? "every",
  );
  const { bodies, links, elements } = assembled;
  return {
    elements,
    train: {
      ...rigid,
      bodies,
      links,
      stop: yielding.stop ?? { kind: "hard", restitution: plain.restitution },
      batteryCurrent: (power) => batteryCurrent(plain.voltage, plain.supplyResistance, power),
    },
  };
}
