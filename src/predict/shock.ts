/**
 * What the valve's own motion does to the parts that carry its torque, in one case, with a small band of its own:
 * the greatest torque in motor, each gear stage, coupling, stem and stop, in opening, in closing, with the ball
 * jammed at mid travel, and with the rotor locked (docs/theory/compliant.md).
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import {
  assembleTrain,
  type ChainOrder,
  type ChainRun,
  type ChainState,
  type CompliantTrain,
  type Detail,
  runChain,
  steadyState,
  stemInertia,
  type TorqueElement,
  type TrainParts,
} from "../physics/compliant/index.js";
import { standstillCurrent } from "../physics/drive/index.js";
import {
  batteryCurrent,
  nodeValue,
  positionController,
  type RigidTrain,
  StrokePath,
} from "../physics/motion/index.js";
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  AngularStiffness,
  Current,
  Inertia,
  Resistance,
  Time,
  Torque,
} from "../quantity/index.js";
import { Gatherer, type Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import { loopSettings, pathLevels, type Sense, strokeOf } from "./strokes.js";
import { ValveSample } from "./valveSample.js";

export type PeakCause = "start" | "backlash" | "breakaway" | "drive" | "stop" | "jammed" | "locked rotor";
export type ShockId = "opening" | "closing" | "jammed" | "locked rotor";

/** The greatest torque in one element. */
export interface ElementPeak {
  /** Path of the element: drive.motor, drive.stages[i], drive.coupling, valve.stem, drive.stop. */
  readonly element: string;
  readonly label: string;
  /** Of each sample; NaN where the sample has none [N m]. */
  readonly torque_Nm: Float64Array;
  /** At the nominal values, its time from the command [s] and its cause. */
  readonly nominal_Nm: number;
  readonly time_s: number;
  readonly cause: PeakCause;
}

export interface ShockEvent {
  readonly id: ShockId;
  readonly peaks: readonly ElementPeak[];
  /** At the nominal values: whether the ball arrived, and its speed as it was stopped [rad/s]. */
  readonly outcome: ChainRun["outcome"] | undefined;
  readonly stoppedAt_rad_s: number | undefined;
}

export interface ShockAnswer {
  /** Fields without which nothing of it is known. */
  readonly missing: readonly string[];
  /** Why the values of the case cannot be followed. */
  readonly unfit: string | undefined;
  readonly events: readonly ShockEvent[];
  /** Where the inputs stood; figures by `shockFigure`. */
  readonly figures: OwnFigures;
  /** Whether the stop yields; else the torque in the stop itself is not known. */
  readonly isStopSoft: boolean;
  /** All inertia at the stem at the nominal values [kg m2]. */
  readonly inertia_kg_m2: number;
}

/** Id of a figure: an event's greatest torque in an element. */
export function shockFigure(event: ShockId, element: string): string {
  return `${event}: ${element}`;
}

const shockIds = ["opening", "closing", "jammed", "locked rotor"] as const satisfies readonly ShockId[];
/** A run of the whole train costs a third of a millisecond: more of them would not move what is printed. */
const mostSamples = 64;
/** How closely runs are followed, and how many steps: one that hunts without end is given up. */
const exact: RunSettings = { tolerance: 1e-3, mostSteps: 20_000 };
const near: RunSettings = { tolerance: 3e-3, mostSteps: 1000 };
/** Runs that neither arrive nor stall are followed so long after the dead time [s]. */
const longest = 10;
/** A profile is followed so many of its durations. */
const profileOverrun = 1.5;
const midTravel = 0.5;
/** Share of the travel after which a start is over, if the ball has not come to rest again before. */
const slipShare = 0.05;
/** The motion at the stop is that of just before [s]. */
const justBefore = 1e-9;
/** A current within this share of its limit is held there. */
const limitMargin = 1e-6;

type RunSettings = Pick<ChainOrder, "tolerance" | "mostSteps" | "firstSlip">;

