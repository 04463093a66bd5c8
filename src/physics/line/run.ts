/**
 * Water hammer in a branched line by the method of characteristics: from the steady state through a motion of the valve.
 *
 * Heights enter by piezometric pressure alone, p* = p + rho g z, z over the level of the valve: along a pipe
 * C+ and C- have no weight in them, so that waves run as in a level line, and liquid tears apart at p* = p_v + rho g z.
 *
 * Source  [wylie-streeter-1993, ch. 3]; what stands between the pipes in junctions.ts
 */
import { refuse } from "../../fault/index.js";
import { type EmptyLine, Front } from "./front.js";
import { Junctions } from "./junctions.js";
import {
  areaOf,
  impedance,
  type LineGrid,
  type LineNetwork,
  type LinePipe,
  pipeResistance,
} from "./network.js";
import {
  type CavityModel,
  leastGas,
  type PipeStep,
  type Sections,
  sectionsOf,
  settle,
  sweepInFull,
} from "./sections.js";
import { type SteadyLine, steadyLine } from "./steady.js";
import { sweep } from "./sweep.js";

/** The valve's opening at each step, the first at the steady state. */
export interface ValveLaw {
  /** W^2 = rho C^2 dp [m2]. */
  readonly coefficient: Float64Array;
  /** Pressure recovery factor FL [-]. */
  readonly recovery: Float64Array;
}

export interface LineOrder {
  /** As many steps as its columns have, less one. */
  readonly valve: ValveLaw;
  /** Whether histories are kept, of every junction. */
  readonly records: boolean;
  /** Places whose history is kept beside those of the junctions; left out: none. */
  readonly stations?: readonly LineStation[];
  /** The steady state of the first opening, where it is known already. */
  readonly steady?: SteadyLine;
  /** What fills behind the valve; left out: it stands full. */
  readonly empty?: EmptyBehind;
}

/** How a line has filled. */
export interface FilledBehind {
  /** Liquid in it at the end [m3], and whether that is all of it. */
  readonly volume: number;
  readonly isFull: boolean;
  /** As `low` of the run, before the front came to the end [Pa, absolute]. */
  readonly low: readonly Float64Array[];
}

/** The line behind the valve that stands empty, and the pipes of the network that are it, from the valve to its end. */
export interface EmptyBehind {
  readonly line: EmptyLine;
  readonly path: readonly number[];
}

/** A place along a pipe. */
export interface LineStation {
  readonly pipe: number;
  /** From its start, of its length [-]. */
  readonly share: number;
}

/** Pressure and flow against time, one entry for each step and one for the start. */
export interface LineHistory {
  /** By junction [Pa, absolute]. */
  readonly pressure: readonly Float64Array[];
  /** Through the valve [kg/s]. */
  readonly valveFlow: Float64Array;
  /** By junction: into the fitting that stands there [kg/s]. */
  readonly fittingFlow: readonly Float64Array[];
  /** By station; of one in an empty line the pressure of the gas until it is full [Pa, absolute]. */
  readonly station: readonly Float64Array[];
}

/** What a line felt. */
export interface LineRun {
  readonly steady: SteadyLine;
  /** By pipe and section, from its start to its end [Pa, absolute]. */
  readonly high: readonly Float64Array[];
  readonly low: readonly Float64Array[];
  /** Highest and lowest at each junction [Pa, absolute]. */
  readonly junctionHigh: Float64Array;
  readonly junctionLow: Float64Array;
  /** Largest volume of vapour in the line at one time [m3]. */
  readonly cavity: number;
  readonly history: LineHistory | undefined;
  /** Mass of liquid in the line at the end over that at the start, by its pressure, A L dp / a^2 [kg]. */
  readonly stored: number;
  /** Of a line that stood empty behind the valve. */
  readonly filled: FilledBehind | undefined;
}

/**
 * Follows a line from its steady state, once; `LineWaves` follows one line through many motions.
 * @param grid  of `lineGrid`
 * Refuses      a motion without steps
 */
