/**
 * The compliant train of a case: the declared values it rests on, and from one vector of them the bodies and
 * springs between motor and ball, beside the rigid train of the same values.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import {
  assembleTrain,
  type CompliantTrain,
  type Detail,
  type TorqueElement,
  type TrainParts,
} from "../physics/compliant/index.js";
import { batteryCurrent, type RigidTrain } from "../physics/motion/index.js";
import type { Angle, AngularDamping, AngularStiffness, Inertia } from "../quantity/index.js";
import { Gatherer, type Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { type Plan, planFor } from "./plan.js";
import { ValveSample } from "./valveSample.js";

interface TrainSlots {
  readonly stages: readonly { readonly stiffness: Slot; readonly backlash: Slot }[];
  readonly coupling: { readonly stiffness: Slot; readonly inertia: Slot; readonly backlash: Slot };
  readonly stem: Slot;
  readonly twistDamping: Slot;
  readonly stop: { readonly stiffness: Slot; readonly damping: Slot; readonly restitution: Slot };
}

/** What the train of a case rests on. */
export interface TrainPlan {
  readonly plan: Plan;
  readonly slots: TrainSlots;
  /** Inputs of the rigid train, and behind them those of the springs. */
  readonly space: InputSpace;
  /** Fields without which nothing of it is known. */
  readonly missing: readonly string[];
  /** Whether a stiffness of the stop is declared. */
  readonly isStopSoft: boolean;
}

/** The trains of one vector of values. */
export interface Trains {
  readonly rigid: RigidTrain;
  readonly train: CompliantTrain;
  readonly elements: readonly TorqueElement[];
}

/** The part of the valve's inertia that a coupling ahead of its spring may have at most; a sample beyond is cut there [-]. */
const mostAhead = 0.9;

function isTooHeavy({ valve: { drive, valve } }: Dossier): boolean {
  const coupling = drive?.coupling?.inertia?.value ?? 0;
  return coupling > mostAhead * (valve?.inertia?.value ?? Number.POSITIVE_INFINITY);
}

/** Plans the train of a case. Refuses an unknown case. */
export function trainPlan(dossier: Dossier, caseId: string): TrainPlan {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<"shock">((path) => isFaulty(dossier, path));
  const slots = gatherTrain(gather, dossier);
  if (isTooHeavy(dossier))
    gather.lack("shock", "drive.coupling.inertia: less than valve.inertia, of which it is a part");
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("shock")])];
  return {
    plan,
    slots,
    space: joinedSpace(plan.space, gather.space([], [])),
    missing,
    isStopSoft: slots.stop.stiffness >= 0,
  };
}

function gatherTrain(gather: Gatherer<"shock">, { valve: file }: Dossier): TrainSlots {
  const { drive, valve } = file;
  const need = (path: string, declared: Parameters<typeof gather.need>[2]) =>
    gather.need("shock", path, declared);
  const may = (path: string, declared: Parameters<typeof gather.may>[2]) =>
    gather.may("shock", path, declared);
  const isAtGear = drive?.stop?.at === "gear output";
  if (drive?.stop?.at === undefined) gather.lackFaulty("shock", "drive.stop.at");
  return {
    stages: (drive?.stages ?? []).map((stage, j) => ({
      stiffness: need(`drive.stages[${j}].stiffness`, stage.stiffness),
      backlash: need(`drive.stages[${j}].backlash`, stage.backlash),
    })),
    coupling: {
      stiffness: need("drive.coupling.stiffness", drive?.coupling?.stiffness),
      inertia: isAtGear
        ? need("drive.coupling.inertia", drive?.coupling?.inertia)
        : may("drive.coupling.inertia", drive?.coupling?.inertia),
      backlash: need("drive.coupling.backlash", drive?.coupling?.backlash),
    },
    stem: need("valve.stem.stiffness", valve?.stem?.stiffness),
    twistDamping: may("drive.twist_damping", drive?.twist_damping),
    stop: {
      stiffness: may("drive.stop.stiffness", drive?.stop?.stiffness),
      damping: may("drive.stop.damping_ratio", drive?.stop?.damping_ratio),
      restitution: may("drive.stop.restitution", drive?.stop?.restitution),
    },
  };
}

/** Makes the trains of samples; one object is used for all of them. */
export class TrainSample {
  readonly sample: ValveSample;
  private readonly values: Float64Array;

  constructor(private readonly of: TrainPlan) {
    this.sample = new ValveSample(of.plan);
    this.values = Float64Array.from(of.space.nominal);
  }

