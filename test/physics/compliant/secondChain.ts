/**
 * A second road to a run of the compliant train: the equations of docs/theory/compliant.md, written anew with every
 * body's angle, inertia and friction counted at the stem, and solved by a general-purpose integrator, odex (Gragg,
 * Bulirsch and Stoer's extrapolation), restarted at every event. Slow, and nothing of the engine in it.
 *
 *   q = theta/N, psi_l = q_l - q_(l+1), T_l = K_l (psi_l -/+ G_l/2) + D_l psi_l'      N: turns of a body per turn of the stem
 */
import { findRoot } from "../../../src/numerics/index.js";
import { odex, type Solver } from "../odex.js";
import type { ChainCase, ChainRows } from "./plainChain.js";

/** Relative, and absolute in rad, rad/s and A, all of them near 1 here. */
const tolerance = 1e-12;
/** A step passes no more of the fastest swing than this, so that no touch hides between its ends [-]. */
const shareOfSwing = 0.06;
const firstStep = 1e-7;
/** An event is dealt with so much after its root, where rounding cannot take it back [s]. */
const beyond = 1e-13;
/** Between two rows: a body that creeps to rest just where friction holds it, and is let go again by rounding. */
const mostEvents = 2000;
/** Below this share of the no-load speed a ball stays at a hard stop, as docs/theory/compliant.md has it. */
const restShare = 1e-3;
/** More than rounding [N m]. */
const leastExcess = 1e-9;
/** Share of the play that flanks at rest keep clear of, so that rounding does not make them touch [-]. */
const withinPlay = 1 - 1e-9;

interface LinkAtStem {
  readonly stiffness: number;
  readonly damping: number;
  readonly gap: number;
  readonly efficiency: number;
  readonly start: number;
  readonly back: number;
}

/** Something that ends a mode where `value` turns positive. */
interface Watch {
  readonly name: string;
  readonly value: (y: readonly number[]) => number;
  readonly act: () => void;
}

/** Times and rows as those that scipy's solver left in test/reference/compliant; undefined for a train that chatters. */
export function secondChain(one: ChainCase): ChainRows | undefined {
  return new SecondChain(one).run();
}

class SecondChain {
  private readonly B: number;
  /** Turns of each body per turn of the stem. */
  private readonly N: readonly number[];
  private readonly I: readonly number[];
  private readonly C: readonly number[];
  private readonly links: readonly LinkAtStem[];
  private readonly R: number;
  private readonly kN: number;
  private readonly longest: number;
  // Where it is, and in which mode.
  private t = 0;
  private y: number[];
  private readonly sense: number[];
  private readonly rests: boolean[];
  private readonly touching: number[];
  private readonly torqueSign: number[];
  private atStop: -1 | 0 | 1 = 0;
  private driver: "dead" | "full" | "limiting" = "dead";
  private dwell: number;
  // What is noted.
  private readonly counts: Record<string, number> = {};
  private readonly peaks: number[];
  private firstMotion: number | null = null;
  private arrival: number | null = null;

  constructor(private readonly one: ChainCase) {
    const { bodies, links } = one;
    this.B = bodies.length;
    this.N = bodies.map((_, b) => links.slice(b).reduce((product, { ratio }) => product * ratio, 1));
    const turns = (b: number) => this.N[b] ?? 1;
    this.I = bodies.map(([inertia], b) => inertia * turns(b) ** 2);
    this.C = bodies.map(([, friction], b) => friction * turns(b));
    this.links = links.map((link, l) => ({
      stiffness: link.stiffness * turns(l + 1) ** 2,
      damping: link.damping * turns(l + 1) ** 2,
      gap: link.backlash / turns(l + 1),
      efficiency: link.efficiency,
      start: link.start,
      back: link.back,
    }));
    this.R = one.resistance + one.supplyResistance;
    this.kN = one.torqueConstant * turns(0);
    let fastest = one.horizon;
    const swing = (k: number, I: number) => {
      fastest = Math.min(fastest, 2 * Math.PI * Math.sqrt(I / k));
    };
    this.links.forEach(({ stiffness }, l) => {
      const [a = 0, b = 0] = this.I.slice(l, l + 2);
      swing(stiffness, (a * b) / (a + b));
    });
    if ("stiffness" in one.stop) {
      const turnsThere = turns(one.stop.body);
      swing(one.stop.stiffness * turnsThere ** 2, this.I[one.stop.body] ?? 0);
    }
    this.longest = shareOfSwing * fastest;
    this.dwell = one.dwellTorque;
    this.sense = bodies.map(() => 0);
    this.rests = bodies.map((_, b) => this.canRest(b));
    this.touching = links.map(() => 0);
    this.torqueSign = links.map(() => 1);
    this.peaks = links.map(() => 0);
    // All backlash still to be taken up.
    const q: number[] = [one.sense > 0 ? 0 : one.travel];
    for (let l = this.links.length - 1; l >= 0; l--)
      q.unshift((q[0] ?? 0) - 0.5 * one.sense * withinPlay * (this.links[l]?.gap ?? 0));
    this.y = [...q, ...bodies.map(() => 0), 0];
  }

