/**
 * The junctions of a line in one time step: where waves meet, and what stands there.
 *
 * The waves that arrive at a junction meet, each pipe end giving p = C - B W_out. Several ends act as one,
 *
 *   p = Ce - Be W,   Ce = sum(C/B) / sum(1/B),   Be = 1 / sum(1/B)
 *
 * and what stands there closes the equation: nothing (W = 0), a pressure behind a loss, a gas cushion, a loss or the
 * valve to another junction, W|W| = g (p1 - p2) with W at most that of a choked valve.
 *
 * All pressures here are piezometric, p + rho g z: what stands at a junction has the head of its height added.
 *
 * Source  [wylie-streeter-1993, ch. 3]; choked valve [iec60534-2-1]; cavities at the valve as discrete ones of vapour
 */
import type { Front } from "./front.js";
import { behindValve, headsOf, type LineLoss, type LineNetwork } from "./network.js";
import { gasPressure, leastGas, type PipeStep, type Sections } from "./sections.js";
import type { SteadyLine } from "./steady.js";

/** A loss of less than this is none [Pa/(kg/s)^2]. */
const leastResistance = 1;

/** Newton steps of a gas cushion, and the pressure within which it stands [Pa]. */
const cushionSteps = 20;
const cushionTolerance = 1e-3;
/** A cushion is no smaller than this share of itself a step ago [-]. */
const leastCushion = 1e-3;
/** Both sides of a loss, one after the other, and once more. */
const mostHolds = 3;

/** What stands at a junction, as a number for the inner loop. */
const kind = { plain: 0, pressure: 1, accumulator: 2, joined: 3 } as const;

/** The junctions of a line, stepped between the sweeps of its pipes. */
export class Junctions {
  /** Piezometric pressure now, its highest and its lowest [Pa]. */
  readonly pressure: Float64Array;
  readonly high: Float64Array;
  readonly low: Float64Array;
  /** rho g z [Pa]. */
  readonly head: Float64Array;
  /** Into the fitting of each, and through the valve [kg/s]. */
  readonly fittingFlow: Float64Array;
  valveFlow = 0;
  /** Junctions behind the valve, which rest while the line there fills. */
  private readonly behind: Uint8Array;
  private front: Front | undefined;
  /** Vapour at each, and gas that stands for it [m3], [Pa m3]. */
  readonly vapour: Float64Array;
  private readonly gas: Float64Array;
  /** Pipe ends of each: where they begin, the section, whether it is the last of its pipe, 1/B. */
  private readonly endsFrom: Int32Array;
  private readonly endSection: Int32Array;
  private readonly endIsLast: Uint8Array;
  private readonly endY: Float64Array;
  /** sum 1/B of each, and what arrives. */
  private readonly Y: Float64Array;
  private readonly arriving: Float64Array;
  private readonly cushion: Float64Array;
  private readonly cushionVolume: Float64Array;
  private readonly cushionFlow: Float64Array;
  private readonly cushionStart: Float64Array;
  private readonly kinds: Uint8Array;
  private readonly outside: Float64Array;
  private readonly resistance: Float64Array;
  private readonly exponent: Float64Array;
  /** Piezometric pressure at which liquid tears apart [Pa]. */
  private readonly pv: Float64Array;

