/**
 * A start or stop of an engine with two propellants (side.ts) and one chamber (chamber.ts).
 *
 * In a step the sides fill by the midpoint rule and pass by the trapezoidal one; the chamber pressure goes by backward
 * Euler with Newton rounds, so that a chamber that fills faster than a step follows its flows. A step ends where a side is
 * full and where it ignites; nothing is followed before the first valve opens, nor behind standing valves once all stands. What
 * passes the injectors before ignition is all kept as unburnt: an upper bound, since some of it leaves by the throat.
 * It is not in the pressure that is followed; `burntAtOnce` says what it could add.
 */
import type { Mass, Pressure, Speed, Time } from "../../quantity/index.js";
import { burntAtOnce, type Chamber, fillingTime, requireChamber, velocityAt } from "./chamber.js";
import { requireSide, SideState, type StartSide } from "./side.js";

/** When it lights: so long after both propellants are at the injector, or at a time, but not before both are there. */
export interface Ignition {
  readonly condition: "both at the injector" | "time";
  readonly delay: Time;
}

/** An engine. */
export interface Engine {
  readonly oxidiser: StartSide;
  readonly fuel: StartSide;
  readonly chamber: Chamber;
  readonly ignition: Ignition;
}

/** How it is followed. */
export interface Following {
  readonly step: Time;
  readonly until: Time;
  /** From empty volumes before the command of a start, or from steady burning before that of a stop. */
  readonly from: "empty" | "burning";
  /** Keeps every step. */
  readonly records?: boolean;
}

/** Times [s], flows at the injector [kg/s] and chamber pressure [Pa] of every step. */
export interface EngineTrace {
  readonly time: readonly number[];
  readonly oxidiser: readonly number[];
  readonly fuel: readonly number[];
  readonly pressure: readonly number[];
}

/** What became of a side. */
export interface SideRun {
  /** First flow, liquid at the injector; undefined where it does not come [s]. */
  readonly flows: Time | undefined;
  readonly arrives: Time | undefined;
  /** Drawn from the tank, passed through the injector, and standing between valve and injector at the end. */
  readonly drawn: Mass;
  readonly passed: Mass;
  readonly standing: Mass;
  /** Passed before ignition. */
  readonly unburnt: Mass;
  /** Flow at the end [kg/s], and when it fell below a tenth of the flow before the stop for good; undefined where it does not [s]. */
  readonly flow: number;
  readonly falls: Time | undefined;
  /** Greatest flow before ignition [kg/s]. */
  readonly coldFlow: number;
  /** Least drop across the injector over the chamber pressure while it burns [-]; infinite where it never does. */
  readonly injectorShare: number;
}

/** A start or stop. */
export interface EngineRun {
  readonly oxidiser: SideRun;
  readonly fuel: SideRun;
  readonly ignites: Time | undefined;
  /** How long it was followed: what has not lit until then goes on passing. */
  readonly until: Time;
  readonly unburnt: Mass;
  readonly burntAtOnce: Pressure;
  /** Mixture ratio while it burns, oxidiser over fuel: least, greatest, at the end [-]. */
  readonly leastRatio: number;
  readonly mostRatio: number;
  readonly endRatio: number;
  /** Highest chamber pressure, that at the end, and the first time at nine tenths of that, where every step is kept [s]. */
  readonly peak: Pressure;
  readonly pressure: Pressure;
  readonly rises: Time | undefined;
  readonly trace: EngineTrace | undefined;
}

const rounds = 3;
/** Change of pressure in a round below which none is added [-]. */
const settled = 1e-7;
/** Change of pressure in a step below which a chamber between standing valves stands [-]. */
const stands = 1e-9;
/** Flow that counts as fallen, of the flow before [-], and pressure as risen, of the last. */
const fallen = 0.1;
const risen = 0.9;
/** First step upon ignition; each later one is as long as all since [s]. */
const firstStep = 5e-4;
/** A step is not cut below this [s]. */
const leastStep = 1e-9;
/** Rounds to the steady burning state at most, and the change of pressure at which it stands [-]. */
const steadyRounds = 60;
const standsAt = 1e-10;

class SideBook {
  flows: number | undefined;
  arrives: number | undefined;
  unburnt = 0;
  falls: number | undefined;
  before = 0;
  coldFlow = 0;
  injectorShare = Number.POSITIVE_INFINITY;
  /** At the injector in the last step [kg/s]. */
  passing = 0;
  private isPassing: boolean;
  constructor(readonly state: SideState) {
    this.isPassing = state.isFull;
  }