interface TrainSlots {
  readonly stages: readonly { readonly stiffness: Slot; readonly backlash: Slot }[];
  readonly coupling: { readonly stiffness: Slot; readonly inertia: Slot; readonly backlash: Slot };
  readonly stem: Slot;
  readonly twistDamping: Slot;
  readonly stop: { readonly stiffness: Slot; readonly damping: Slot; readonly restitution: Slot };
}

/** Follows the shock of a case. Refuses an unknown case. */
export function shockOf(dossier: Dossier, caseId: string, sampling: Sampling): ShockAnswer {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<"shock">((path) => isFaulty(dossier, path));
  const slots = gatherTrain(gather, dossier);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("shock")])];
  const elements = elementsOf(dossier);
  const ids = shockIds.flatMap((event) => elements.map(({ path }) => shockFigure(event, path)));
  const space = joinedSpace(plan.space, gather.space([], []));
  const isStopSoft = slots.stop.stiffness >= 0;
  const nothing = (unfit: string | undefined): ShockAnswer => ({
    missing,
    unfit,
    events: [],
    figures: ownFigures(space, ids, { ...sampling, samples: 0 }, () => ({})),
    isStopSoft,
    inertia_kg_m2: Number.NaN,
  });
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return nothing(undefined);
  const shocks = new Shocks(dossier, plan, slots, space, elements);
  try {
    const nominal = shocks.nominal();
    const figures = ownFigures(space, ids, { ...sampling, most: mostSamples }, (values) =>
      shocks.figures(values),
    );
    return {
      missing,
      unfit: undefined,
      events: shockIds.map((id) => {
        const { peaks, outcome, stoppedAt } = nominal.events[id];
        return {
          id,
          outcome,
          stoppedAt_rad_s: stoppedAt,
          peaks: elements.flatMap(({ path, label }): readonly ElementPeak[] => {
            const peak = peaks.get(path);
            if (peak === undefined) return [];
            const torque_Nm = figures.samples[shockFigure(id, path)] ?? new Float64Array(0);
            return [{ element: path, label, torque_Nm, ...peak }];
          }),
        };
      }),
      figures,
      isStopSoft,
      inertia_kg_m2: nominal.inertia,
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}

/**
 * The train of a case at its nominal values, to be followed by itself.
 * @returns  the fields that it lacks, where it lacks some
 * Refuses   an unknown case
 */
export function nominalTrain(
  dossier: Dossier,
  caseId: string,
): { readonly missing: readonly string[] } & Partial<Pick<Trains, "rigid" | "train">> {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<"shock">((path) => isFaulty(dossier, path));
  const slots = gatherTrain(gather, dossier);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("shock")])];
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return { missing };
  const space = joinedSpace(plan.space, gather.space([], []));
  return { missing, ...new Shocks(dossier, plan, slots, space, []).light() };
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

interface NamedElement {
  readonly path: string;
  readonly label: string;
}

function elementsOf({ valve: { drive } }: Dossier): readonly NamedElement[] {
  return [
    { path: "drive.motor", label: "motor shaft" },
    ...(drive?.stages ?? []).map(({ name }, j) => ({
      path: `drive.stages[${j}]`,
      label: name ?? `gear stage ${j + 1}`,
    })),
    { path: "drive.coupling", label: "coupling" },
    { path: "valve.stem", label: "stem" },
    { path: "drive.stop", label: "end stop" },
  ];
}

function pathOf({ element, stage }: TorqueElement): string {
  switch (element) {
    case "motor":
      return "drive.motor";
    case "stage":
      return `drive.stages[${stage}]`;
    case "coupling":
      return "drive.coupling";
    case "stem":
      return "valve.stem";
  }
}

interface Peak {
  readonly nominal_Nm: number;
  readonly time_s: number;
  readonly cause: PeakCause;
}

interface EventPeaks {
  readonly peaks: ReadonlyMap<string, Peak>;
  readonly outcome: ChainRun["outcome"] | undefined;
  readonly stoppedAt: number | undefined;
}

interface Trains {
  readonly rigid: RigidTrain;
  readonly train: CompliantTrain;
  readonly elements: readonly TorqueElement[];
}