export function runLine(
  network: LineNetwork,
  grid: LineGrid,
  { cavities, ...order }: LineOrder & { readonly cavities: CavityModel },
): LineRun {
  return new LineWaves(network, grid, cavities).follow(order);
}

/** A line on its grid, to be followed through any number of motions, each from a steady state. */
export class LineWaves {
  private readonly sections: Sections;
  private readonly pipes: readonly PipeStep[];
  private readonly junctions: Junctions;
  /** Whether a pipe is followed in full. */
  private readonly inFull: Uint8Array;
  private readonly isAlwaysInFull: boolean;
  /** rho g z of each section, and twice the highest piezometric pressure of each pipe at which liquid tears apart [Pa]. */
  private readonly head: Float64Array;
  private readonly tears: Float64Array;
  private history: LineHistory | undefined;
  private stations: readonly LineStation[] = [];
  private front: Front | undefined;
  private readonly share: number;
  private largest = 0;

  constructor(
    private readonly network: LineNetwork,
    private readonly grid: LineGrid,
    cavities: CavityModel,
  ) {
    const { pipes, liquid } = network;
    const rho = liquid.density;
    this.share = grid.step / rho;
    let first = 0;
    this.pipes = pipes.map((pipe, i): PipeStep => {
      const N = grid.reaches[i] ?? 1;
      const at = first;
      first += N + 1;
      // Of the wave speed that fits whole reaches: inertia and friction of the pipe stay what they are.
      const B = impedance({ ...pipe, waveSpeed: (pipe.length / (N * grid.step)) as LinePipe["waveSpeed"] });
      const volume = (areaOf(pipe.bore) * pipe.length) / N;
      const excess = cavities.kind === "gas" ? Math.max(cavities.pressure - liquid.vapourPressure, 0) : 0;
      return {
        first: at,
        last: at + N,
        R: pipeResistance(pipe, rho) / N,
        B,
        unsteady: 0.5 * pipe.unsteady * B,
        gas: cavities.kind === "gas" ? excess * cavities.share * volume : 0,
      };
    });
    this.sections = sectionsOf(first);
    this.isAlwaysInFull = cavities.kind === "gas";
    this.inFull = Uint8Array.from(this.pipes, ({ unsteady, gas }) => (unsteady !== 0 || gas > 0 ? 1 : 0));
    this.junctions = new Junctions(network, this.sections, this.pipes, this.share, grid.step);
    this.head = new Float64Array(first);
    this.tears = new Float64Array(pipes.length);
    pipes.forEach(({ from, to }, i) => {
      const { first: start, last } = this.pipes[i] as PipeStep;
      const [low, high] = [this.junctions.head[from] ?? 0, this.junctions.head[to] ?? 0];
      for (let s = start; s <= last; s++) this.head[s] = low + ((high - low) * (s - start)) / (last - start);
      this.tears[i] = 2 * (liquid.vapourPressure + Math.max(low, high));
    });
    this.sections.pv.set(this.head.map((head) => liquid.vapourPressure + head));
  }

  /** Waves of the steady state. */
  private start(
    { valve, records, steady: known, stations = [] }: LineOrder,
    front: Front | undefined,
  ): SteadyLine {
    const steady = known ?? steadyLine(this.network, valve.coefficient[0] ?? 0, valve.recovery[0] ?? 1);
    this.largest = 0;
    this.pipes.forEach(({ unsteady, gas }, i) => {
      this.inFull[i] = unsteady !== 0 || gas > 0 ? 1 : 0;
    });
    const steps = valve.coefficient.length;
    const columns = () => this.network.fittings.map(() => new Float64Array(steps));
    this.history = records
      ? {
          pressure: columns(),
          valveFlow: new Float64Array(steps),
          fittingFlow: columns(),
          station: stations.map(() => new Float64Array(steps)),
        }
      : undefined;
    this.stations = stations;
    this.front = front;
    this.network.pipes.forEach(({ from }, i) => {
      this.lay(i, (steady.pressure[from] ?? 0) + (this.junctions.head[from] ?? 0), steady.flow[i] ?? 0);
    });
    this.junctions.start(steady, front);
    if (front !== undefined) this.empty(front.pressure);
    this.record(0);
    return steady;
  }