  // Equations.

  private canRest(b: number): boolean {
    const link = this.one.links[b];
    return link === undefined || (this.C[b] ?? 0) > 0 || link.start < 1 || link.back < 1;
  }

  private linkAt(l: number): LinkAtStem {
    const link = this.links[l];
    if (link === undefined) throw new Error(`there is no link ${l}`);
    return link;
  }

  private straight([from, to]: readonly [number, number], angle: number): number {
    return from + ((to - from) * angle) / this.one.travel;
  }

  private angle(y: readonly number[]): number {
    return y[this.B - 1] ?? 0;
  }

  private speed(b: number, y: readonly number[]): number {
    return y[this.B + b] ?? 0;
  }

  /** How far flanks are into each other, and the torque at the stem that spring and damper then have. */
  private flank(l: number, side: number, y: readonly number[]): { into: number; torque: number } {
    const { stiffness, damping, gap } = this.linkAt(l);
    const psi = (y[l] ?? 0) - (y[l + 1] ?? 0) - 0.5 * side * gap;
    const rate = this.speed(l, y) - this.speed(l + 1, y);
    return { into: side * psi, torque: stiffness * psi + damping * rate };
  }

  private isTight(l: number): boolean {
    return this.links[l]?.gap === 0;
  }

  /** Torque in a link at the stem. */
  private torque(l: number, y: readonly number[]): number {
    if (this.isTight(l)) return this.flank(l, 0, y).torque;
    const side = this.touching[l] ?? 0;
    return side === 0 ? 0 : this.flank(l, side, y).torque;
  }

  /** How far the body at a soft stop is beyond it, and the torque against it. */
  private stop(side: number, y: readonly number[]): { past: number; torque: number } {
    const { stop, travel } = this.one;
    if (!("stiffness" in stop)) return { past: -1, torque: 0 };
    const q = y[stop.body] ?? 0;
    const past = side > 0 ? q - travel : -q;
    const torque = side * stop.stiffness * past + stop.damping * this.speed(stop.body, y);
    return { past, torque };
  }

  /** What acts on a body besides friction and the link behind it. */
  private acting(b: number, y: readonly number[]): number {
    const { stop, fluid } = this.one;
    let torque = b === 0 ? this.kN * (y[2 * this.B] ?? 0) : this.torque(b - 1, y);
    if ("stiffness" in stop && stop.body === b && this.atStop !== 0)
      torque -= this.stop(this.atStop, y).torque;
    if (b === this.B - 1) torque -= this.straight(fluid, this.angle(y));
    return torque;
  }

  private ballFriction(y: readonly number[], speed: number): number {
    const { friction, excess, stribeckSpeed } = this.one;
    const angle = this.angle(y);
    const more = this.straight(excess, angle) + this.dwell;
    return this.straight(friction, angle) + more * Math.exp(-((speed / stribeckSpeed) ** 2));
  }

  /** By how much what acts on a body at rest exceeds, in a sense, what it can bear before it moves. */
  private excess(b: number, side: 1 | -1, y: readonly number[]): number {
    const link = this.links[b];
    const acts = side * this.acting(b, y);
    if (link === undefined) return acts - this.ballFriction(y, 0);
    const behind = side * this.torque(b, y);
    return acts - (this.C[b] ?? 0) - (behind > 0 ? behind / link.start : behind * link.back);
  }

  private readonly rates = (_: number, y: number[]): number[] => {
    const { B, one } = this;
    const into: number[] = [];
    for (let b = 0; b < B; b++) into.push(this.speed(b, y));
    for (let b = 0; b < B; b++) {
      if (this.rests[b]) {
        into.push(0);
        continue;
      }
      const s = this.sense[b] ?? 0;
      const w = this.speed(b, y);
      let net = this.acting(b, y);
      const link = this.links[b];
      if (link === undefined) net -= s * this.ballFriction(y, w) + one.damping * w;
      else {
        const sign = this.isTight(b) ? this.torqueSign[b] : this.touching[b];
        const drives = s * (sign ?? 0) >= 0;
        net -= s * (this.C[b] ?? 0) + this.torque(b, y) * (drives ? 1 / link.efficiency : link.back);
      }
      if (b === 0) net -= one.motorDamping * (this.N[0] ?? 1) ** 2 * w;
      into.push(net / (this.I[b] ?? 1));
    }
    const loss = this.R * (y[2 * B] ?? 0) + this.kN * this.speed(0, y);
    into.push(this.driver === "full" ? (one.sense * one.voltage - loss) / one.inductance : 0);
    return into;
  };

