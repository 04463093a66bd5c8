/**
 * Water hammer in a branched line by the method of characteristics: from the steady state through a motion of the valve.
 *
 * At a junction the waves that arrive meet, each pipe end giving p = C - B W_out. Several ends act as one,
 *
 *   p = Ce - Be W,   Ce = sum(C/B) / sum(1/B),   Be = 1 / sum(1/B)
 *
 * and what stands there closes the equation: nothing (W = 0), a pressure behind a loss, a gas cushion, a loss or the
 * valve to another junction, W|W| = g (p1 - p2) with W at most that of a choked valve.
 *
 * Source  [wylie-streeter-1993, ch. 3]; choked valve [iec60534-2-1]; cavities at the valve as discrete ones of vapour
 */
import { refuse } from "../../fault/index.js";
import {
  areaOf,
  impedance,
  type LineGrid,
  type LineLoss,
  type LineNetwork,
  type LinePipe,
  pipeResistance,
} from "./network.js";
import {
  type CavityModel,
  gasPressure,
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
  /** The steady state of the first opening, where it is known already. */
  readonly steady?: SteadyLine;
}

/** Pressure and flow against time, one entry for each step and one for the start. */
export interface LineHistory {
  /** By junction [Pa, absolute]. */
  readonly pressure: readonly Float64Array[];
  /** Through the valve [kg/s]. */
  readonly valveFlow: Float64Array;
  /** By junction: into the fitting that stands there [kg/s]. */
  readonly fittingFlow: readonly Float64Array[];
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

/** A loss of less than this is none [Pa/(kg/s)^2]. */
const leastResistance = 1;

/** Newton steps of a gas cushion, and the pressure within which it stands [Pa]. */
const cushionSteps = 20;
const cushionTolerance = 1e-3;

/** A line on its grid, to be followed through any number of motions, each from a steady state. */
export class LineWaves {
  private readonly sections: Sections;
  private readonly pipes: readonly PipeStep[];
  /** Whether a pipe is followed in full. */
  private readonly inFull: Uint8Array;
  private readonly isAlwaysInFull: boolean;
  /** Pipe ends of each junction: where they begin, the section, whether it is the last of its pipe, 1/B. */
  private readonly endsFrom: Int32Array;
  private readonly endSection: Int32Array;
  private readonly endIsLast: Uint8Array;
  private readonly endY: Float64Array;
  /** sum 1/B of each junction, and what arrives. */
  private readonly Y: Float64Array;
  private readonly arriving: Float64Array;
  private readonly pressure: Float64Array;
  private readonly vapour: Float64Array;
  private readonly junctionGas: Float64Array;
  private readonly high: Float64Array;
  private readonly low: Float64Array;
  private readonly cushion: Float64Array;
  private readonly cushionVolume: Float64Array;
  private readonly cushionFlow: Float64Array;
  private readonly cushionStart: Float64Array;
  private readonly fittingFlow: Float64Array;
  private steady: SteadyLine;
  private order: LineOrder;
  /** Of each junction, and the loss at it. */
  private readonly kinds: Uint8Array;
  private readonly outside: Float64Array;
  private readonly resistance: Float64Array;
  private readonly exponent: Float64Array;
  private history: LineHistory | undefined;
  private readonly share: number;
  private readonly pv: number;
  private valveFlow = 0;
  private largest = 0;

