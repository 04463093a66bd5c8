/**
 * What the line feels of the valve in one case, with a small band of its own (docs/theory/line.md): the pressures of a
 * closing and an opening along the line by characteristics, with the valve's own motion, and how fast it may close.
 *
 * The motion moves the flow and the flow's torque moves the valve. At the nominal values the two are solved in turn: the
 * drop against opening that the waves give loads the stroke, whose motion gives the waves, until the time of the stroke
 * stands. A sample takes the drop of its own steady flow times the ratio of the two at the nominal values.
 */
import { conditionsOf, type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { circleArea } from "../physics/flow/index.js";
import {
  criticalTime,
  gridWith,
  joukowskyRise,
  type LineGrid,
  type LineNetwork,
  type LineRun,
  LineWaves,
  lineGrid,
  type SteadyLine,
  steadyLine,
} from "../physics/line/index.js";
import { type Stroke, StrokePath } from "../physics/motion/index.js";
import type { Length, Speed } from "../quantity/index.js";
import { closingDefinition } from "./definition.js";
import { Gatherer, type Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import {
  gatherPriming,
  type PrimingFigures,
  type PrimingSlots,
  primingFigures,
  primingOf,
} from "./priming.js";
import { type Sense, strokeOf } from "./strokes.js";
import { type BuiltLine, type ShortLine, type Stretch, SurgeLine, type SurgePlace } from "./surgeLine.js";
import { openings, ValveSample } from "./valveSample.js";

/** A stroke and what the line felt of it, at the nominal values. */
export interface SurgeRun {
  readonly sense: Sense;
  readonly outcome: Stroke["outcome"];
  /** From command: first motion, end of the motion [s]. */
  readonly start_s: number;
  readonly end_s: number;
  /** From command [s]; pressure ahead of the valve and behind it [Pa], flow through it [kg/s], opening [rad]. */
  readonly time_s: readonly number[];
  readonly ahead_Pa: readonly number[];
  readonly behind_Pa: readonly number[];
  readonly flow_kg_s: readonly number[];
  readonly angle_rad: readonly number[];
  /** Along the main line from the tank [m]; the valve's place stands twice. */
  readonly x_m: readonly number[];
  readonly high_Pa: readonly number[];
  readonly low_Pa: readonly number[];
  readonly steady_Pa: readonly number[];
  /** Largest volume of vapour at one time [m3]. */
  readonly vapour_m3: number;
  /** How often stroke and waves were solved in turn, and what the last turn moved the stroke's time by [-]. */
  readonly turns: number;
  readonly change: number;
  /** Share by which the coupling moves the stroke's time [-]. */
  readonly coupling: number;
}

/** What closing costs, at the nominal values. */
export interface SurgeBounds {
  /** Wave speed of each pipe [m/s]. */
  readonly pipes: readonly {
    readonly name: string;
    readonly waveSpeed_m_s: number;
    readonly speed_m_s: number;
  }[];
  /** 2 L/a of the main line ahead of the valve and behind it [s]. */
  readonly aheadCritical_s: number;
  readonly behindCritical_s: number;
  /** rho a dv of an instant closing, of the pipe ahead of the valve [Pa]. */
  readonly joukowsky_Pa: number;
  /** Of each place that has a rating: shortest time of this motion, from first motion to end [s]. */
  readonly shortest: readonly { readonly place: SurgePlace; readonly time_s: number }[];
  /** Difference of the highest pressure between the grid of the samples and a finer one, over the rise [-]. */
  readonly gridUncertainty: number;
  /** Largest share by which a pipe's travel time is rounded to whole reaches [-]. */
  readonly rounded: number;
  readonly isScaled: boolean;
}

/**
 * Figures: `close:<place>` highest pressure of a closing there [Pa]; `dip`, lowest pressure ahead of the valve in an
 * opening over the vapour pressure, below zero where the liquid tears apart [Pa]; `openShare`, the highest of an opening
 * over what the place may reach, at the worst place [-]; `ratio`, the time of the closing motion over the shortest that
 * every rated place allows [-]; `shortest`, that time in the closing definition [s]; `surge`, rise at the valve over the
 * supply in either stroke [Pa]; and those of priming.
 */
export interface SurgeAnswer {
  /** The case has no fluid. */
  readonly isDry: boolean;
  /** Why the line cannot be followed though nothing is missing. */
  readonly unfit: string | undefined;
  /** Fields without which nothing of it is known, and those of priming beside them. */
  readonly missing: readonly string[];
  readonly missingPriming: readonly string[];
  readonly places: readonly SurgePlace[];
  readonly figures: OwnFigures;
  readonly closing: SurgeRun | undefined;
  readonly opening: SurgeRun | undefined;
  readonly bounds: SurgeBounds | undefined;
  readonly priming: PrimingFigures | undefined;
}

/** Id of the figure of a place. */
export function surgeFigure(place: SurgePlace): string {
  return `close:${place.path}`;
}

const ids = ["dip", "openShare", "ratio", "shortest", "surge"] as const;
/** Samples: as many as show the wanted probability, and no more, since each follows waves. */
const mostSamples = 24;
/** Reaches of the line in a sample, where each side is one pipe, in the runs of the nominal values, and in what is drawn. */
const reaches = { sample: 5, whole: 20, fine: 32 } as const;
/** Points of a motion. */
const motionPoints = { sample: 121, fine: 361 } as const;
/** A line is followed so many 2L/a beyond the motion, at most so long [s]. */
const tailCycles = 1.5;
const longestTail = 0.06;
/** Turns of the coupling at most, and the change of the stroke's time at which it stands [-]. */
const mostTurns = 8;
const turned = 2e-4;
/** The closing is run through in its time divided by powers of this, so often, and multiplied by them, so often. */
const ladder = { base: 1.7, faster: 7, slower: 4, around: 1.35 } as const;
/** Part of the flow that a motion must move before, or has yet to move when, its waves are followed in a sample [-]. */
const trimmed = 0.015;
/** Points of a picture. */
const shownPoints = 400;

/** Follows the line of a case. Refuses an unknown case. */
export function surgeOf(dossier: Dossier, caseId: string, sampling: Sampling): SurgeAnswer {
  const isDry = conditionsOf(dossier, caseId).fluid === "none";
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<string>((path) => isFaulty(dossier, path));
  const line = new SurgeLine(dossier, plan, gather);
  const priming = gatherPriming(dossier, plan, gather);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("line")])];
  const missingPriming = gather.missingFor("priming");
  const space = withoutUnread(joinedSpace(plan.space, gather.space([], [])));
  const figureIds = [...ids, ...primingFigures, ...line.places.map(surgeFigure)];
  const nothing = (unfit: string | undefined): SurgeAnswer => ({
    isDry,
    unfit,
    missing,
    missingPriming,
    places: line.places,
    figures: ownFigures(space, figureIds, { ...sampling, samples: 0 }, () => ({})),
    closing: undefined,
    opening: undefined,
    bounds: undefined,
    priming: undefined,
  });
  if (plan.medium.kind !== "liquid") return nothing("a case in which liquid flows");
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return nothing(undefined);
  try {
    const surges = new Surges(plan, line, space, priming);
    const nominal = surges.nominal();
    return {
      ...nothing(undefined),
      ...nominal,
      figures: ownFigures(space, figureIds, { ...sampling, most: mostSamples }, (values) =>
        surges.figures(values),
      ),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}

/** Inputs of the plan that move neither stroke nor flow: in a band of few samples they would go with it by chance. */
const unread =
  /^(drive\.motor\.(winding_(?!limit)|case_)|duty\.cycles|valve\.cavitation_onset|drive\.position_sensor)/;

function withoutUnread(space: InputSpace): InputSpace {
  const tied = space.copula?.dimensions ?? 0;
  return { ...space, inputs: space.inputs.filter(({ path }, j) => j < tied || !unread.test(path)) };
}

/** The valve's motion in one stroke: C and FL at even times from first motion to its end. */
interface Motion {
  readonly stroke: Stroke;
  readonly start: number;
  readonly end: number;
  readonly angle: Float64Array;
  readonly coefficient: Float64Array;
  readonly recovery: Float64Array;
  /** First and last point between which the steady flow changes. */
  readonly matters: readonly [number, number];
}

/** A stroke with which the waves agree. */
interface Coupled {
  readonly sense: Sense;
  readonly motion: Motion;
  readonly turns: number;
  readonly change: number;
  readonly coupling: number;
}

/** What the waves make of the steady drop and inlet pressure at each opening [-]. */
interface Loading {
  readonly drop: Float64Array;
  readonly inlet: Float64Array;
}

const unloaded = (): Loading => ({
  drop: new Float64Array(openings).fill(1),
  inlet: new Float64Array(openings).fill(1),
});

/** Figures of one vector of values on one network. */
interface LineFigures {
  readonly supply: number;
  /** Highest of the closing at each place. */
  readonly close: readonly number[];
  readonly dip: number;
  readonly openShare: number;
  readonly surge: number;
  readonly duration: number;
  readonly start: number;
  readonly arrived: boolean;
  readonly shortest: number;
  readonly shortestOf: readonly number[];
  readonly priming: PrimingFigures["figures"] | undefined;
  /** Difference of two grids at the valve [Pa]. */
  readonly numerical: number;
}

/** How a motion's waves are followed. */
interface WavesOrder {
  /** Of the motion's time [-]. */
  readonly scale?: number;
  readonly records?: boolean;
  readonly steady?: SteadyLine;
  /** Without the part of the motion that hardly moves the flow. */
  readonly isTrimmed?: boolean;
}

/** A network with the waves in it. */
interface FollowedLine {
  readonly network: LineNetwork;
  readonly grid: LineGrid;
  readonly waves: LineWaves;
}

/** Peaks at each place of the closing run through in `scale` of its time. */
interface Rung {
  readonly scale: number;
  readonly peaks: readonly number[];
}

class Surges {
  private readonly sample: ValveSample;
  private readonly values: Float64Array;
  private readonly steadyDrop = new Float64Array(openings);
  private readonly steadyInlet = new Float64Array(openings);
  private readonly loading: Record<Sense, Loading> = { opening: unloaded(), closing: unloaded() };
  /** Of the whole line and of the short one at the nominal values. */
  private whole: LineFigures | undefined;
  private base: LineFigures | undefined;
  /** Scale of the time that the ratings allow on the short line at the nominal values [-]. */
  private near: number | undefined;
  private shortReaches: readonly number[] = [];
  private readonly buffers = new Map<
    number,
    { angle: Float64Array; other: Float64Array; time: Float64Array }
  >();

  constructor(
    private readonly plan: Plan,
    private readonly line: SurgeLine,
    private readonly space: InputSpace,
    private readonly priming: PrimingSlots,
  ) {
    this.sample = new ValveSample(plan);
    this.values = Float64Array.from(space.nominal);
  }

  /** Of the coupled runs. */
  nominal(): Pick<SurgeAnswer, "closing" | "opening" | "bounds" | "priming"> {
    this.take(this.space.nominal);
    const built = this.build(false);
    const short = this.line.shorten(built);
    this.shortReaches = lineGrid(short.network.pipes, reaches.sample).reaches;
    const closing = this.coupled("closing", short);
    const opening = this.coupled("opening", short);
    const { network } = this.build(true);
    const fine = this.followed(network, lineGrid(network.pipes, reaches.fine));
    const drawn = { closing: this.drawn(closing, fine), opening: this.drawn(opening, fine) };
    const coarse = this.followed(built.network, lineGrid(built.network.pipes, reaches.whole));
    const line = this.line.unshortened(built.network);
    this.whole = this.lineFigures(built, line, coarse, closing.motion, opening.motion, {
      close: drawn.closing.run,
      open: drawn.opening.run,
    });
    this.base = this.shortFigures();
    const near = this.base.shortest / this.base.duration;
    this.near = Number.isFinite(near) ? near : undefined;
    // Once more with the trials of the time that the samples make.
    this.base = this.shortFigures();
    return {
      closing: drawn.closing.shown,
      opening: drawn.opening.shown,
      bounds: this.bounds(this.whole, built, coarse),
      priming: this.primingNow(built, opening.motion),
    };
  }

  private primingNow(built: BuiltLine, opening: Motion): PrimingFigures | undefined {
    return primingOf(this.priming, {
      sample: this.sample,
      line: this.line,
      built,
      own: (slot) => this.own(slot),
      opening: openingOf(opening),
      duration: opening.end - opening.start,
    });
  }

  private followed(network: LineNetwork, grid: LineGrid): FollowedLine {
    return { network, grid, waves: new LineWaves(network, grid, { kind: "vapour" }) };
  }

  /** A sample on the line with each side as one pipe, brought to the whole line by what the two give at the nominal values. */
  figures(values: Float64Array): Readonly<Record<string, number>> {
    this.take(values);
    const short = this.shortFigures();
    const { whole, base } = this;
    if (whole === undefined || base === undefined) return {};
    const { places } = this.line;
    const over = (now: number, then: number) => (then > leastPressure ? now / then : 1);
    const peaks = places.map((place, i) => {
      const [full, now, then] = [whole.close[i], short.close[i], base.close[i]].map((p) => p ?? Number.NaN);
      return [surgeFigure(place), corrected(full ?? 0, now ?? 0, then ?? 0, place)] as const;
    });

    function corrected(full: number, now: number, then: number, { side }: SurgePlace): number {
      if (base === undefined || side === "downstream" || then - base.supply < leastPressure)
        return (full * now) / then;
      return short.supply + ((full - base.supply) * (now - short.supply)) / (then - base.supply);
    }
    // Where no time that was tried is slow enough, none is known.
    const isSlowEnough = Number.isFinite(whole.shortest) && Number.isFinite(base.shortest);
    const shortest = isSlowEnough
      ? (whole.shortest * short.shortest) / base.shortest
      : Math.max(whole.shortest, short.shortest);
    return {
      ...Object.fromEntries(peaks),
      dip: whole.dip > 0 && short.dip > 0 ? whole.dip * over(short.dip, base.dip) : -1,
      openShare: (whole.openShare * short.openShare) / base.openShare,
      // A closing that does not arrive is no fast one.
      ratio: short.arrived ? short.duration / shortest : Number.POSITIVE_INFINITY,
      shortest: this.inDefinition(short.start, shortest),
      surge: base.surge > leastPressure ? (whole.surge * short.surge) / base.surge : short.surge,
      ...short.priming,
    };
  }

  /** Strokes, waves and shortest time with each side as one pipe, at the present values. */
  private shortFigures(): LineFigures {
    const built = this.build(false);
    const line = this.line.shorten(built);
    const followed = this.followed(line.network, gridWith(line.network.pipes, this.shortReaches));
    const closing = this.motion("closing", motionPoints.sample);
    const opening = this.motion("opening", motionPoints.sample);
    return this.lineFigures(built, line, followed, closing, opening);
  }

  /** The figures of two motions on a network. @param known their runs, where a finer grid has given them */
  private lineFigures(
    built: BuiltLine,
    line: ShortLine,
    followed: FollowedLine,
    closing: Motion,
    opening: Motion,
    known?: { readonly close: LineRun; readonly open: LineRun },
  ): LineFigures {
    const { places } = this.line;
    const steady = steadyLine(line.network, closing.coefficient[0] ?? 0, closing.recovery[0] ?? 1);
    const asIs = this.waves(closing, followed, { steady, isTrimmed: true });
    const runs = known ?? { close: asIs, open: this.waves(opening, followed, { isTrimmed: true }) };
    const supply = this.sample.system?.supplyPressure ?? Number.NaN;
    const peaks = (run: LineRun) => line.stretches.map((stretches) => peakIn(run, stretches));
    const close = peaks(runs.close);
    const rise = [runs.close, runs.open].flatMap((run) =>
      [line.valve.from, line.valve.to].map((j) => (run.junctionHigh[j] ?? Number.NaN) - supply),
    );
    const duration = closing.end - closing.start;
    const upstream = this.line.places.flatMap(({ side }, i) =>
      side === "upstream" ? (line.stretches[i] ?? []).map(({ pipe }) => pipe) : [],
    );
    const pv = this.sample.liquid?.vapourPressure ?? Number.NaN;
    const lowest = Math.min(...[...new Set(upstream)].map((pipe) => least(runs.open.low[pipe])));
    const rungs = this.rungs(closing, line, followed, steady, peaks(asIs));
    return {
      supply,
      close,
      dip: lowest > pv ? lowest - pv : -1,
      openShare: worstOf(peaks(runs.open), places),
      surge: Math.max(0, ...rise),
      duration,
      start: closing.start,
      arrived: closing.stroke.outcome === "arrived",
      shortest: duration * scaleWhere(rungs, (peak) => worstOf(peak, places)),
      shortestOf: places.map(({ allowed_Pa }, i) =>
        allowed_Pa === undefined
          ? Number.NaN
          : duration * scaleWhere(rungs, (peak) => (peak[i] ?? 0) / allowed_Pa),
      ),
      priming: this.primingNow(built, opening)?.figures,
      numerical: known === undefined ? 0 : Math.abs(valveOf(asIs) - valveOf(runs.close)),
    };

    function valveOf(run: LineRun): number {
      return run.junctionHigh[line.valve.from] ?? Number.NaN;
    }
  }

  /**
   * Peaks of the closing run through at several scales of its time, ascending: at those around the nominal one in a sample,
   * else down a ladder, and up it where a place is over what it may reach.
   */
  private rungs(
    motion: Motion,
    line: ShortLine,
    followed: FollowedLine,
    steady: SteadyLine,
    asIs: readonly number[],
  ): readonly Rung[] {
    const at = (scale: number): Rung => {
      const run = this.waves(motion, followed, { steady, scale, isTrimmed: true });
      return { scale, peaks: line.stretches.map((stretches) => peakIn(run, stretches)) };
    };
    const now = { scale: 1, peaks: asIs };
    if (this.near !== undefined && this.near < 1 / ladder.around) {
      const around = [this.near / ladder.around, this.near, this.near * ladder.around].map(at);
      return [...around, now];
    }
    const found: Rung[] = [now];
    for (let n = 1; n <= ladder.faster; n++) found.unshift(at(ladder.base ** -n));
    for (let n = 1; n <= ladder.slower && worstOf(found.at(-1)?.peaks ?? [], this.line.places) > 1; n++)
      found.push(at(ladder.base ** n));
    return found;
  }

  private take(values: Float64Array): void {
    this.values.set(values);
    const { sample, plan } = this;
    sample.values.set(this.values.subarray(0, plan.space.nominal.length));
    sample.updateFlow();
    this.steadyDrop.set(sample.drop);
    this.steadyInlet.set(sample.inlet);
  }

  private own(slot: Slot): number {
    return slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);
  }

  private build(isUnsteady: boolean): BuiltLine {
    const built = this.line.build(this.sample, (slot) => this.own(slot), isUnsteady);
    if (built === undefined) throw new Error("a line without flow was asked for");
    return built;
  }

  /** One stroke under the present loading. */
  private motion(sense: Sense, points: number): Motion {
    const { sample, plan, loading } = this;
    const { drop, inlet } = loading[sense];
    for (let j = 0; j < openings; j++) {
      sample.drop[j] = (this.steadyDrop[j] ?? 0) * (drop[j] ?? 1);
      sample.inlet[j] = (this.steadyInlet[j] ?? 0) * (inlet[j] ?? 1);
    }
    sample.updateTorque();
    const path = new StrokePath();
    const { stroke } = strokeOf(plan, sample, sample.train(), sense, undefined, { path });
    // A ball that does not move leaves the line as it is.
    const start = stroke.firstMotion ?? 0;
    const end = Math.max(stroke.arrival ?? stroke.end, start + shortestMotion);
    const buffer = this.bufferOf(points);
    for (let k = 0; k < points; k++) buffer.time[k] = start + ((end - start) * k) / (points - 1);
    path.sample(buffer.time, buffer.angle, buffer.other, buffer.other);
    const step = sample.angles[1] ?? 1;
    const coefficient = new Float64Array(points);
    const recovery = new Float64Array(points);
    for (let k = 0; k < points; k++) {
      const place = Math.min(Math.max((buffer.angle[k] ?? 0) / step, 0), openings - 1);
      const j = Math.min(Math.floor(place), openings - 2);
      coefficient[k] = between(sample.coefficient, j, place - j);
      recovery[k] = between(sample.recovery, j, place - j);
    }
    return {
      stroke,
      start,
      end,
      angle: buffer.angle.slice(),
      coefficient,
      recovery,
      matters: this.mattersOf(sense, buffer.angle),
    };
  }

  /** Points of a motion between which the steady flow makes all but `trimmed` of its change. */
  private mattersOf(sense: Sense, angle: Float64Array): readonly [number, number] {
    const { massFlow, angles } = this.sample;
    const full = Math.abs(massFlow[openings - 1] ?? 0);
    const passes = massFlow.findIndex((flow) => Math.abs(flow) >= (1 - trimmed) * full);
    const limit = angles[Math.max(passes, 0)] ?? 0;
    const last = angle.length - 1;
    if (sense === "closing") return [Math.max(angle.findIndex((at) => at < limit) - 1, 0), last];
    const past = angle.findIndex((at) => at > limit);
    return [0, past < 0 ? last : Math.min(past + 1, last)];
  }

  private bufferOf(points: number) {
    const known = this.buffers.get(points);
    if (known !== undefined) return known;
    const column = () => new Float64Array(points);
    const made = { angle: column(), other: column(), time: column() };
    this.buffers.set(points, made);
    return made;
  }

  /** Waves of a motion that is run through in `scale` of its time. */
  private waves(
    motion: Motion,
    { network, grid, waves }: FollowedLine,
    { scale = 1, records = false, steady, isTrimmed = false }: WavesOrder,
  ): LineRun {
    const duration = (motion.end - motion.start) * scale;
    const points = motion.coefficient.length - 1;
    const [first, last] = isTrimmed ? motion.matters : [0, points];
    const perStep = (grid.step / duration) * points;
    const moving = Math.max(Math.ceil((last - first) / perStep), 1);
    const steps = moving + Math.ceil(tailOf(network) / grid.step);
    const coefficient = new Float64Array(steps + 1);
    const recovery = new Float64Array(steps + 1);
    for (let n = 0; n <= steps; n++) {
      const place = Math.min(first + n * perStep, points);
      const k = Math.min(Math.floor(place), points - 1);
      coefficient[n] = between(motion.coefficient, k, place - k);
      recovery[n] = between(motion.recovery, k, place - k);
    }
    return waves.follow({
      valve: { coefficient, recovery },
      records,
      ...(steady === undefined ? {} : { steady }),
    });
  }

  /** Stroke and waves in turn, until the stroke's time stands. */
  private coupled(sense: Sense, { network, valve }: ShortLine): Coupled {
    const followed = this.followed(network, gridWith(network.pipes, this.shortReaches));
    const timeOf = ({ start, end }: Motion) => end - start;
    let motion = this.motion(sense, motionPoints.fine);
    const first = timeOf(motion);
    let change = Number.POSITIVE_INFINITY;
    let turns = 0;
    while (turns < mostTurns && !(change < turned)) {
      const { history } = this.waves(motion, followed, { records: true });
      const ahead = history?.pressure[valve.from];
      const behind = history?.pressure[valve.to];
      if (ahead === undefined || behind === undefined) break;
      this.load(sense, motion, followed.grid, ahead, behind);
      const next = this.motion(sense, motionPoints.fine);
      change = Math.abs(timeOf(next) / timeOf(motion) - 1);
      motion = next;
      turns++;
    }
    return { sense, motion, turns, change, coupling: timeOf(motion) / first - 1 };
  }

  /** Drop and inlet pressure of the waves over those of the steady flow, at each opening the motion passes. */
  private load(
    sense: Sense,
    motion: Motion,
    grid: LineGrid,
    ahead: Float64Array,
    behind: Float64Array,
  ): void {
    const { drop, inlet } = this.loading[sense];
    const { angles } = this.sample;
    const points = motion.angle.length - 1;
    const sign = sense === "opening" ? 1 : -1;
    let k = 0;
    for (let n = 0; n < openings; n++) {
      const j = sense === "opening" ? n : openings - 1 - n;
      const angle = angles[j] ?? 0;
      while (k < points && sign * ((motion.angle[k] ?? 0) - angle) < 0) k++;
      const time = (k / points) * (motion.end - motion.start);
      const at = Math.min(Math.round(time / grid.step), ahead.length - 1);
      const steadyDrop = this.steadyDrop[j] ?? 0;
      const steadyInlet = this.steadyInlet[j] ?? 0;
      const across = (ahead[at] ?? 0) - (behind[at] ?? 0);
      if (Math.abs(steadyDrop) > leastPressure) drop[j] = across / steadyDrop;
      if (steadyInlet > leastPressure) inlet[j] = (ahead[at] ?? 0) / steadyInlet;
    }
  }

  /** A time of the motion in the definition of the closing limit; NaN for one that does not end with the travel. */
  private inDefinition(start: number, time: number): number {
    return closingDefinition(this.plan.dossier) === "command-to-end" ? start + time : Number.NaN;
  }

  private bounds(whole: LineFigures, { network, isScaled }: BuiltLine, { grid }: FollowedLine): SurgeBounds {
    const { line, sample } = this;
    const { pipes, liquid } = network;
    const flow = sample.massFlow[openings - 1] ?? 0;
    const speedIn = (bore: Length) => flow / (liquid.density * circleArea((bore / 2) as Length));
    const main = (["upstream", "downstream"] as const).map((side) =>
      line.mainPipes(side).flatMap((i) => pipes[i] ?? []),
    );
    const last = main[0]?.at(-1);
    return {
      pipes: pipes.map(({ bore, waveSpeed }, i) => ({
        name: line.pipes[i]?.fields.name ?? `pipe ${i + 1}`,
        waveSpeed_m_s: waveSpeed,
        speed_m_s: line.pipes[i]?.isBranch === true ? 0 : speedIn(bore),
      })),
      aheadCritical_s: criticalTime(main[0] ?? []),
      behindCritical_s: criticalTime(main[1] ?? []),
      joukowsky_Pa:
        last === undefined
          ? Number.NaN
          : joukowskyRise(liquid.density, last.waveSpeed, speedIn(last.bore) as Speed),
      shortest: line.places.flatMap((place, i) =>
        place.allowed_Pa === undefined ? [] : [{ place, time_s: whole.shortestOf[i] ?? Number.NaN }],
      ),
      gridUncertainty:
        whole.numerical / Math.max((whole.close.at(-1) ?? Number.NaN) - whole.supply, leastPressure),
      rounded: grid.worst,
      isScaled,
    };
  }

  /** The coupled run on a fine grid, for the pictures. */
  private drawn(
    coupled: Coupled,
    followed: FollowedLine,
  ): { readonly run: LineRun; readonly shown: SurgeRun } {
    const { motion, sense } = coupled;
    const { network, grid } = followed;
    const run = this.waves(motion, followed, { records: true });
    const { history } = run;
    const { valve } = this.line;
    const column = (of: Float64Array | undefined) => of ?? new Float64Array(0);
    const steps = column(history?.valveFlow).length;
    const stride = Math.max(1, Math.ceil(steps / shownPoints));
    const every = Array.from({ length: Math.ceil(steps / stride) }, (_, n) => n * stride);
    const duration = motion.end - motion.start;
    const points = motion.angle.length - 1;
    const place = (n: number) => Math.min(Math.round(((n * grid.step) / duration) * points), points);
    const ofPipes = (["upstream", "downstream"] as const).flatMap((side) => this.line.mainPipes(side));
    const along: { x: number; high: number; low: number; steady: number }[] = [];
    let x = 0;
    for (const i of ofPipes) {
      const pipe = network.pipes[i];
      if (pipe === undefined) continue;
      const high = column(run.high[i]);
      const low = column(run.low[i]);
      const start = run.steady.pressure[pipe.from] ?? Number.NaN;
      const end = run.steady.pressure[pipe.to] ?? Number.NaN;
      for (let s = 0; s < high.length; s++) {
        const share = s / (high.length - 1);
        along.push({
          x: x + share * pipe.length,
          high: high[s] ?? Number.NaN,
          low: low[s] ?? Number.NaN,
          steady: start + share * (end - start),
        });
      }
      x += pipe.length;
    }
    return {
      run,
      shown: {
        sense,
        outcome: motion.stroke.outcome,
        start_s: motion.start,
        end_s: motion.end,
        time_s: every.map((n) => motion.start + n * grid.step),
        ahead_Pa: every.map((n) => column(history?.pressure[valve.from])[n] ?? Number.NaN),
        behind_Pa: every.map((n) => column(history?.pressure[valve.to])[n] ?? Number.NaN),
        flow_kg_s: every.map((n) => column(history?.valveFlow)[n] ?? Number.NaN),
        angle_rad: every.map((n) => motion.angle[place(n)] ?? Number.NaN),
        x_m: along.map((point) => point.x),
        high_Pa: along.map(({ high }) => high),
        low_Pa: along.map(({ low }) => low),
        steady_Pa: along.map(({ steady }) => steady),
        vapour_m3: run.cavity,
        turns: coupled.turns,
        change: coupled.change,
        coupling: coupled.coupling,
      },
    };
  }
}