  /** Enters a step that ended at `now` with flow W from the tank. */
  enter(W: number, now: number, dt: number, p: number, isLit: boolean, burns: boolean): void {
    const { state } = this;
    if (W > 0) this.flows ??= Math.max(now - dt, state.opensAt);
    if (!isLit && W > this.coldFlow) this.coldFlow = W;
    if (!state.isFull) {
      state.drawn += W * dt;
      state.share += (W * dt) / state.whole;
      if (state.share >= 1 - filledWithin) {
        state.share = 1;
        this.arrives = now;
      }
      return;
    }
    // The first step behind a full volume has nothing before it.
    const mass = 0.5 * (W + (this.isPassing ? this.passing : W)) * dt;
    state.drawn += mass;
    state.passed += mass;
    if (!isLit) this.unburnt += mass;
    else if (W > 0) this.injectorShare = Math.min(this.injectorShare, (state.side.injector * W * W) / p);
    if (burns) this.follow(W, now, dt);
    this.passing = W;
    this.isPassing = true;
  }

  /** When the flow falls, between steps along a straight line; a flow that comes again has not fallen. */
  private follow(W: number, now: number, dt: number): void {
    const limit = fallen * this.before;
    if (W >= limit) this.falls = undefined;
    else if (this.passing >= limit) this.falls = now - (dt * (limit - W)) / (this.passing - W);
  }

  summary(): SideRun {
    const { state } = this;
    return {
      flows: this.flows as Time | undefined,
      arrives: this.arrives as Time | undefined,
      drawn: state.drawn as Mass,
      passed: state.passed as Mass,
      standing: (state.share * state.whole) as Mass,
      unburnt: this.unburnt as Mass,
      flow: this.passing,
      falls: this.falls as Time | undefined,
      coldFlow: this.coldFlow,
      injectorShare: this.injectorShare,
    };
  }
}

/**
 * Follows an engine.
 *
 * @param engine     sides, chamber and ignition
 * @param following  step, end, and where it begins
 * Refuses           negative resistances, and volumes, areas or densities that are not positive.
 */
export function followEngine({ oxidiser, fuel, chamber, ignition }: Engine, following: Following): EngineRun {
  requireSide(oxidiser);
  requireSide(fuel);
  requireChamber(chamber);
  const burns = following.from === "burning";
  const filled = fillingTime(chamber, 1 as Speed);
  const ox = new SideBook(new SideState(oxidiser, burns));
  const fu = new SideBook(new SideState(fuel, burns));
  const { until, step } = following;
  const trace = following.records
    ? { time: [] as number[], oxidiser: [] as number[], fuel: [] as number[], pressure: [] as number[] }
    : undefined;
  let t = 0;
  ox.state.take(0);
  fu.state.take(0);
  const source = new Source(ox.state, fu.state, chamber);
  let p: number = burns ? steadyPressure(source, chamber.ambient) : chamber.ambient;
  let ignites: number | undefined = burns ? 0 : undefined;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let peak = p;
  if (burns)
    for (const book of [ox, fu]) {
      book.before = book.state.flow(p, 1, true);
      book.passing = book.before;
    }
  keep();
  // Nothing changes before the first valve moves.
  pass(Math.min(ox.state.movesAt, fu.state.movesAt, until));

  while (t < until - leastStep) {
    let dt = Math.min(step, until - t);
    const due = ignites ?? ignitionDue(ox, fu, ignition);
    const isLit = ignites !== undefined || (due !== undefined && due <= t + leastStep);
    if (isLit) {
      ignites ??= t;
      // What follows upon ignition is quick.
      if (!burns) dt = Math.min(dt, Math.max(t - ignites, firstStep));
    }
    if (!isLit && due !== undefined) dt = Math.min(dt, Math.max(due - t, leastStep));
    // A valve that begins to pass ends the step.
    if (ox.state.opensAt > t + leastStep) dt = Math.min(dt, ox.state.opensAt - t);
    if (fu.state.opensAt > t + leastStep) dt = Math.min(dt, fu.state.opensAt - t);
    // So does a side that fills.
    const isOxFull = ox.state.isFull;
    const isFuFull = fu.state.isFull;
    let Wo = isOxFull ? 0 : ox.state.filling(t, dt, p);
    let Wf = isFuFull ? 0 : fu.state.filling(t, dt, p);
    if (!isOxFull) dt = untilFull(ox.state, Wo, dt);
    if (!isFuFull) dt = untilFull(fu.state, Wf, dt);
    const now = t + dt;
    const before = p;
    if (isOxFull) ox.state.take(now);
    if (isFuFull) fu.state.take(now);
    if (isLit) p = burnStep(source, chamber.ambient, p, dt, filled);
    if (isOxFull) Wo = ox.state.flow(p, 1, true);
    if (isFuFull) Wf = fu.state.flow(p, 1, true);
    ox.enter(Wo, now, dt, p, isLit, burns);
    fu.enter(Wf, now, dt, p, isLit, burns);
    t = now;
    if (isLit && !burns && (ox.passing > 0 || fu.passing > 0)) {
      const ratio = ox.passing / fu.passing;
      least = Math.min(least, ratio);
      most = Math.max(most, ratio);
    }
    peak = Math.max(peak, p);
    keep();
    if (isLit && Math.abs(p - before) <= stands * p && t > ox.state.standsFrom && t > fu.state.standsFrom)
      pass(until);
  }
  return {
    oxidiser: ox.summary(),
    fuel: fu.summary(),
    ignites: ignites as Time | undefined,
    until,
    unburnt: (ox.unburnt + fu.unburnt) as Mass,
    burntAtOnce: burntAtOnce(chamber, ox.unburnt, fu.unburnt),
    leastRatio: least,
    mostRatio: most,
    endRatio: ox.passing / fu.passing,
    peak: peak as Pressure,
    pressure: p as Pressure,
    rises: (burns || ignites === undefined ? undefined : firstAbove(trace, risen * p)) as Time | undefined,
    trace,
  };

  /** Goes on with flows and pressure as they are. */
  function pass(to: number): void {
    if (!(to > t)) return;
    for (const { state, passing } of [ox, fu]) {
      state.drawn += passing * (to - t);
      state.passed += passing * (to - t);
    }
    t = to;
    keep();
  }

  function keep(): void {
    if (trace === undefined) return;
    trace.time.push(t);
    trace.oxidiser.push(ox.passing);
    trace.fuel.push(fu.passing);
    trace.pressure.push(p);
  }
}

