/**
 * The runs behind surge.ts: strokes and waves in turn on the whole line at the nominal values, and samples on a line
 * in which each side is one pipe.
 */
import { circleArea } from "../physics/flow/index.js";
import {
  criticalTime,
  type EmptyBehind,
  type EmptyLine,
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
import { type Length, type Speed, standardGravity } from "../quantity/index.js";
import { closingDefinition } from "./definition.js";
import type { Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import type { Plan } from "./plan.js";
import { emptyLineOf, type PrimingFigures, type PrimingSlots, primingOf } from "./priming.js";
import type { Sense } from "./strokes.js";
import type { SurgeAnswer, SurgeBounds, SurgeRun } from "./surgeAnswer.js";
import { surgeFigure } from "./surgeAnswer.js";
import type { BuiltLine, ShortLine, SurgeLine, SurgePlace } from "./surgeLine.js";
import { between, leastPressure, type Motion, openingOf, ValveMotions } from "./surgeMotion.js";
import { peakIn, type Rung, scaleWhere, worstOf } from "./surgeScale.js";
import { openings, ValveSample } from "./valveSample.js";

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
/** A line that fills is followed so many times its filling, one that does not fill so long [s]. */
const fillingMargin = 1.1;
const longestFilling = 1;
/** Points of a picture. */
const shownPoints = 400;

/** A stroke with which the waves agree. */
interface Coupled {
  readonly sense: Sense;
  readonly motion: Motion;
  readonly turns: number;
  readonly change: number;
  readonly coupling: number;
}

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
  /** What fills behind the valve, and how long from first motion it is followed at least [s]. */
  readonly empty?: EmptyBehind;
  readonly least?: number;
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
  /** Of the whole line and of the short one at the nominal values. */
  private whole: LineFigures | undefined;
  private base: LineFigures | undefined;
  /** Scale of the time that the ratings allow on the short line at the nominal values [-]. */
  private near: number | undefined;
  private shortReaches: readonly number[] = [];
  private primed:
    | {
        readonly opening: Motion;
        readonly built: BuiltLine;
        readonly figures: PrimingFigures | undefined;
      }
    | undefined;
  constructor(
    private readonly plan: Plan,
    private readonly line: SurgeLine,
    private readonly space: InputSpace,
    private readonly priming: PrimingSlots,
  ) {
    this.sample = new ValveSample(plan);
    this.motions = new ValveMotions(plan, this.sample);
    this.values = Float64Array.from(space.nominal);
  }

  /** Of the coupled runs. */
  nominal(): Pick<SurgeAnswer, "closing" | "opening" | "bounds" | "priming"> {
    this.take(this.space.nominal);
    const built = this.build(false);
    const short = this.line.shorten(built);
    this.shortReaches = lineGrid(short.network.pipes, reaches.sample).reaches;
    const closing = this.coupled("closing", short, () => ({}));
    const opening = this.coupled("opening", short, (motion) => this.intoLine(built, short, motion));
    const { network } = this.build(true);
    const fine = this.followed(network, lineGrid(network.pipes, reaches.fine));
    const line = this.line.unshortened(built.network);
    const drawn = {
      closing: this.drawn(closing, fine, {}),
      opening: this.drawn(opening, fine, this.intoLine(built, line, opening.motion)),
    };
    const coarse = this.followed(built.network, lineGrid(built.network.pipes, reaches.whole));
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

  /** Once for each opening: the waves and the figures of priming take the same. */
  private primingNow(built: BuiltLine, opening: Motion): PrimingFigures | undefined {
    if (this.primed?.opening !== opening || this.primed.built !== built)
      this.primed = { opening, built, figures: this.fillNow(built, opening) };
    return this.primed.figures;
  }

  private fillNow(built: BuiltLine, opening: Motion): PrimingFigures | undefined {
    const empty = this.emptyNow(built);
    return empty === undefined
      ? undefined
      : primingOf(this.priming, {
          sample: this.sample,
          line: this.line,
          built,
          empty,
          opening: openingOf(opening),
          duration: opening.end - opening.start,
        });
  }

  private emptyNow(built: BuiltLine): EmptyLine | undefined {
    return emptyLineOf(this.priming, {
      sample: this.sample,
      line: this.line,
      built,
      own: (slot) => this.own(slot),
    });
  }

  /** How an opening is followed: into the line behind the valve as it stands, until that is full. */
  private intoLine(built: BuiltLine, { behind }: ShortLine, opening: Motion): WavesOrder {
    const line = this.emptyNow(built);
    if (line === undefined) return {};
    const time = this.primingNow(built, opening)?.filled.time ?? longestFilling;
    return { empty: { line, path: behind }, least: fillingMargin * time };
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
    const steady = steadyLine(line.network, closing.coefficient[0] ?? 0, closing.recovery[0] ?? 1);
    const asIs = this.waves(closing, followed, { steady, isTrimmed: true });
    const runs = known ?? {
      close: asIs,
      open: this.waves(opening, followed, { ...this.intoLine(built, line, opening), isTrimmed: true }),
    };
    const supply = this.sample.at(this.plan.slots.supplyPressure);
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
    // While a line behind fills, what is full is what lies ahead; as it is full, priming takes over.
    const low = runs.open.filled?.low ?? runs.open.low;
    const lowest = Math.min(...[...new Set(upstream)].map((pipe) => least(low[pipe])));
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
    this.motions.takeSteady();
  }

  private own(slot: Slot): number {
    return slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);
  }

  private build(isUnsteady: boolean): BuiltLine {
    const built = this.line.build(this.sample, (slot) => this.own(slot), isUnsteady);
    if (built === undefined) throw new Error("a line without flow was asked for");
    return built;
  }

  /** Waves of a motion that is run through in `scale` of its time. */
  private waves(
    motion: Motion,
    { network, grid, waves }: FollowedLine,
    { scale = 1, records = false, steady, isTrimmed = false, empty, least = 0 }: WavesOrder,
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
      level: line.pipes.flatMap(({ fields, rise }, i) => (rise < 0 ? [fields.name ?? `pipe ${i + 1}`] : [])),
      weight_Pa_m: liquid.density * standardGravity.value,
    };
  }

  /** The coupled run on a fine grid, for the pictures. */
  private drawn(
    coupled: Coupled,
    followed: FollowedLine,
    how: WavesOrder,
  ): { readonly run: LineRun; readonly shown: SurgeRun } {
    const { motion, sense } = coupled;
    const { network, grid } = followed;
    const run = this.waves(motion, followed, { ...how, records: true });
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