/** The runs of one vector of values. */
class Shocks {
  private readonly sample: ValveSample;
  private readonly values: Float64Array;

  constructor(
    private readonly dossier: Dossier,
    private readonly plan: Plan,
    private readonly slots: TrainSlots,
    private readonly space: InputSpace,
    private readonly elements: readonly NamedElement[],
  ) {
    this.sample = new ValveSample(plan);
    this.values = Float64Array.from(space.nominal);
  }

  nominal(): { readonly events: Readonly<Record<ShockId, EventPeaks>>; readonly inertia: number } {
    this.values.set(this.space.nominal);
    const trains = this.trains("every");
    return { events: this.whole(trains), inertia: stemInertia(trains.train) };
  }

  /** The trains at the nominal values, light bodies joined. */
  light(): Trains {
    this.values.set(this.space.nominal);
    return this.trains("light joined");
  }

  /** Greatest torques by `shockFigure`. */
  figures(values: Float64Array): Readonly<Record<string, number>> {
    this.values.set(values);
    const events = this.pieces(this.trains("light joined"));
    return Object.fromEntries(
      shockIds.flatMap((id) =>
        this.elements.map(({ path }) => [
          shockFigure(id, path),
          events[id].peaks.get(path)?.nominal_Nm ?? Number.NaN,
        ]),
      ),
    );
  }

