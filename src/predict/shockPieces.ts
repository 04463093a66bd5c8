/**
 * The greatest torques of a valve's strokes in one sample, from the pieces of the strokes that matter.
 *
 * The start is followed from the command until the ball has slipped once; the stop and a jam are followed from the
 * motion of the rigid train there, the ball at its fastest in stick and slip; between them the ball is drawn with
 * what breaks it away where it sticks. test/predict/shock.test.ts holds them against whole strokes.
 */
import {
  type ChainOrder,
  type ChainRun,
  type ChainState,
  runChain,
  startBound,
  steadyState,
  stemInertia,
  stemStiffness,
  type TorqueElement,
} from "../physics/compliant/index.js";
import { standstillCurrent } from "../physics/drive/index.js";
import {
  loadAt,
  nodeValue,
  positionController,
  type RigidTrain,
  StrokePath,
} from "../physics/motion/index.js";
import type { Angle, AngularSpeed, Current, Resistance, Time, Torque } from "../quantity/index.js";
import type { ShockTrace } from "./shockTrace.js";
import type { Trains } from "./shockTrain.js";
import { loopSettings, pathLevels, type Sense, strokeOf } from "./strokes.js";
import type { ValveSample } from "./valveSample.js";

export type PeakCause = "start" | "backlash" | "breakaway" | "drive" | "stop" | "jammed" | "locked rotor";
export const shockIds = ["opening", "closing", "jammed", "locked rotor"] as const;
export type ShockId = (typeof shockIds)[number];

/** A greatest torque with its time from the command, NaN where it has none, and its cause. */
export interface Peak {
  readonly torque_Nm: number;
  readonly time_s: number;
  readonly cause: PeakCause;
}

/** Greatest torques of an event by path of the element. */
export interface EventPeaks {
  readonly peaks: ReadonlyMap<string, Peak>;
  /** Speed of the ball as it was stopped; undefined where it was not [rad/s]. */
  readonly stoppedAt: number | undefined;
}

/** How closely runs are followed, and how many steps: one that hunts without end is given up. */
export type RunSettings = Required<Pick<ChainOrder, "tolerance" | "mostSteps">>;

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