  /** Gas of a pressure stands in the pipes behind the valve. */
  private empty(gas: number): void {
    const { high, low } = this.sections;
    this.pipes.forEach(({ first, last }, i) => {
      if (!this.junctions.isAsleep(i)) return;
      for (let s = first; s <= last; s++) high[s] = low[s] = 2 * (gas + (this.head[s] as number));
    });
  }

  /**
   * The front has come to the end: its pipes are full, all at the flow of the column, which what stands at the end stops.
   * The pressures on the way are those of that flow; branches are taken as full and at rest.
   */
  private wake(front: Front, path: readonly number[]): void {
    const { network, junctions, sections } = this;
    const W = junctions.valveFlow;
    const asleep = network.pipes.flatMap((_, i) => (junctions.isAsleep(i) ? [i] : []));
    const high = sections.high.slice();
    const low = sections.low.slice();
    let at = front.pressure + (junctions.head[network.pipes[path.at(-1) ?? 0]?.to ?? 0] ?? 0);
    let next: number | undefined;
    for (const i of path.toReversed()) {
      const pipe = network.pipes[i];
      if (pipe === undefined) continue;
      const loss = network.losses.find(({ from, to }) => from === pipe.to && to === next);
      at += (loss?.resistance ?? 0) * W * W;
      junctions.pressure[pipe.to] = at;
      at += pipeResistance(pipe, network.liquid.density) * W * W;
      this.lay(i, at, W);
      junctions.pressure[pipe.from] = at;
      next = pipe.from;
    }
    for (const i of asleep)
      if (!path.includes(i)) this.lay(i, junctions.pressure[network.pipes[i]?.from ?? 0] ?? 0, 0);
    for (const i of asleep) {
      const { first, last } = this.pipes[i] as PipeStep;
      for (let s = first; s <= last; s++) {
        sections.high[s] = Math.max(sections.high[s] as number, high[s] as number);
        sections.low[s] = Math.min(sections.low[s] as number, low[s] as number);
      }
    }
    junctions.wake();
  }

  /** Fills a pipe with the waves of a steady flow. @param start piezometric pressure at its start [Pa] */
  private lay(i: number, start: number, W: number): void {
    const { F, G, p, pv, high, low, cavity, to, from, toBefore, fromBefore } = this.sections;
    const { first, last, R, B, gas } = this.pipes[i] as PipeStep;
    let at = start;
    for (let s = first; s <= last; s++) {
      F[s] = at + B * W;
      G[s] = at - B * W;
      p[s] = at;
      high[s] = 2 * at;
      low[s] = 2 * at;
      to[s] = W;
      from[s] = W;
      toBefore[s] = W;
      fromBefore[s] = W;
      cavity[s] = gas > 0 ? gas / Math.max(at - (pv[s] as number), leastGas) : 0;
      at -= R * W * Math.abs(W);
    }
  }

  /**
   * Follows the line through a motion of the valve.
   * Refuses  a motion without steps
   */
  follow(order: LineOrder): LineRun {
    const { coefficient, recovery } = order.valve;
    if (coefficient.length < 2)
      refuse(
        "impossible-value",
        "a motion of the valve without steps",
        "Waves are followed in time.",
        "Give two instants or more.",
      );
    const { empty } = order;
    const front = empty === undefined ? undefined : new Front(empty.line);
    const steady = this.start(order, front);
    const { sections, junctions } = this;
    let before = this.mass();
    let isFilling = front !== undefined;
    let filling = sections.low;
    for (let n = 1; n < coefficient.length; n++) {
      let vapour = 0;
      for (let i = 0; i < this.pipes.length; i++)
        if (!isFilling || !junctions.isAsleep(i)) vapour += this.stepPipe(i);
      junctions.step(coefficient[n] as number, recovery[n] as number);
      vapour += junctions.torn();
      if (vapour > this.largest) this.largest = vapour;
      this.record(n);
      if (isFilling && front?.isFull === true) {
        const then = this.mass();
        filling = sections.low.slice();
        this.wake(front, empty?.path ?? []);
        before += this.mass() - then;
        isFilling = false;
      }
    }
    const cut = (column: Float64Array) =>
      this.pipes.map(({ first, last }) =>
        column.slice(first, last + 1).map((twice, k) => twice / 2 - (this.head[first + k] as number)),
      );
    const level = (column: Float64Array) => column.map((at, j) => at - (junctions.head[j] as number));
    return {
      steady,
      high: cut(sections.high),
      low: cut(sections.low),
      junctionHigh: level(junctions.high),
      junctionLow: level(junctions.low),
      cavity: this.largest,
      history: this.history,
      stored: this.mass() - before,
      filled: front === undefined ? undefined : { volume: front.x, isFull: front.isFull, low: cut(filling) },
    };
  }