  /** The trains at a vector of values, or at the nominal ones. */
  trains(detail: Detail, values: Float64Array = this.of.space.nominal): Trains {
    const { sample, of } = this;
    this.values.set(values);
    sample.values.set(this.values.subarray(0, of.plan.space.nominal.length));
    sample.updateFlow();
    sample.updateTorque();
    const rigid = sample.train();
    return { rigid, ...this.trainOf(rigid, detail) };
  }

  /** Value of a slot of the train's own fields. */
  private at(slot: Slot): number {
    return slot < 0 ? Number.NaN : (this.values[this.of.plan.space.nominal.length + slot] ?? Number.NaN);
  }

  private partsOf(rigid: RigidTrain): TrainParts {
    const { sample } = this;
    const { slots, plan } = this.of;
    const own = (slot: Slot) => this.at(slot);
    const coupling = slots.coupling.inertia < 0 ? 0 : own(slots.coupling.inertia);
    const whole = sample.at(plan.slots.inertia);
    const ahead = Math.min(coupling, mostAhead * whole);
    const stages = sample.stages();
    return {
      rotorInertia: sample.at(plan.slots.rotorInertia) as Inertia,
      motorFriction: rigid.motorFriction,
      stages: stages.map((stage, j) => ({
        ...stage,
        stiffness: own(slots.stages[j]?.stiffness ?? -1) as AngularStiffness,
        backlash: own(slots.stages[j]?.backlash ?? -1) as Angle,
      })),
      coupling: {
        stiffness: own(slots.coupling.stiffness) as AngularStiffness,
        backlash: own(slots.coupling.backlash) as Angle,
      },
      stemStiffness: own(slots.stem) as AngularStiffness,
      couplingInertia: ahead as Inertia,
      ballInertia: (whole - ahead) as Inertia,
      dampingRatio: slots.twistDamping < 0 ? 0 : own(slots.twistDamping),
      stopAt: plan.dossier.valve.drive?.stop?.at ?? "stem",
    };
  }

  private trainOf(rigid: RigidTrain, detail: Detail): Omit<Trains, "rigid"> {
    const parts = this.partsOf(rigid);
    const { bodies, links, elements, stopBody } = assembleTrain(parts, detail);
    const { openCircuitVoltage, supplyResistance } = rigid;
    const { resistance, inductance, torqueConstant, motorDamping, motorFriction, currentLimit } = rigid;
    const { deadTime, damping, stribeckSpeed, dwellTorque, travel, load } = rigid;
    const train: CompliantTrain = {
      resistance,
      inductance,
      torqueConstant,
      motorDamping,
      motorFriction,
      openCircuitVoltage,
      supplyResistance,
      currentLimit,
      deadTime,
      bodies,
      links,
      stop: { kind: "hard", restitution: this.restitution(rigid) },
      damping,
      stribeckSpeed,
      dwellTorque,
      travel,
      load,
      batteryCurrent: (power) => batteryCurrent(openCircuitVoltage, supplyResistance, power),
    };
    const stiffness = this.at(this.of.slots.stop.stiffness) as AngularStiffness;
    if (Number.isNaN(stiffness)) return { train, elements };
    // Of what strikes it: against the whole train a light ball would meet a wall of damping.
    const striking = parts.stopAt === "stem" ? parts.ballInertia : parts.couplingInertia;
    const critical = 2 * Math.sqrt(stiffness * striking);
    const stopDamping = (this.stopDampingRatio() * critical) as AngularDamping;
    return {
      train: { ...train, stop: { kind: "soft", body: stopBody, stiffness, damping: stopDamping } },
      elements,
    };
  }

  private restitution(rigid: RigidTrain): number {
    const own = this.at(this.of.slots.stop.restitution);
    return Number.isNaN(own) ? rigid.restitution : own;
  }

  /** Declared, or that which gives the declared share of the speed back: ln e = -pi z / sqrt(1 - z^2). */
  private stopDampingRatio(): number {
    const own = this.at(this.of.slots.stop.damping);
    if (!Number.isNaN(own)) return own;
    const kept = this.at(this.of.slots.stop.restitution);
    if (Number.isNaN(kept)) return 0;
    if (kept <= 0) return 1;
    const decay = Math.log(kept);
    return -decay / Math.sqrt(Math.PI * Math.PI + decay * decay);
  }
}

/**
 * The train of a case at its nominal values, light bodies joined, to be followed by itself.
 * @returns  the fields that it lacks, where it lacks some.  Refuses an unknown case
 */
export function nominalTrain(
  dossier: Dossier,
  caseId: string,
): { readonly missing: readonly string[] } & Partial<Pick<Trains, "rigid" | "train">> {
  const of = trainPlan(dossier, caseId);
  if (of.missing.length > 0) return { missing: of.missing };
  const { rigid, train } = new TrainSample(of).trains("light joined");
  return { missing: [], rigid, train };
}