/** Path of an element in the valve file. */
export function elementPath({ element, stage }: Pick<TorqueElement, "element" | "stage">): string {
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
export const stopPath = "drive.stop";

/** All events of a sample. @param trace  receives the torques of the opening's start and stop, if given */
export function shockPeaks(
  sample: ValveSample,
  trains: Trains,
  how: RunSettings,
  trace?: ShockTrace,
): Readonly<Record<ShockId, EventPeaks>> {
  const opening = new Pieces(sample, trains, "opening", how, trace);
  const closing = new Pieces(sample, trains, "closing", how);
  const strokes = { opening: greatest(opening.follow()), closing: greatest(closing.follow()) };
  // Inertia, springs and drive are the same: the one with more energy runs harder into a jam.
  const harder = closing.hardness > opening.hardness ? closing : opening;
  return {
    ...strokes,
    jammed: greatest(harder.jam()),
    "locked rotor": lockedRotor(sample, trains.rigid),
  };
}

/** A whole opening or closing from command to the end of its wind-up, step by step. */
export function wholeStroke(
  sample: ValveSample,
  trains: Trains,
  direction: Sense,
  how: RunSettings,
): EventPeaks {
  const pieces = new Pieces(sample, trains, direction, how);
  return peaksOf(pieces.stroke({}), trains.elements);
}

/** Of the rigid train, signed [s], [rad/s], [A]. */
interface Motion {
  readonly time: number;
  readonly speed: number;
  readonly current: number;
}

function motionAt(path: StrokePath, time: number): Motion {
  const speed = new Float64Array(1);
  const current = new Float64Array(1);
  path.sample([time], new Float64Array(1), speed, current);
  return { time, speed: speed[0] ?? 0, current: current[0] ?? 0 };
}

class Pieces {
  private readonly sense: 1 | -1;
  private middle: Motion | undefined;

  constructor(
    private readonly sample: ValveSample,
    private readonly trains: Trains,
    private readonly direction: Sense,
    private readonly how: RunSettings,
    private readonly trace?: ShockTrace,
  ) {
    this.sense = direction === "opening" ? 1 : -1;
  }

  /**
   * Square of the torque that motion and bent springs stand for at mid travel, k J w^2 + T^2; 0 for a stroke that does
   * not come there [N2 m2].
   */
  get hardness(): number {
    const { middle, sense } = this;
    const { rigid, train } = this.trains;
    if (middle === undefined) return 0;
    const angle = (midTravel * rigid.travel) as Angle;
    const bent = loadAt(rigid.load, "friction", angle) + sense * loadAt(rigid.load, "fluid", angle);
    return stemStiffness(train) * stemInertia(train) * middle.speed * middle.speed + bent * bent;
  }

  /** The pieces of the stroke; after it, its motion at mid travel is known. */
  follow(): readonly EventPeaks[] {
    const { sample, sense, trace } = this;
    const { rigid, train, elements } = this.trains;
    const path = new StrokePath();
    const moved = strokeOf(sample.plan, sample, rigid, this.direction, undefined, { path });
    const passed = moved.path[pathLevels.indexOf(midTravel)] ?? Number.NaN;
    if (!Number.isNaN(passed)) this.middle = motionAt(path, passed);
    const { arrival, impactSpeed } = moved.stroke;
    if (moved.stroke.outcome === "stalled")
      return [this.start(), this.drawn(moved.stroke.angle), stalled(lockedRotor(sample, rigid))];
    if (arrival === undefined || !(impactSpeed > 0)) return [this.start(), this.drawn()];
    const before = this.steady(motionAt(path, arrival - justBefore), sense > 0 ? rigid.travel : 0);
    const stopped = this.goOn(before, watching(trace, "stop", elements));
    const dwell = sense > 0 ? rigid.dwellTorque : 0;
    const bound = startBound(train, (this.greatestDrawn() + dwell) as Torque);
    // A start that stays under what the stop brings need not be followed.
    const isLess = trace === undefined && bound < (stopped.links[0]?.driving.torque ?? 0);
    const pieces = [this.drawn(), peaksOf(stopped, elements)];
    return isLess ? pieces : [this.start(), ...pieces];
  }

  /** The ball stops dead at mid travel; nothing where the stroke does not come there. */
  jam(): readonly EventPeaks[] {
    const { rigid, elements } = this.trains;
    if (this.middle === undefined) return [];
    const from = this.steady(this.middle, midTravel * rigid.travel);
    return [peaksOf(this.goOn(from, { jams: true }), elements)];
  }

  private start(): EventPeaks {
    const { rigid, elements } = this.trains;
    const firstSlip = (slipShare * rigid.travel) as Angle;
    return peaksOf(this.stroke({ firstSlip, ...watching(this.trace, "start", elements) }), elements);
  }

  /** The motion of the rigid train at an angle, the ball at its fastest. */
  private steady({ time, speed, current }: Motion, angle: number): ChainState {
    const { rigid, train } = this.trains;
    return steadyState(train, {
      sense: this.sense,
      time: time as Time,
      angle: angle as Angle,
      speed: Math.abs(speed) as AngularSpeed,
      current: current as Current,
      isLimiting: this.sense * current >= rigid.currentLimit * (1 - limitMargin),
      isFastest: true,
    });
  }

  private goOn(from: ChainState, more: Partial<ChainOrder>): ChainRun {
    return runChain(this.trains.train, {
      sense: from.driveSense,
      start: 0 as Angle,
      horizon: (from.time + longest) as Time,
      from,
      isFaded: true,
      ...this.how,
      ...more,
    });
  }

  /** The stroke from its command. */
  stroke(more: Partial<ChainOrder>): ChainRun {
    const { sample, sense } = this;
    const { rigid, train } = this.trains;
    const { command } = sample.plan;
    const start = (sense > 0 ? 0 : rigid.travel) as Angle;
    const settings = command === "full" ? undefined : loopSettings(sample, command);
    const lasts = settings === undefined ? longest : profileOverrun * settings.duration;
    // The dwell is that of a valve that stood closed; one that closes stood open, and was not loaded.
    return runChain(sense > 0 ? train : { ...train, dwellTorque: 0 as Torque }, {
      sense,
      start,
      horizon: (rigid.deadTime + lasts) as Time,
      ...this.how,
      ...more,
      ...(settings === undefined ? {} : { controller: positionController(rigid, sense, start, settings) }),
    });
  }

  /** Greatest torque that breaks the ball away on its way, without dwell [N m]. @param until  angle that it does not pass [rad] */
  private greatestDrawn(until = this.sense * Number.POSITIVE_INFINITY): number {
    const { load } = this.trains.rigid;
    let torque = 0;
    for (let node = 0; node < load.count; node++) {
      if (this.sense * node * load.step >= this.sense * until) continue;
      const friction = nodeValue(load, "friction", node) + nodeValue(load, "excess", node);
      torque = Math.max(torque, friction + this.sense * nodeValue(load, "fluid", node));
    }
    return torque;
  }

  /** On the way between start and stop: where the ball sticks, the springs wind up to what breaks it away there. */
  private drawn(until?: Angle): EventPeaks {
    const { train, elements } = this.trains;
    let torque = this.greatestDrawn(until);
    const passed = new Float64Array(train.links.length);
    for (let l = passed.length - 1; l >= 0; l--) {
      passed[l] = torque;
      const link = train.links[l];
      if (link !== undefined)
        torque = torque / (link.ratio * link.efficiency) + (train.bodies[l]?.friction ?? 0);
    }
    const peaks = new Map<string, Peak>();
    for (const element of elements) {
      const torque_Nm = (passed[element.link] ?? 0) * element.driving + element.added;
      peaks.set(elementPath(element), { torque_Nm, time_s: Number.NaN, cause: "drive" });
    }
    return { peaks, stoppedAt: undefined };
  }
}

function watching(
  trace: ShockTrace | undefined,
  piece: "start" | "stop",
  elements: readonly TorqueElement[],
): Partial<ChainOrder> {
  return trace === undefined ? {} : { watch: trace.watch(piece, elements) };
}

function peaksOf(run: ChainRun, elements: readonly TorqueElement[]): EventPeaks {
  const peaks = new Map<string, Peak>();
  for (const element of elements) {
    const link = run.links[element.link];
    if (link === undefined) continue;
    const driving =
      link.driving.torque > 0 ? link.driving.torque * element.driving + element.added : element.added;
    const driven = link.driven.torque * element.driven;
    const { time, cause } = driving >= driven ? link.driving : link.driven;
    peaks.set(elementPath(element), { torque_Nm: Math.max(driving, driven), time_s: time, cause });
  }
  if (run.stop.torque > 0) {
    const { torque, time, cause } = run.stop;
    peaks.set(stopPath, { torque_Nm: torque, time_s: time, cause });
  }
  return { peaks, stoppedAt: run.arrival === undefined ? undefined : run.impactSpeed };
}

/** Static torques with the rotor held at the greatest steady current, no friction taking from them. */
function lockedRotor(sample: ValveSample, rigid: RigidTrain): EventPeaks {
  let torque = rigid.torqueConstant * greatestCurrent(rigid);
  const peak = (): Peak => ({ torque_Nm: torque, time_s: Number.NaN, cause: "locked rotor" });
  const peaks = new Map<string, Peak>([["drive.motor", peak()]]);
  sample.stages().forEach(({ ratio, efficiency }, stage) => {
    torque *= ratio * efficiency;
    peaks.set(elementPath({ element: "stage", stage }), peak());
  });
  for (const path of ["drive.coupling", "valve.stem", stopPath]) peaks.set(path, peak());
  return { peaks, stoppedAt: undefined };
}

/** Where the ball is not broken away the drive winds the train up to what it gives at rest, and no further. */
function stalled({ peaks }: EventPeaks): EventPeaks {
  const wound = [...peaks].filter(([path]) => path !== stopPath);
  return {
    peaks: new Map(wound.map(([path, peak]) => [path, { ...peak, cause: "drive" as const }])),
    stoppedAt: undefined,
  };
}

/** Greatest steady current, the rotor held. */
function greatestCurrent({
  openCircuitVoltage,
  resistance,
  supplyResistance,
  currentLimit,
}: RigidTrain): Current {
  return standstillCurrent(openCircuitVoltage, (resistance + supplyResistance) as Resistance, currentLimit);
}

/** The greatest torque of each element. */
function greatest(of: readonly EventPeaks[]): EventPeaks {
  const peaks = new Map<string, Peak>();
  for (const event of of)
    for (const [path, peak] of event.peaks) {
      const known = peaks.get(path);
      if (known === undefined || peak.torque_Nm > known.torque_Nm) peaks.set(path, peak);
    }
  const speeds = of.flatMap(({ stoppedAt }) => (stoppedAt === undefined ? [] : [stoppedAt]));
  return { peaks, stoppedAt: speeds.length === 0 ? undefined : Math.max(...speeds) };
}