/** A motion lasts at least so long [s]. */
const shortestMotion = 1e-3;
/** Pressures below this are none [Pa]. */
const leastPressure = 10;

function between(column: Float64Array, j: number, share: number): number {
  const low = column[j] ?? 0;
  return low + share * ((column[j + 1] ?? low) - low);
}

/** Opening of the valve against time from first motion. */
function openingOf({ coefficient, recovery, start, end }: Motion) {
  const points = coefficient.length - 1;
  return (t: number) => {
    const place = Math.min((t / (end - start)) * points, points);
    const k = Math.min(Math.floor(place), points - 1);
    return { coefficient: between(coefficient, k, place - k), recovery: between(recovery, k, place - k) };
  };
}

function least(column: Float64Array | undefined): number {
  return column === undefined
    ? Number.NaN
    : column.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
}

/** Highest pressure in some stretches [Pa]. */
function peakIn(run: LineRun, stretches: readonly Stretch[]): number {
  let peak = Number.NEGATIVE_INFINITY;
  for (const { pipe, from, to } of stretches) {
    const high = run.high[pipe];
    if (high === undefined) continue;
    const last = high.length - 1;
    for (let s = Math.round(from * last); s <= Math.round(to * last); s++)
      peak = Math.max(peak, high[s] ?? peak);
  }
  return peak;
}