  /** Mass by pressure, the integral of A p / a^2 along each pipe less what its cavities displace [kg]. */
  private mass(): number {
    const { F, G, p, cavity } = this.sections;
    const rho = this.network.liquid.density;
    let mass = 0;
    this.network.pipes.forEach((_, i) => {
      const { first, last, B } = this.pipes[i] as PipeStep;
      const perPressure = this.grid.step / B;
      for (let s = first; s <= last; s++) {
        const half = s === first || s === last ? 0.5 : 1;
        const at = this.inFull[i] === 1 ? (p[s] as number) : 0.5 * ((F[s] as number) + (G[s] as number));
        mass += half * perPressure * at - rho * (cavity[s] as number);
      }
    });
    const { vapour } = this.junctions;
    for (let j = 0; j < vapour.length; j++) mass -= rho * (vapour[j] as number);
    return mass;
  }

  /** @returns vapour in the pipe [m3] */
  private stepPipe(i: number): number {
    const { sections, share } = this;
    const pipe = this.pipes[i] as PipeStep;
    if (this.inFull[i] === 0) {
      const { F, G, high, low, pv } = sections;
      const lowest = sweep(F, G, high, low, pipe.first, pipe.last, pipe.R / (4 * pipe.B * pipe.B));
      if (lowest >= (this.tears[i] as number)) return 0;
      // Liquid tears apart in this step: from here on in full, the envelope kept at the vapour pressure.
      this.inFull[i] = 1;
      for (let s = pipe.first; s <= pipe.last; s++)
        if ((low[s] as number) < 2 * (pv[s] as number)) low[s] = 2 * (pv[s] as number);
    } else sweepInFull(sections, pipe);
    const vapour = settle(sections, pipe, share);
    if (vapour === 0 && pipe.unsteady === 0 && !this.isAlwaysInFull) this.inFull[i] = 0;
    return pipe.gas > 0 ? 0 : vapour;
  }

  private record(n: number): void {
    const { history, junctions } = this;
    if (history === undefined) return;
    history.valveFlow[n] = junctions.valveFlow;
    for (let j = 0; j < junctions.pressure.length; j++) {
      const pressure = history.pressure[j];
      const into = history.fittingFlow[j];
      if (pressure !== undefined)
        pressure[n] = (junctions.pressure[j] as number) - (junctions.head[j] as number);
      if (into !== undefined) into[n] = junctions.fittingFlow[j] as number;
    }
    history.station.forEach((column, k) => {
      column[n] = this.pressureAt(this.stations[k] as LineStation);
    });
  }

  /** Between the two sections beside a station [Pa, absolute]. */
  private pressureAt({ pipe, share }: LineStation): number {
    const { first, last } = this.pipes[pipe] as PipeStep;
    if (this.junctions.isAsleep(pipe)) return this.front?.pressure ?? Number.NaN;
    const { F, G } = this.sections;
    const place = first + Math.min(Math.max(share, 0), 1) * (last - first);
    const s = Math.min(Math.floor(place), last - 1);
    const at = (i: number) => 0.5 * ((F[i] as number) + (G[i] as number)) - (this.head[i] as number);
    return at(s) + (place - s) * (at(s + 1) - at(s));
  }
}