  /** Value of a slot of the train's own fields. */
  private at(slot: Slot): number {
    return slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);
  }

  /** The valve's load and trains at the present values. */
  private trains(detail: Detail): Trains {
    const { sample, plan } = this;
    sample.values.set(this.values.subarray(0, plan.space.nominal.length));
    sample.updateFlow();
    sample.updateTorque();
    const rigid = sample.train();
    return { rigid, ...this.trainOf(rigid, detail) };
  }

  /** Every stroke from command to the end of its wind-up, every body by itself. */
  private whole(trains: Trains): Readonly<Record<ShockId, EventPeaks>> {
    const opening = this.stroke(trains, 1, exact);
    const closing = this.stroke(trains, -1, exact);
    const jams = [opening, closing].flatMap(({ kept }) =>
      kept === undefined ? [] : [this.goOn(trains, kept, true, exact)],
    );
    return {
      opening: this.peaksOf(opening, trains),
      closing: this.peaksOf(closing, trains),
      jammed: greatest(jams.map((run) => this.peaksOf(run, trains))),
      "locked rotor": this.lockedRotor(trains.rigid),
    };
  }

  /**
   * The pieces of the strokes that matter: the start up to the first slip, the stop and the jam from the motion of
   * the rigid train with the ball at its fastest, and between them what breaks the ball away where it sticks.
   */
  private pieces(trains: Trains): Readonly<Record<ShockId, EventPeaks>> {
    const opening = this.strokePieces(trains, "opening");
    const closing = this.strokePieces(trains, "closing");
    return {
      opening: greatest(opening.stroke),
      closing: greatest(closing.stroke),
      jammed: greatest([...opening.jam, ...closing.jam]),
      "locked rotor": this.lockedRotor(trains.rigid),
    };
  }

  private strokePieces(
    trains: Trains,
    direction: Sense,
  ): { readonly stroke: readonly EventPeaks[]; readonly jam: readonly EventPeaks[] } {
    const { rigid } = trains;
    const sense = direction === "opening" ? 1 : -1;
    const path = new StrokePath();
    const { stroke, path: times } = strokeOf(this.plan, this.sample, rigid, direction, undefined, { path });
    const start = this.peaksOf(
      this.stroke(trains, sense, { ...near, firstSlip: (slipShare * rigid.travel) as Angle }),
      trains,
    );
    const passed = times[pathLevels.indexOf(midTravel)] ?? Number.NaN;
    const at = (time: number, angle: number) => this.steady(trains, sense, path, time, angle);
    const jam = Number.isNaN(passed)
      ? []
      : [this.peaksOf(this.goOn(trains, at(passed, midTravel * rigid.travel), true, near), trains)];
    if (stroke.arrival === undefined || !(stroke.impactSpeed > 0))
      return { stroke: [start, this.dragged(trains, sense)], jam };
    const end = sense > 0 ? rigid.travel : 0;
    const stopped = this.goOn(trains, at(stroke.arrival - justBefore, end), false, near);
    return { stroke: [start, this.dragged(trains, sense), this.peaksOf(stopped, trains)], jam };
  }

  private steady(
    { rigid, train }: Trains,
    sense: 1 | -1,
    path: StrokePath,
    time: number,
    angle: number,
  ): ChainState {
    const speed = new Float64Array(1);
    const current = new Float64Array(1);
    path.sample([time], new Float64Array(1), speed, current);
    const limited = sense * (current[0] ?? 0) >= rigid.currentLimit * (1 - limitMargin);
    return steadyState(train, {
      sense,
      time: time as Time,
      angle: angle as Angle,
      speed: Math.abs(speed[0] ?? 0) as AngularSpeed,
      current: (current[0] ?? 0) as Current,
      isLimiting: limited,
      isFastest: true,
    });
  }

  private goOn({ train }: Trains, from: ChainState, jams: boolean, how: RunSettings): ChainRun {
    return runChain(train, {
      sense: from.driveSense,
      start: 0 as Angle,
      horizon: (from.time + longest) as Time,
      from,
      jams,
      ...how,
    });
  }

  private stroke({ rigid, train }: Trains, sense: 1 | -1, how: RunSettings): ChainRun {
    const { plan, sample } = this;
    const start = (sense > 0 ? 0 : rigid.travel) as Angle;
    const settings = plan.command === "full" ? undefined : loopSettings(sample, plan.command);
    const lasts = settings === undefined ? longest : profileOverrun * settings.duration;
    return runChain(sense > 0 ? train : { ...train, dwellTorque: 0 as Torque }, {
      sense,
      start,
      horizon: (rigid.deadTime + lasts) as Time,
      keepAt: midTravel * rigid.travel,
      ...how,
      ...(settings === undefined ? {} : { controller: positionController(rigid, sense, start, settings) }),
    });
  }

  /** On the way between start and stop: where the ball sticks, the springs wind up to what breaks it away there. */
  private dragged({ rigid, train, elements }: Trains, sense: 1 | -1): EventPeaks {
    let torque = 0;
    for (let node = 0; node < rigid.load.count; node++) {
      const friction = nodeValue(rigid.load, "friction", node) + nodeValue(rigid.load, "excess", node);
      torque = Math.max(torque, friction + sense * nodeValue(rigid.load, "fluid", node));
    }
    const passed = new Float64Array(train.links.length);
    for (let l = passed.length - 1; l >= 0; l--) {
      passed[l] = torque;
      const link = train.links[l];
      if (link !== undefined)
        torque = torque / (link.ratio * link.efficiency) + (train.bodies[l]?.friction ?? 0);
    }
    const peaks = new Map<string, Peak>();
    for (const element of elements) {
      const nominal_Nm = (passed[element.link] ?? 0) * element.driving + element.added;
      peaks.set(pathOf(element), { nominal_Nm, time_s: Number.NaN, cause: "drive" });
    }
    return { peaks, outcome: undefined, stoppedAt: undefined };
  }

  private partsOf(rigid: RigidTrain): TrainParts {
    const { slots, sample, dossier } = this;
    const own = (slot: Slot) => this.at(slot);
    const coupling = slots.coupling.inertia < 0 ? 0 : own(slots.coupling.inertia);
    const whole = sample.at(this.plan.slots.inertia);
    const ahead = Math.min(coupling, mostAhead * whole);
    const stages = sample.stages();
    return {
      rotorInertia: sample.at(this.plan.slots.rotorInertia) as Inertia,
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
      stopAt: dossier.valve.drive?.stop?.at ?? "stem",
    };
  }

  private trainOf(rigid: RigidTrain, detail: Detail): Omit<Trains, "rigid"> {
    const { bodies, links, elements, stopBody } = assembleTrain(this.partsOf(rigid), detail);
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
    const stiffness = this.at(this.slots.stop.stiffness) as AngularStiffness;
    if (Number.isNaN(stiffness)) return { train, elements };
    const critical = 2 * Math.sqrt(stiffness * stemInertia(train));
    const stopDamping = (this.stopDampingRatio() * critical) as AngularDamping;
    return {
      train: { ...train, stop: { kind: "soft", body: stopBody, stiffness, damping: stopDamping } },
      elements,
    };
  }

  private restitution(rigid: RigidTrain): number {
    const own = this.at(this.slots.stop.restitution);
    return Number.isNaN(own) ? rigid.restitution : own;
  }

  /** Declared, or that which gives the declared share of the speed back: ln e = -pi z / sqrt(1 - z^2). */
  private stopDampingRatio(): number {
    const own = this.at(this.slots.stop.damping);
    if (!Number.isNaN(own)) return own;
    const kept = this.at(this.slots.stop.restitution);
    if (Number.isNaN(kept)) return 0;
    if (kept <= 0) return 1;
    const decay = Math.log(kept);
    return -decay / Math.sqrt(Math.PI * Math.PI + decay * decay);
  }

  private peaksOf(run: ChainRun, { elements }: Trains): EventPeaks {
    const peaks = new Map<string, Peak>();
    for (const element of elements) {
      const link = run.links[element.link];
      if (link === undefined) continue;
      const driving =
        link.driving.torque > 0 ? link.driving.torque * element.driving + element.added : element.added;
      const driven = link.driven.torque * element.driven;
      const { time, cause } = driving >= driven ? link.driving : link.driven;
      peaks.set(pathOf(element), { nominal_Nm: Math.max(driving, driven), time_s: time, cause });
    }
    if (run.stop.torque > 0) {
      const { torque, time, cause } = run.stop;
      peaks.set("drive.stop", { nominal_Nm: torque, time_s: time, cause });
    }
    const isStopped = run.arrival !== undefined;
    return { peaks, outcome: run.outcome, stoppedAt: isStopped ? run.impactSpeed : undefined };
  }

  /** Static torques with the rotor held at the greatest steady current, no friction helping the elements. */
  private lockedRotor(rigid: RigidTrain): EventPeaks {
    const current = standstillCurrent(
      rigid.openCircuitVoltage,
      (rigid.resistance + rigid.supplyResistance) as Resistance,
      rigid.currentLimit,
    );
    let torque = rigid.torqueConstant * current;
    const peak = (): Peak => ({ nominal_Nm: torque, time_s: Number.NaN, cause: "locked rotor" });
    const peaks = new Map<string, Peak>([["drive.motor", peak()]]);
    this.sample.stages().forEach(({ ratio, efficiency }, j) => {
      torque *= ratio * efficiency;
      peaks.set(`drive.stages[${j}]`, peak());
    });
    for (const path of ["drive.coupling", "valve.stem", "drive.stop"]) peaks.set(path, peak());
    return { peaks, outcome: undefined, stoppedAt: undefined };
  }
}

/** The part of the valve's inertia that a coupling ahead of its spring may have at most [-]. */
const mostAhead = 0.9;

/** The greatest torque of each element. */
function greatest(of: readonly EventPeaks[]): EventPeaks {
  const peaks = new Map<string, Peak>();
  for (const event of of)
    for (const [path, peak] of event.peaks)
      if (!(peak.nominal_Nm <= (peaks.get(path)?.nominal_Nm ?? Number.NEGATIVE_INFINITY)))
        peaks.set(path, peak);
  const speeds = of.flatMap(({ stoppedAt }) => (stoppedAt === undefined ? [] : [stoppedAt]));
  return {
    peaks,
    outcome: of.at(-1)?.outcome,
    stoppedAt: speeds.length === 0 ? undefined : Math.max(...speeds),
  };
}