/** Highest over allowed, at the worst place that has a rating; NaN without one [-]. */
function worstOf(peaks: readonly number[], places: readonly SurgePlace[]): number {
  let worst = Number.NaN;
  places.forEach(({ allowed_Pa }, i) => {
    if (allowed_Pa === undefined) return;
    const share = (peaks[i] ?? Number.NaN) / allowed_Pa;
    if (!(share <= worst)) worst = share;
  });
  return worst;
}

/**
 * Smallest scale of the time with which a share stays at one, by straight lines over the logarithm of the scale: the share
 * bends upwards there, so that the line errs to the slow side. The fastest that was tried where all hold, infinite where none does.
 * @param rungs from the fastest to the slowest
 */
function scaleWhere(rungs: readonly Rung[], shareOf: (peaks: readonly number[]) => number): number {
  const shares = rungs.map(({ peaks }) => shareOf(peaks));
  const held = shares.findLastIndex((share) => !(share <= 1));
  if (held < 0) return rungs[0]?.scale ?? Number.NaN;
  const [fast, slow] = [rungs[held], rungs[held + 1]];
  if (fast === undefined || slow === undefined) return Number.POSITIVE_INFINITY;
  const [over, under] = [shares[held] ?? Number.NaN, shares[held + 1] ?? Number.NaN];
  return fast.scale * (slow.scale / fast.scale) ** ((over - 1) / (over - under));
}

/** How long the waves are followed after a motion [s]. */
function tailOf({ pipes }: LineNetwork): number {
  const cycle = 2 * pipes.reduce((sum, { length, waveSpeed }) => sum + length / waveSpeed, 0);
  return Math.min(tailCycles * cycle, longestTail);
}