/** Of a step, what it takes until a side is full. */
function untilFull({ share, whole }: SideState, W: number, dt: number): number {
  const left = (1 - share) * whole;
  return W * dt > left ? Math.max(left / W, leastStep) : dt;
}

/** First time at which the pressure is above one, between steps along a straight line [s]. */
function firstAbove(trace: EngineTrace | undefined, limit: number): number | undefined {
  if (trace === undefined) return undefined;
  const { time, pressure } = trace;
  const k = pressure.findIndex((p) => p >= limit);
  const [t1, p1, t0, p0] = [time[k], pressure[k], time[k - 1], pressure[k - 1]];
  if (t1 === undefined || p1 === undefined || t0 === undefined || p0 === undefined) return t1;
  return t1 - ((t1 - t0) * (p1 - limit)) / (p1 - p0);
}

/** A volume counts as full within this share: a step ends there to rounding [-]. */
const filledWithin = 1e-9;

function ignitionDue(ox: SideBook, fu: SideBook, { condition, delay }: Ignition): number | undefined {
  if (ox.arrives === undefined || fu.arrives === undefined) return undefined;
  const both = Math.max(ox.arrives, fu.arrives);
  return condition === "time" ? Math.max(delay, both) : both + delay;
}

/** W c* over A_t of both flows as last taken [Pa], its slope by the chamber pressure, and the c* of it. Nothing burns alone. */
class Source {
  value = 0;
  slope = 0;
  c = 0;

  constructor(
    private readonly ox: SideState,
    private readonly fu: SideState,
    private readonly chamber: Chamber,
  ) {}

  take(p: number): void {
    const { ox, fu, chamber } = this;
    const Wo = ox.isFull ? ox.flow(p, 1, true) : 0;
    const Wf = fu.isFull ? fu.flow(p, 1, true) : 0;
    this.c = velocityAt(chamber.velocity, Wf > 0 ? Wo / Wf : Number.POSITIVE_INFINITY);
    const isBurning = Wo > 0 && Wf > 0;
    this.value = isBurning ? ((Wo + Wf) * this.c) / chamber.throat : 0;
    this.slope = isBurning ? ((ox.slope + fu.slope) * this.c) / chamber.throat : 0;
  }
}

/** Chamber pressure after a step, both sides as last taken. @param filling tau times c*, which the chamber alone fixes [m] */
function burnStep(source: Source, ambient: number, before: number, dt: number, filling: number): number {
  let p = before;
  for (let n = 0; n < rounds; n++) {
    source.take(p);
    const share = (dt * source.c) / filling;
    const change = (p - before - share * (source.value - p)) / (1 + share * (1 - source.slope));
    p = Math.max(p - change, ambient);
    if (Math.abs(change) < settled * p) break;
  }
  return p;
}

/** Pressure at which both full sides burn steadily, as last taken. */
function steadyPressure(source: Source, ambient: number): number {
  let p = ambient;
  for (let n = 0; n < steadyRounds; n++) {
    source.take(p);
    const next = Math.max(p - (p - source.value) / (1 - source.slope), ambient);
    if (Math.abs(next / p - 1) < standsAt) return next;
    p = next;
  }
  return p;
}