  /** @param share  dt/rho [s m3/kg];  @param step  [s] */
  constructor(
    private readonly network: LineNetwork,
    private readonly sections: Sections,
    pipeSteps: readonly PipeStep[],
    private readonly share: number,
    private readonly step_s: number,
  ) {
    const { pipes, fittings, liquid } = network;
    const n = fittings.length;
    this.head = headsOf(network);
    this.pv = this.head.map((head) => liquid.vapourPressure + head);
    const ends = fittings.map((_, j) =>
      pipes.flatMap((pipe, i) => [
        ...(pipe.from === j ? [{ i, isLast: false }] : []),
        ...(pipe.to === j ? [{ i, isLast: true }] : []),
      ]),
    );
    const all = ends.flat();
    const pipeAt = (i: number) => pipeSteps[i] as PipeStep;
    this.endsFrom = new Int32Array(n + 1);
    ends.forEach((list, j) => {
      this.endsFrom[j + 1] = (this.endsFrom[j] ?? 0) + list.length;
    });
    this.endSection = Int32Array.from(all, ({ i, isLast }) => (isLast ? pipeAt(i).last : pipeAt(i).first));
    this.endIsLast = Uint8Array.from(all, ({ isLast }) => (isLast ? 1 : 0));
    this.endY = Float64Array.from(all, ({ i }) => 1 / pipeAt(i).B);
    this.Y = Float64Array.from(ends, (list) => list.reduce((sum, { i }) => sum + 1 / pipeAt(i).B, 0));
    this.gas = Float64Array.from(ends, (list) => list.reduce((sum, { i }) => sum + pipeAt(i).gas / 2, 0));
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
    this.behind = behindValve(network);
    const joined = new Set([...network.losses, network.valve].flatMap(({ from, to }) => [from, to]));
    this.kinds = Uint8Array.from(fittings, (fitting, j) =>
      fitting.kind === "none" ? (joined.has(j) ? kind.joined : kind.plain) : kind[fitting.kind],
    );
    this.outside = Float64Array.from(fittings, (fitting, j) =>
      fitting.kind === "pressure" ? fitting.pressure + (this.head[j] ?? 0) : Number.NaN,
    );
    this.resistance = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "none" ? 0 : fitting.resistance,
    );
    this.exponent = Float64Array.from(fittings, (fitting) =>
      fitting.kind === "accumulator" ? fitting.exponent : 1,
    );
  }

  /** Whether a pipe rests: it lies behind the valve and stands empty. */
  isAsleep(i: number): boolean {
    return this.front !== undefined && this.behind[this.network.pipes[i]?.from ?? 0] === 1;
  }

  /** Liquid stands in all pipes from here on. */
  wake(): void {
    this.front = undefined;
  }

  /**
   * Takes the steady state, after the waves of the pipes.
   * @param front  of the line behind the valve where it stands empty: full of gas at its pressure
   */
  start(steady: SteadyLine, front: Front | undefined): void {
    const { F, G } = this.sections;
    this.valveFlow = steady.valveFlow;
    this.front = front;
    this.cushionStart.set(steady.pressure);
    for (let j = 0; j < this.pressure.length; j++)
      this.pressure[j] = this.restsAt(j)
        ? (front?.pressure ?? 0) + (this.head[j] ?? 0)
        : (steady.pressure[j] ?? 0) + (this.head[j] ?? 0);
    this.high.set(this.pressure);
    this.low.set(this.pressure);
    this.cushion.set(this.cushionVolume);
    this.vapour.fill(0);
    this.cushionFlow.fill(0);
    this.network.fittings.forEach((fitting, j) => {
      const gas = this.gas[j] ?? 0;
      if (gas > 0 && this.kinds[j] === kind.plain)
        this.vapour[j] = gas / Math.max((this.pressure[j] ?? 0) - (this.pv[j] ?? 0), leastGas);
      // At the steady state what flows into a fitting is what the pipes bring.
      let into = 0;
      for (let e = this.endsFrom[j] as number; e < (this.endsFrom[j + 1] as number); e++) {
        const s = this.endSection[e] as number;
        const W = ((F[s] as number) - (G[s] as number)) * 0.5 * (this.endY[e] as number);
        into += this.endIsLast[e] === 1 ? W : -W;
      }
      this.fittingFlow[j] = fitting.kind === "pressure" ? into : 0;
    });
  }

  /** One step: what arrives from the pipes, what stands there at an opening of the valve, what leaves. */
  step(C: number, FL: number): void {
    this.arrive();
    this.meet(C, FL);
    this.leave();
  }

  /** Volume of vapour at all junctions that vapour alone makes [m3]. */
  torn(): number {
    let volume = 0;
    for (let j = 0; j < this.vapour.length; j++) if (this.gas[j] === 0) volume += this.vapour[j] as number;
    return volume;
  }

  private restsAt(j: number): boolean {
    return this.front !== undefined && this.behind[j] === 1;
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
      if (at > (this.high[j] as number)) this.high[j] = at;
      if (at < (this.low[j] as number)) this.low[j] = at;
      if (this.restsAt(j)) continue;
      for (let e = endsFrom[j] as number; e < (endsFrom[j + 1] as number); e++) {
        const s = endSection[e] as number;
        if (endIsLast[e] === 1) G[s] = 2 * at - (F[s] as number);
        else F[s] = 2 * at - (G[s] as number);
        p[s] = at;
        if (2 * at > (high[s] as number)) high[s] = 2 * at;
        if (2 * at < (low[s] as number)) low[s] = 2 * at;
      }
    }
  }

  private meet(C: number, FL: number): void {
    const { losses, valve, liquid } = this.network;
    const { kinds } = this;
    for (let j = 0; j < kinds.length; j++) {
      if (this.restsAt(j)) continue;
      if (kinds[j] === kind.plain) this.plain(j);
      else if (kinds[j] === kind.pressure) this.toPressure(j);
      else if (kinds[j] === kind.accumulator) this.toCushion(j);
    }
    for (let l = 0; l < losses.length; l++) {
      const { from, to, resistance } = losses[l] as LineLoss;
      if (this.restsAt(from)) continue;
      this.between(from, to, 1 / Math.max(resistance, leastResistance), Number.POSITIVE_INFINITY, 0);
    }
    const g = liquid.density * C * C;
    const choking = liquid.chokingPressure + (this.head[valve.from] as number);
    this.valveFlow =
      this.front === undefined
        ? this.between(valve.from, valve.to, g, g * FL * FL, choking)
        : this.intoFront(this.front, g, g * FL * FL, choking);
  }

  /** Junction of pipes alone, or a dead end. */
  private plain(j: number): void {
    const Y = this.Y[j] as number;
    const S = this.arriving[j] as number;
    const gas = this.gas[j] as number;
    if (gas > 0) {
      const pv = this.pv[j] as number;
      const y = gasPressure(this.vapour[j] as number, gas, this.share, pv * Y - S, Y);
      this.vapour[j] = gas / y;
      this.pressure[j] = pv + y;
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
    const pv = this.pv[j] as number;
    if (before <= 0 && full >= pv) return full;
    const volume = before + this.share * (pv * (this.Y[j] as number) - (this.arriving[j] as number) + W);
    this.vapour[j] = Math.max(volume, 0);
    return volume > 0 ? pv : full;
  }

  private toPressure(j: number): void {
    const B = 1 / (this.Y[j] as number);
    const C = (this.arriving[j] as number) * B;
    const outside = this.outside[j] as number;
    const R = this.resistance[j] as number;
    const pv = this.pv[j] as number;
    let W = flowTo(C - outside, B, R);
    if ((this.vapour[j] as number) > 0 || C - B * W < pv) {
      const held = flowTo(pv - outside, 0, R);
      this.pressure[j] = this.withCavity(j, C - B * W, held);
      if ((this.vapour[j] as number) > 0) W = held;
    } else this.pressure[j] = C - B * W;
    this.fittingFlow[j] = W;
  }

  /** Gas cushion: C - B W - R W|W| - rho g z = p0 (V0/(V - W dt/rho))^n by Newton's method. */
  private toCushion(j: number): void {
    const B = 1 / (this.Y[j] as number);
    const C = (this.arriving[j] as number) * B - (this.head[j] as number);
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
    this.pressure[j] = C - B * W + (this.head[j] as number);
  }

  /**
   * A loss or the valve between two junctions, W|W| = g (p1 - p2), at most W^2 = gF (p1 - choking) forward.
   * A side whose liquid has torn apart stays at the vapour pressure until its cavity has closed.
   */
  private between(j1: number, j2: number, g: number, gF: number, choking: number): number {
    const { vapour } = this;
    const pv1 = this.pv[j1] as number;
    const pv2 = this.pv[j2] as number;
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
      const c1 = held1 ? pv1 : C1;
      const b1 = held1 ? 0 : B1;
      W = flowThrough(c1 - (held2 ? pv2 : C2), b1 + (held2 ? 0 : B2), g);
      if (W > 0 && gF < Number.POSITIVE_INFINITY)
        W = Math.min(W, flowThrough(Math.max(c1 - choking, 0), b1, gF));
      p1 = held1 ? pv1 : C1 - B1 * W;
      p2 = held2 ? pv2 : C2 + B2 * W;
      const tears1 = !held1 && p1 < pv1;
      const tears2 = !held2 && p2 < pv2;
      if (!tears1 && !tears2) break;
      held1 ||= tears1;
      held2 ||= tears2;
    }
    this.pressure[j1] = held1 ? this.withCavity(j1, C1 - B1 * W, W) : p1;
    this.pressure[j2] = held2 ? this.withCavity(j2, C2 + B2 * W, -W) : p2;
    return W;
  }

  /**
   * Through the valve into a line that fills: C1 - B1 W = p2 + W|W|/g, the column behind the valve being rigid,
   *
   *   p2 = p_g + rho g z + R W^2 + I (W - W_before)/dt
   */
  private intoFront(front: Front, g: number, gF: number, choking: number): number {
    const { from, to } = this.network.valve;
    const before = Math.max(this.valveFlow, 0);
    front.look(front.x + 0.5 * before * this.share);
    const inertia = front.inertance / this.step_s;
    const pv = this.pv[from] as number;
    const B = 1 / (this.Y[from] as number);
    const C = (this.arriving[from] as number) * B;
    const gas = front.pressure + front.head + (this.head[to] as number);
    const behind = gas - inertia * before;
    const through = g > 0 ? 1 / (1 / g + front.resistance) : 0;
    let held = (this.vapour[from] as number) > 0;
    let W = 0;
    for (let round = 0; round < 2; round++) {
      const c = held ? pv : C;
      const b = held ? 0 : B;
      W = Math.max(flowThrough(c - behind, b + inertia, through), 0);
      W = Math.min(W, flowThrough(Math.max(c - choking, 0), b, gF));
      if (held || C - B * W >= pv) break;
      held = true;
    }
    this.pressure[from] = held ? this.withCavity(from, C - B * W, W) : C - B * W;
    this.pressure[to] = W > 0 ? behind + inertia * W + front.resistance * W * W : gas;
    front.advance(0.5 * (before + W) * this.share, this.step_s);
    return W;
  }
}

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
