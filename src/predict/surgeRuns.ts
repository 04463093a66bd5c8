/**
 * The runs behind surge.ts: strokes and waves in turn on the whole line at the nominal values, and samples on a line
 * in which each side is one pipe.
 */
import {
  gridWith,
  type LineGrid,
  type LineNetwork,
  type LineRun,
  type LineStation,
  LineWaves,
  lineGrid,
  type SteadyLine,
  steadyLine,
} from "../physics/line/index.js";
import { closingDefinition } from "./definition.js";
import type { Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import type { Plan } from "./plan.js";
import type { PrimingFigures, PrimingSlots } from "./priming.js";
import type { Sense } from "./strokes.js";
import type { SurgeAnswer } from "./surgeAnswer.js";
import { surgeFigure } from "./surgeAnswer.js";
import { boundsOf } from "./surgeBounds.js";
import { type Coupled, drawnRun } from "./surgeDrawn.js";
import { Fillings, type IntoLine } from "./surgeFilling.js";
import type { BuiltLine, SurgeLine, SurgePlace } from "./surgeLine.js";
import { between, leastPressure, type Motion, ValveMotions } from "./surgeMotion.js";
import { peakIn, type Rung, scaleWhere, worstOf } from "./surgeScale.js";
import { type ShortLine, shorten, unshortened } from "./surgeShort.js";
import { ValveSample } from "./valveSample.js";

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

/** Figures of one vector of values on one network. */
interface LineFigures {
  readonly supply: number;
  /** Highest of the closing at each place. */
  readonly close: readonly number[];
  /** And of the opening. */
  readonly open: readonly number[];
  readonly dip: number;
  readonly openShare: number;
  readonly surge: number;
  readonly duration: number;
  readonly start: number;
  readonly arrived: boolean;
  readonly shortest: number;
  readonly shortestOf: readonly number[];
  /** Slowest scale that was tried [-]. */
  readonly slowest: number;
  readonly priming: PrimingFigures["figures"] | undefined;
  /** Difference of two grids at the valve [Pa]. */
  readonly numerical: number;
}

/** How a motion's waves are followed. */
interface WavesOrder extends IntoLine {
  /** Of the motion's time [-]. */
  readonly scale?: number;
  readonly records?: boolean;
  /** Places besides the junctions whose history is kept. */
  readonly stations?: readonly LineStation[];
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

/** Strokes and waves of a line, at the nominal values and at those of samples. */
export class Surges {
  private readonly sample: ValveSample;
  private readonly values: Float64Array;
  private readonly motions: ValveMotions;
  private readonly fillings: Fillings;
  /** Of the whole line and of the short one at the nominal values. */
  private whole: LineFigures | undefined;
  private base: LineFigures | undefined;
  /** Scale of the time that the ratings allow on the short line at the nominal values [-]. */
  private near: number | undefined;
  private shortReaches: readonly number[] = [];
  constructor(
    private readonly plan: Plan,
    private readonly line: SurgeLine,
    private readonly space: InputSpace,
    private readonly priming: PrimingSlots,
  ) {
    this.sample = new ValveSample(plan);
    this.motions = new ValveMotions(plan, this.sample);
    this.values = Float64Array.from(space.nominal);
    this.fillings = new Fillings(priming, plan, line, this.sample, (slot) => this.own(slot));
  }

  /** Of the coupled runs. */
  nominal(): Pick<SurgeAnswer, "closing" | "opening" | "bounds" | "priming"> {
    this.take(this.space.nominal);
    const built = this.build(false);
    const filling = this.filling(built);
    const short = shorten(this.line, built);
    const shortFilling = filling === built ? short : shorten(this.line, filling);
    this.shortReaches = lineGrid(short.network.pipes, reaches.sample).reaches;
    const closing = this.coupled("closing", short, () => ({}));
    const opening = this.coupled("opening", shortFilling, (motion) =>
      this.fillings.into(filling, shortFilling, motion),
    );
    const damped = this.build(true);
    const fine = this.followed(damped.network, lineGrid(damped.network.pipes, reaches.fine));
    const fineFilling = this.followed(this.filling(damped, true).network, fine.grid);
    const line = unshortened(this.line, built.network);
    const { stations } = this.line;
    const close = this.waves(closing.motion, fine, { records: true, stations });
    const into = this.fillings.into(filling, line, opening.motion);
    const open = this.waves(opening.motion, fineFilling, { ...into, records: true, stations });
    const coarse = this.followed(built.network, lineGrid(built.network.pipes, reaches.whole));
    this.whole = this.lineFigures(built, line, coarse, closing.motion, opening.motion, { close, open });
    this.base = this.shortFigures();
    const near = this.base.shortest / this.base.duration;
    this.near = Number.isFinite(near) ? near : undefined;
    // Once more with the trials of the time that the samples make.
    this.base = this.shortFigures();
    return {
      closing: drawnRun(closing, close, fine, this.line),
      opening: drawnRun(opening, open, fineFilling, this.line),
      bounds: boundsOf(this.whole, built, coarse.grid, this.line, this.sample),
      priming: this.fillings.primingOf(filling, opening.motion),
    };
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
      ratio: short.arrived
        ? (whole.duration * short.duration) / (base.duration * shortest)
        : Number.POSITIVE_INFINITY,
      shortest: this.inDefinition(short.start, shortest),
      surge: base.surge > leastPressure ? (whole.surge * short.surge) / base.surge : short.surge,
      ...short.priming,
    };
  }

  /** Strokes, waves and shortest time with each side as one pipe, at the present values. */
  private shortFigures(): LineFigures {
    const built = this.build(false);
    const line = shorten(this.line, built);
    const followed = this.followed(line.network, gridWith(line.network.pipes, this.shortReaches));
    const closing = this.motions.motion("closing", motionPoints.sample);
    const opening = this.motions.motion("opening", motionPoints.sample);
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
    const filling = this.filling(built);
    const steady = steadyLine(line.network, closing.coefficient[0] ?? 0, closing.recovery[0] ?? 1);
    const asIs = this.waves(closing, followed, { steady, isTrimmed: true });
    const runs = known ?? {
      close: asIs,
      open: this.openedWaves(filling, line, followed, opening),
    };
    const supply = this.sample.at(this.plan.slots.supplyPressure);
    const peaks = (run: LineRun) => line.stretches.map((stretches) => peakIn(run, stretches));
    const close = peaks(runs.close);
    const open = peaks(runs.open);
    const rise = [runs.close, runs.open].flatMap((run) =>
      [line.valve.from, line.valve.to].map((j) => (run.junctionHigh[j] ?? Number.NaN) - supply),
    );
    const duration = closing.end - closing.start;
    const upstream = this.line.places.flatMap(({ side }, i) =>
      side === "upstream" ? (line.stretches[i] ?? []).map(({ pipe }) => pipe) : [],
    );
    const pv = this.sample.liquid?.vapourPressure ?? Number.NaN;
    // While a line behind fills, what is full is what lies ahead; as it is full, priming takes over.
    const low = runs.open.filled?.low ?? runs.open.low;
    const lowest = Math.min(...[...new Set(upstream)].map((pipe) => least(low[pipe])));
    const rungs = this.rungs(closing, line, followed, steady, peaks(asIs));
    const shortestOf = places.map(({ allowed_Pa }, i) =>
      allowed_Pa === undefined
        ? Number.NaN
        : duration * scaleWhere(rungs, (peak) => (peak[i] ?? 0) / allowed_Pa),
    );
    const ofRated = shortestOf.filter((_, i) => places[i]?.allowed_Pa !== undefined);
    return {
      supply,
      close,
      open,
      dip: lowest > pv ? lowest - pv : -1,
      openShare: worstOf(open, places),
      surge: Math.max(0, ...rise),
      duration,
      start: closing.start,
      arrived: closing.stroke.outcome === "arrived",
      shortest: ofRated.length === 0 ? Number.NaN : Math.max(...ofRated),
      shortestOf,
      slowest: rungs.at(-1)?.scale ?? Number.NaN,
      priming: this.fillings.primingOf(filling, opening)?.figures,
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
    this.motions.takeSteady(this.fillings.system());
  }

  private own(slot: Slot): number {
    return slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);
  }

  private build(isUnsteady: boolean, unlit?: number): BuiltLine {
    const built = this.line.build(this.sample, (slot) => this.own(slot), isUnsteady, unlit);
    if (built === undefined) throw new Error("a line without flow was asked for");
    return built;
  }

  /** The line as it fills: that of the closing, but for a chamber that does not burn yet. */
  private filling(built: BuiltLine, isUnsteady = false): BuiltLine {
    const unlit = this.fillings.unlitPressure();
    return unlit === undefined ? built : this.build(isUnsteady, unlit);
  }

  /** Waves of an opening on the short line, followed for what counts in it. */
  private openedWaves(filling: BuiltLine, line: ShortLine, followed: FollowedLine, opening: Motion): LineRun {
    const into = { ...this.fillings.into(filling, line, opening), isTrimmed: true };
    if (this.priming.unlit === undefined) return this.waves(opening, followed, into);
    const { network } = shorten(this.line, filling);
    return this.waves(opening, this.followed(network, followed.grid), into);
  }

  /** Waves of a motion that is run through in `scale` of its time. */
  private waves(
    motion: Motion,
    { network, grid, waves }: FollowedLine,
    { scale = 1, records = false, steady, isTrimmed = false, empty, least = 0, stations = [] }: WavesOrder,
  ): LineRun {
    const duration = (motion.end - motion.start) * scale;
    const points = motion.coefficient.length - 1;
    const [first, last] = isTrimmed ? motion.matters : [0, points];
    const perStep = (grid.step / duration) * points;
    const moving = Math.max(Math.ceil((last - first) / perStep), 1);
    const filling = Math.ceil(least / grid.step);
    // Where a line fills, what counts in a sample has happened when it is full.
    const followed = isTrimmed && filling > 0 ? filling : Math.max(moving, filling);
    const steps = followed + Math.ceil(tailOf(network) / grid.step);
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
      stations,
      ...(steady === undefined ? {} : { steady }),
      ...(empty === undefined ? {} : { empty }),
    });
  }

  /** Stroke and waves in turn, until the stroke's time stands. */
  private coupled(sense: Sense, { network, valve }: ShortLine, how: (motion: Motion) => WavesOrder): Coupled {
    const followed = this.followed(network, gridWith(network.pipes, this.shortReaches));
    const timeOf = ({ start, end }: Motion) => end - start;
    let motion = this.motions.motion(sense, motionPoints.fine);
    const first = timeOf(motion);
    let change = Number.POSITIVE_INFINITY;
    let turns = 0;
    while (turns < mostTurns && !(change < turned)) {
      const { history } = this.waves(motion, followed, { ...how(motion), records: true });
      const ahead = history?.pressure[valve.from];
      const behind = history?.pressure[valve.to];
      if (ahead === undefined || behind === undefined) break;
      this.motions.load(sense, motion, followed.grid, ahead, behind);
      const next = this.motions.motion(sense, motionPoints.fine);
      change = Math.abs(timeOf(next) / timeOf(motion) - 1);
      motion = next;
      turns++;
    }
    return { sense, motion, turns, change, coupling: timeOf(motion) / first - 1 };
  }

  /** A time of the motion in the definition of the closing limit; NaN for one that does not end with the travel. */
  private inDefinition(start: number, time: number): number {
    return closingDefinition(this.plan.dossier) === "command-to-end" ? start + time : Number.NaN;
  }
}

function least(column: Float64Array | undefined): number {
  return column === undefined
    ? Number.NaN
    : column.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
}

/** How long the waves are followed after a motion [s]. */
function tailOf({ pipes }: LineNetwork): number {
  const cycle = 2 * pipes.reduce((sum, { length, waveSpeed }) => sum + length / waveSpeed, 0);
  return Math.min(tailCycles * cycle, longestTail);
}