  // Modes.

  private watches(): Watch[] {
    const { B, one } = this;
    const list: Watch[] = [];
    for (let b = 0; b < B; b++) {
      if (!this.canRest(b)) continue;
      const s = this.sense[b] ?? 0;
      if (!this.rests[b]) {
        list.push({ name: `rest ${b}`, value: (y) => -s * this.speed(b, y), act: () => this.rest(b) });
        continue;
      }
      for (const side of [1, -1] as const) {
        if (this.isHeldByStop(b, side)) continue;
        const value = (y: readonly number[]) => this.excess(b, side, y);
        list.push({ name: `release ${b}`, value, act: () => this.release(b, side) });
      }
    }
    this.links.forEach((_, l) => {
      if (this.isTight(l)) {
        const sign = this.torqueSign[l] ?? 1;
        const act = () => {
          this.torqueSign[l] = -sign;
        };
        if (this.canRest(l)) list.push({ name: `sign ${l}`, value: (y) => -sign * this.torque(l, y), act });
        return;
      }
      const side = this.touching[l] ?? 0;
      const become = (now: number) => () => {
        this.touching[l] = now;
      };
      if (side !== 0) {
        list.push({ name: `part ${l}`, value: (y) => -side * this.torque(l, y), act: become(0) });
        return;
      }
      for (const to of [1, -1] as const) {
        const value = (y: readonly number[]) => {
          const { into, torque } = this.flank(l, to, y);
          return Math.min(into, to * torque);
        };
        list.push({ name: `touch ${l}`, value, act: become(to) });
      }
    });
    list.push(...this.stopWatches());
    const limit = one.sense * (one.currentLimit ?? Number.POSITIVE_INFINITY);
    const become = (driver: "full" | "limiting") => () => {
      this.driver = driver;
      this.y[2 * B] = limit;
    };
    if (this.driver === "full" && Number.isFinite(limit))
      list.push({
        name: "limit 0",
        value: (y) => one.sense * ((y[2 * B] ?? 0) - limit),
        act: become("limiting"),
      });
    if (this.driver === "limiting") {
      const free = (one.voltage - this.R * Math.abs(limit)) / this.kN;
      list.push({ name: "free 0", value: (y) => one.sense * this.speed(0, y) - free, act: become("full") });
    }
    return list;
  }

  private stopWatches(): Watch[] {
    const { one } = this;
    const ball = this.B - 1;
    if ("restitution" in one.stop) {
      const s = this.sense[ball] ?? 0;
      if (s === 0) return [];
      const value = (y: readonly number[]) => (s > 0 ? this.angle(y) - one.travel : -this.angle(y));
      return [{ name: "meet 0", value, act: () => this.strike(s, one.stop as { restitution: number }) }];
    }
    const stood = this.atStop;
    if (stood !== 0) {
      const act = () => {
        this.atStop = 0;
      };
      return [{ name: "leave 0", value: (y) => -stood * this.stop(stood, y).torque, act }];
    }
    return ([1, -1] as const).map((side) => ({
      name: "meet 0",
      value: (y) => {
        const { past, torque } = this.stop(side, y);
        return Math.min(past, side * torque);
      },
      act: () => {
        this.atStop = side;
        if (side === one.sense) this.arrival ??= this.t;
      },
    }));
  }

  private isHeldByStop(b: number, side: 1 | -1): boolean {
    if (b !== this.B - 1 || "stiffness" in this.one.stop) return false;
    return side > 0 ? this.angle(this.y) >= this.one.travel : this.angle(this.y) <= 0;
  }

  private rest(b: number): void {
    this.y[this.B + b] = 0;
    this.sense[b] = 0;
    this.rests[b] = true;
    if (b === this.B - 1) this.dwell = 0;
  }

  private release(b: number, side: 1 | -1): void {
    this.sense[b] = side;
    this.rests[b] = false;
    if (b === this.B - 1) this.firstMotion ??= this.t;
  }

  private strike(side: number, { restitution }: { readonly restitution: number }): void {
    const ball = this.B - 1;
    if (side === this.one.sense) this.arrival ??= this.t;
    const back = -restitution * this.speed(ball, this.y);
    this.rest(ball);
    this.y[ball] = side > 0 ? this.one.travel : 0;
    if (Math.abs(back) <= (restShare * this.one.voltage) / this.kN) return;
    this.release(ball, back > 0 ? 1 : -1);
    this.y[this.B + ball] = back;
  }