  constructor(
    private readonly network: LineNetwork,
    private readonly grid: LineGrid,
    cavities: CavityModel,
  ) {
    const { pipes, fittings, liquid } = network;
    const rho = liquid.density;
    this.share = grid.step / rho;
    this.pv = liquid.vapourPressure;
    let first = 0;
    this.pipes = pipes.map((pipe, i): PipeStep => {
      const N = grid.reaches[i] ?? 1;
      const at = first;
      first += N + 1;
      // Of the wave speed that fits whole reaches: inertia and friction of the pipe stay what they are.
      const B = impedance({ ...pipe, waveSpeed: (pipe.length / (N * grid.step)) as LinePipe["waveSpeed"] });
      const volume = (areaOf(pipe.bore) * pipe.length) / N;
      return {
        first: at,
        last: at + N,
        R: pipeResistance(pipe, rho) / N,
        B,
        unsteady: 0.5 * pipe.unsteady * B,
        gas: cavities.kind === "gas" ? Math.max(cavities.pressure - this.pv, 0) * cavities.share * volume : 0,
      };
    });
    this.sections = sectionsOf(first);
    this.isAlwaysInFull = cavities.kind === "gas";
    this.inFull = Uint8Array.from(this.pipes, ({ unsteady, gas }) => (unsteady !== 0 || gas > 0 ? 1 : 0));
    const n = fittings.length;
    const ends = fittings.map((_, j) =>
      pipes.flatMap((pipe, i) => [
        ...(pipe.from === j ? [{ i, isLast: false }] : []),
        ...(pipe.to === j ? [{ i, isLast: true }] : []),
      ]),
    );
    const all = ends.flat();
    const pipeAt = (i: number) => this.pipes[i] as PipeStep;
    this.endsFrom = new Int32Array(n + 1);
    ends.forEach((list, j) => {
      this.endsFrom[j + 1] = (this.endsFrom[j] ?? 0) + list.length;
    });
    this.endSection = Int32Array.from(all, ({ i, isLast }) => (isLast ? pipeAt(i).last : pipeAt(i).first));
    this.endIsLast = Uint8Array.from(all, ({ isLast }) => (isLast ? 1 : 0));
    this.endY = Float64Array.from(all, ({ i }) => 1 / pipeAt(i).B);
    this.Y = Float64Array.from(ends, (list) => list.reduce((sum, { i }) => sum + 1 / pipeAt(i).B, 0));
    this.junctionGas = Float64Array.from(ends, (list) =>
      list.reduce((sum, { i }) => sum + pipeAt(i).gas / 2, 0),
    );
    this.arriving = new Float64Array(n);
    this.pressure = new Float64Array(n);
    this.vapour = new Float64Array(n);
    this.high = new Float64Array(n);
    this.low = new Float64Array(n);
    this.cushion = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "accumulator" ? fitting.gasVolume : 0,
    );
    this.cushionVolume = Float64Array.from(this.cushion);
    this.cushionFlow = new Float64Array(n);
    this.cushionStart = new Float64Array(n);
    this.fittingFlow = new Float64Array(n);
    const joined = new Set([...network.losses, network.valve].flatMap(({ from, to }) => [from, to]));
    this.kinds = Uint8Array.from(fittings, (fitting, j) =>
      fitting.kind === "none" ? (joined.has(j) ? kind.joined : kind.plain) : kind[fitting.kind],
    );
    this.outside = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "pressure" ? fitting.pressure : Number.NaN,
    );
    this.resistance = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "none" ? 0 : fitting.resistance,
    );
    this.exponent = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "accumulator" ? fitting.exponent : 1,
    );
    this.steady = { flow: new Float64Array(pipes.length), pressure: this.pressure, valveFlow: 0 };
    this.order = {
      valve: { coefficient: new Float64Array(0), recovery: new Float64Array(0) },
      records: false,
    };
  }

  /** Waves of the steady state. */
  private start(order: LineOrder): void {
    const { valve, records } = order;
    this.order = order;
    this.steady = order.steady ?? steadyLine(this.network, valve.coefficient[0] ?? 0, valve.recovery[0] ?? 1);
    this.valveFlow = this.steady.valveFlow;
    this.largest = 0;
    for (const column of [this.pressure, this.high, this.low, this.cushionStart])
      column.set(this.steady.pressure);
    this.cushion.set(this.cushionVolume);
    for (const column of [this.vapour, this.cushionFlow]) column.fill(0);
    this.pipes.forEach(({ unsteady, gas }, i) => {
      this.inFull[i] = unsteady !== 0 || gas > 0 ? 1 : 0;
    });
    const steps = valve.coefficient.length;
    const columns = () => this.network.fittings.map(() => new Float64Array(steps));
    this.history = records
      ? { pressure: columns(), valveFlow: new Float64Array(steps), fittingFlow: columns() }
      : undefined;
    const { F, G, p, high, low, cavity, to, from, toBefore, fromBefore } = this.sections;
    const { flow, pressure } = this.steady;
    this.network.pipes.forEach(({ from: start }, i) => {
      const { first, last, R, B, gas } = this.pipes[i] as PipeStep;
      const W = flow[i] ?? 0;
      let at = pressure[start] ?? 0;
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
        cavity[s] = gas > 0 ? gas / Math.max(at - this.pv, leastGas) : 0;
        at -= R * W * Math.abs(W);
      }
    });
    this.network.fittings.forEach((fitting, j) => {
      const gas = this.junctionGas[j] ?? 0;
      if (gas > 0 && this.kinds[j] === kind.plain)
        this.vapour[j] = gas / Math.max((this.pressure[j] ?? 0) - this.pv, leastGas);
      // At the steady state what flows into a fitting is what the pipes bring.
      let into = 0;
      for (let e = this.endsFrom[j] as number; e < (this.endsFrom[j + 1] as number); e++) {
        const s = this.endSection[e] as number;
        const W = ((F[s] as number) - (G[s] as number)) * 0.5 * (this.endY[e] as number);
        into += this.endIsLast[e] === 1 ? W : -W;
      }
      this.fittingFlow[j] = fitting.kind === "pressure" ? into : 0;
    });
    this.record(0);
  }

  /**
   * Follows the line through a motion of the valve.
   * Refuses  a motion without steps
   */
  follow(order: LineOrder): LineRun {
    if (order.valve.coefficient.length < 2)
      refuse(
        "impossible-value",
        "a motion of the valve without steps",
        "Waves are followed in time.",
        "Give two instants or more.",
      );
    this.start(order);
    const steps = this.order.valve.coefficient.length - 1;
    const { sections } = this;
    const before = this.mass();
    for (let n = 1; n <= steps; n++) {
      let vapour = 0;
      for (let i = 0; i < this.pipes.length; i++) vapour += this.stepPipe(i);
      this.arrive();
      this.stepJunctions(n);
      for (let j = 0; j < this.vapour.length; j++)
        if (this.junctionGas[j] === 0) vapour += this.vapour[j] as number;
      this.leave();
      if (vapour > this.largest) this.largest = vapour;
      this.record(n);
    }
    const cut = (column: Float64Array) =>
      this.pipes.map(({ first, last }) => column.slice(first, last + 1).map((twice) => twice / 2));
    return {
      steady: this.steady,
      high: cut(sections.high),
      low: cut(sections.low),
      junctionHigh: this.high.slice(),
      junctionLow: this.low.slice(),
      cavity: this.largest,
      history: this.history,
      stored: this.mass() - before,
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
    for (let j = 0; j < this.vapour.length; j++) mass -= rho * (this.vapour[j] as number);
    return mass;
  }

  /** @returns vapour in the pipe [m3] */
  private stepPipe(i: number): number {
    const { sections, pv, share } = this;
    const pipe = this.pipes[i] as PipeStep;
    if (this.inFull[i] === 0) {
      const { F, G, high, low } = sections;
      const lowest = sweep(F, G, high, low, pipe.first, pipe.last, pipe.R / (4 * pipe.B * pipe.B));
      if (lowest >= 2 * pv) return 0;
      // Liquid tears apart in this step: from here on in full, the envelope kept at the vapour pressure.
      this.inFull[i] = 1;
      for (let s = pipe.first; s <= pipe.last; s++) if ((low[s] as number) < 2 * pv) low[s] = 2 * pv;
    } else sweepInFull(sections, pipe);
    const vapour = settle(sections, pipe, pv, share);
    if (vapour === 0 && pipe.unsteady === 0 && !this.isAlwaysInFull) this.inFull[i] = 0;
    return pipe.gas > 0 ? 0 : vapour;
  }

  /** What arrives at each junction. */
  private arrive(): void {
    const { F, G } = this.sections;
    const { endsFrom, endSection, endIsLast, endY, arriving } = this;
    for (let j = 0; j < arriving.length; j++) {
      let sum = 0;
      for (let e = endsFrom[j] as number; e < (endsFrom[j + 1] as number); e++) {
        const s = endSection[e] as number;
        sum += (endIsLast[e] === 1 ? (F[s] as number) : (G[s] as number)) * (endY[e] as number);
      }
      arriving[j] = sum;
    }
  }

  /** What leaves each pipe end, by the pressure of its junction. */
  private leave(): void {
    const { F, G, p, high, low } = this.sections;
    const { endsFrom, endSection, endIsLast, pressure } = this;
    for (let j = 0; j < pressure.length; j++) {
      const at = pressure[j] as number;
      for (let e = endsFrom[j] as number; e < (endsFrom[j + 1] as number); e++) {
        const s = endSection[e] as number;
        if (endIsLast[e] === 1) G[s] = 2 * at - (F[s] as number);
        else F[s] = 2 * at - (G[s] as number);
        p[s] = at;
        if (2 * at > (high[s] as number)) high[s] = 2 * at;
        if (2 * at < (low[s] as number)) low[s] = 2 * at;
      }
      if (at > (this.high[j] as number)) this.high[j] = at;
      if (at < (this.low[j] as number)) this.low[j] = at;
    }
  }

  private stepJunctions(n: number): void {
    const { losses, valve, liquid } = this.network;
    const { coefficient, recovery } = this.order.valve;
    const { kinds } = this;
    for (let j = 0; j < kinds.length; j++) {
      if (kinds[j] === kind.plain) this.plain(j);
      else if (kinds[j] === kind.pressure) this.toPressure(j);
      else if (kinds[j] === kind.accumulator) this.toCushion(j);
    }
    for (let l = 0; l < losses.length; l++) {
      const { from, to, resistance } = losses[l] as LineLoss;
      this.between(from, to, 1 / Math.max(resistance, leastResistance), Number.POSITIVE_INFINITY, 0);
    }
    const C = coefficient[n] as number;
    const FL = recovery[n] as number;
    const g = liquid.density * C * C;
    this.valveFlow = this.between(valve.from, valve.to, g, g * FL * FL, liquid.chokingPressure);
  }

  /** Junction of pipes alone, or a dead end. */
  private plain(j: number): void {
    const Y = this.Y[j] as number;
    const S = this.arriving[j] as number;
    const gas = this.junctionGas[j] as number;
    if (gas > 0) {
      const y = gasPressure(this.vapour[j] as number, gas, this.share, this.pv * Y - S, Y);
      this.vapour[j] = gas / y;
      this.pressure[j] = this.pv + y;
      return;
    }
    this.pressure[j] = this.withCavity(j, S / Y, 0);
  }

  /**
   * Pressure of a junction out of which W flows into what stands there: that of the waves, or of the vapour where
   * liquid has torn apart.
   * @param full  pressure without a cavity [Pa]
   */
  private withCavity(j: number, full: number, W: number): number {
    const before = this.vapour[j] as number;
    if (before <= 0 && full >= this.pv) return full;
    const { pv } = this;
    const volume = before + this.share * (pv * (this.Y[j] as number) - (this.arriving[j] as number) + W);
    this.vapour[j] = Math.max(volume, 0);
    return volume > 0 ? pv : full;
  }

  private toPressure(j: number): void {
    const B = 1 / (this.Y[j] as number);
    const C = (this.arriving[j] as number) * B;
    const outside = this.outside[j] as number;
    const R = this.resistance[j] as number;
    let W = flowTo(C - outside, B, R);
    if ((this.vapour[j] as number) > 0 || C - B * W < this.pv) {
      const held = flowTo(this.pv - outside, 0, R);
      this.pressure[j] = this.withCavity(j, C - B * W, held);
      if ((this.vapour[j] as number) > 0) W = held;
    } else this.pressure[j] = C - B * W;
    this.fittingFlow[j] = W;
  }

  /** Gas cushion: C - B W - R W|W| = p0 (V0/(V - W dt/rho))^n by Newton's method. */
  private toCushion(j: number): void {
    const B = 1 / (this.Y[j] as number);
    const C = (this.arriving[j] as number) * B;
    const exponent = this.exponent[j] as number;
    const R = this.resistance[j] as number;
    const V0 = this.cushionVolume[j] as number;
    const p0 = this.cushionStart[j] as number;
    const before = this.cushion[j] as number;
    let W = this.cushionFlow[j] as number;
    for (let n = 0; n < cushionSteps; n++) {
      const volume = Math.max(before - W * this.share, leastCushion * before);
      const gas = p0 * (V0 / volume) ** exponent;
      const residual = C - B * W - R * W * Math.abs(W) - gas;
      if (Math.abs(residual) < cushionTolerance) break;
      W += residual / (B + 2 * R * Math.abs(W) + (exponent * gas * this.share) / volume);
    }
    this.cushionFlow[j] = W;
    this.fittingFlow[j] = W;
    this.cushion[j] = Math.max(before - W * this.share, leastCushion * before);
    this.pressure[j] = C - B * W;
  }

  /**
   * A loss or the valve between two junctions, W|W| = g (p1 - p2), at most W^2 = gF (p1 - choking) forward.
   * A side whose liquid has torn apart stays at the vapour pressure until its cavity has closed.
   */
  private between(j1: number, j2: number, g: number, gF: number, choking: number): number {
    const { vapour, pv } = this;
    const B1 = 1 / (this.Y[j1] as number);
    const B2 = 1 / (this.Y[j2] as number);
    const C1 = (this.arriving[j1] as number) * B1;
    const C2 = (this.arriving[j2] as number) * B2;
    let held1 = (vapour[j1] as number) > 0;
    let held2 = (vapour[j2] as number) > 0;
    let W = 0;
    let p1 = 0;
    let p2 = 0;
    for (let round = 0; round < mostHolds; round++) {
      const c1 = held1 ? pv : C1;
      const b1 = held1 ? 0 : B1;
      W = flowThrough(c1 - (held2 ? pv : C2), b1 + (held2 ? 0 : B2), g);
      if (W > 0 && gF < Number.POSITIVE_INFINITY)
        W = Math.min(W, flowThrough(Math.max(c1 - choking, 0), b1, gF));
      p1 = held1 ? pv : C1 - B1 * W;
      p2 = held2 ? pv : C2 + B2 * W;
      const tears1 = !held1 && p1 < pv;
      const tears2 = !held2 && p2 < pv;
      if (!tears1 && !tears2) break;
      held1 ||= tears1;
      held2 ||= tears2;
    }
    this.pressure[j1] = held1 ? this.withCavity(j1, C1 - B1 * W, W) : p1;
    this.pressure[j2] = held2 ? this.withCavity(j2, C2 + B2 * W, -W) : p2;
    return W;
  }

  private record(n: number): void {
    const { history } = this;
    if (history === undefined) return;
    history.valveFlow[n] = this.valveFlow;
    for (let j = 0; j < this.pressure.length; j++) {
      const pressure = history.pressure[j];
      const into = history.fittingFlow[j];
      if (pressure !== undefined) pressure[n] = this.pressure[j] as number;
      if (into !== undefined) into[n] = this.fittingFlow[j] as number;
    }
  }
}

/** Both sides, one after the other, and once more. */
const mostHolds = 3;
/** A gas section stands no nearer to the vapour pressure than this [Pa], a cushion no smaller than this share. */
const leastGas = 1;
const leastCushion = 1e-3;

/** What stands at a junction, as a number for the inner loop. */
const kind = { plain: 0, pressure: 1, accumulator: 2, joined: 3 } as const;

/** Flow to a pressure behind a loss, which may be none [kg/s]. */
function flowTo(difference: number, B: number, R: number): number {
  return R < leastResistance && B > 0
    ? difference / B
    : flowThrough(difference, B, 1 / Math.max(R, leastResistance));
}

/** W of  W|W| = g (difference - B W)  [kg/s]. */
function flowThrough(difference: number, B: number, g: number): number {
  if (!(g > 0) || difference === 0) return 0;
  const d = Math.abs(difference);
  return (Math.sign(difference) * 2 * d * g) / (B * g + Math.sqrt(B * B * g * g + 4 * g * d));
}