  /** Whoever rests and is asked for more than can be borne is let go at once: a torque may have jumped. */
  private letGo(): void {
    for (let b = 0; b < this.B; b++)
      for (const side of [1, -1] as const)
        if (this.rests[b] && !this.isHeldByStop(b, side) && this.excess(b, side, this.y) > leastExcess) {
          this.count(`release ${b}`);
          this.release(b, side);
        }
  }

  // The run.

  private count(name: string): void {
    this.counts[name] = (this.counts[name] ?? 0) + 1;
  }

  private solve(
    from: number,
    start: readonly number[],
    to: number,
    observe?: Parameters<Solver["solve"]>[4],
  ): number[] {
    if (!(to > from)) return [...start];
    const solver = new odex.Solver(start.length);
    solver.absoluteTolerance = tolerance;
    solver.relativeTolerance = tolerance;
    solver.maxStepSize = this.longest;
    solver.initialStepSize = Math.min(firstStep, to - from);
    solver.maxSteps = 1e7;
    return solver.solve(this.rates, from, [...start], to, observe).y;
  }

  private torqueRate(l: number, y: readonly number[]): number {
    const { stiffness, damping } = this.linkAt(l);
    const d = this.rates(0, [...y]);
    return (
      stiffness * (this.speed(l, y) - this.speed(l + 1, y)) +
      damping * ((d[this.B + l] ?? 0) - (d[this.B + l + 1] ?? 0))
    );
  }

  /** Notes the greatest torque of each link between two ends of a step, where it turns between them too. */
  private note(from: number, start: readonly number[], to: number, end: readonly number[]): void {
    this.links.forEach((_, l) => {
      const [a, b] = [this.torque(l, start), this.torque(l, end)];
      const raise = (torque: number) => {
        this.peaks[l] = Math.max(this.peaks[l] ?? 0, Math.abs(torque));
      };
      raise(a);
      raise(b);
      const side = Math.sign(a + b);
      const [ra, rb] = [side * this.torqueRate(l, start), side * this.torqueRate(l, end)];
      // The two slopes at its ends bound what lies between.
      const bound = Math.max(side * a, side * b) + Math.max(ra, -rb) * (to - from);
      if (!(ra > 0 && rb < 0 && bound > (this.peaks[l] ?? 0))) return;
      const at = findRoot((p) => this.torqueRate(l, this.solve(from, start, p)), from, to, {
        tolerance: 1e-9,
      });
      raise(this.torque(l, this.solve(from, start, at)));
    });
  }

  /** Runs to a time, or to the first event before it. */
  private runTo(until: number): void {
    const list = this.watches();
    const before = list.map(({ value }) => value(this.y));
    let from = this.t;
    let start = [...this.y];
    let found: { at: number; watch: Watch } | undefined;
    const end = this.solve(this.t, this.y, until, (n, _, x, state) => {
      if (n === 1) return undefined;
      for (const [j, watch] of list.entries()) {
        if (!(watch.value(state) > 0)) continue;
        const at =
          (before[j] ?? 0) < 0
            ? findRoot((p) => watch.value(this.solve(from, start, p)), from, x, { tolerance: 1e-15 }) + beyond
            : from;
        if (found === undefined || at < found.at) found = { at, watch };
      }
      if (found !== undefined) return false;
      this.note(from, start, x, state);
      list.forEach(({ value }, j) => {
        before[j] = value(state);
      });
      from = x;
      start = [...state];
      return undefined;
    });
    if (found === undefined) {
      this.t = until;
      this.y = end;
      return;
    }
    const { at, watch } = found;
    this.y = this.solve(from, start, at);
    this.note(from, start, at, this.y);
    this.t = at;
    this.count(watch.name);
    watch.act();
    this.letGo();
  }

  run(): ChainRows | undefined {
    const { one, B } = this;
    const alive = Math.min(one.deadTime, one.horizon);
    const rows: number[][] = [];
    this.letGo();
    const advance = (until: number) => {
      for (let n = 0; this.t < until; n++) {
        if (n > mostEvents) return false;
        this.runTo(until);
      }
      return true;
    };
    for (let n = 1; n <= one.samples; n++) {
      const time = (one.horizon * n) / one.samples;
      if (this.driver === "dead" && time > alive) {
        if (!advance(alive)) return undefined;
        this.driver = "full";
      }
      if (!advance(time)) return undefined;
      const turns = (b: number) => this.N[b] ?? 1;
      rows.push([
        time,
        ...this.y.slice(0, B).map((q, b) => q * turns(b)),
        ...this.y.slice(B, 2 * B).map((w, b) => w * turns(b)),
        this.y[2 * B] ?? 0,
      ]);
    }
    return {
      name: one.name,
      firstMotion: this.firstMotion,
      arrival: this.arrival,
      peaks: this.peaks.map((torque, l) => torque / (this.N[l + 1] ?? 1)),
      events: this.counts,
      rows,
    };
  }
}
