/**
 * A start or stop of an engine with two propellants (side.ts) and one chamber (chamber.ts).
 *
 * In a step the sides fill by the midpoint rule; the chamber pressure goes by backward Euler with Newton rounds, so that
 * a chamber that fills faster than a step follows its flows. A step ends where a side is full and where it ignites. What
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
  /** Flow at the end, and last time at which it was at least a tenth of the flow before the stop [s]. */
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
/** Flow that counts as fallen, of the flow before [-], and pressure as risen, of the last. */
const fallen = 0.1;
const risen = 0.9;
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
  constructor(readonly state: SideState) {}

  summary(W: number): SideRun {
    const { state } = this;
    return {
      flows: this.flows as Time | undefined,
      arrives: this.arrives as Time | undefined,
      drawn: state.drawn as Mass,
      passed: state.passed as Mass,
      standing: (state.share * state.side.volume * state.side.density) as Mass,
      unburnt: this.unburnt as Mass,
      flow: W,
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
  const books = [ox, fu] as const;
  const time: number[] = [];
  const flows = { oxidiser: [] as number[], fuel: [] as number[], pressure: [] as number[] };
  let t = 0;
  let p: number = burns ? steadyPressure(ox.state, fu.state, chamber) : chamber.ambient;
  let ignites: number | undefined = burns ? 0 : undefined;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let peak = p;
  if (burns) for (const book of books) book.before = book.state.flow(0, p, 1, true);
  let passing: [number, number] = [ox.before, fu.before];
  keep();

  while (t < following.until - leastStep) {
    let dt = Math.min(following.step, following.until - t);
    const due = ignites === undefined ? ignitionDue(ox, fu, ignition) : ignites;
    const isLit = ignites !== undefined || (due !== undefined && due <= t + leastStep);
    if (isLit) ignites ??= t;
    else if (due !== undefined) dt = Math.min(dt, Math.max(due - t, leastStep));
    // A side that fills ends the step.
    const filling: [number, number] = [0, 0];
    books.forEach(({ state }, i) => {
      if (!state.isFull) {
        const rate = state.side.density * state.side.volume;
        const first = state.flow(t + dt / 2, p, state.share, false);
        const middle = Math.min(state.share + (first * dt) / (2 * rate), 1);
        filling[i] = state.flow(t + dt / 2, p, middle, false);
      }
    });
    books.forEach(({ state }, i) => {
      const W = filling[i] ?? 0;
      const left = (1 - state.share) * state.side.density * state.side.volume;
      if (!state.isFull && W * dt > left) dt = Math.max(left / W, leastStep);
    });
    const now = t + dt;
    if (isLit) p = burnStep(ox.state, fu.state, chamber, p, now, dt, filled);
    passing = [0, 0];
    books.forEach((book, i) => {
      const { state } = book;
      const W = state.isFull ? state.flow(now, p, 1, true) : (filling[i] ?? 0);
      if (W > 0) book.flows ??= t;
      if (!isLit) book.coldFlow = Math.max(book.coldFlow, W);
      state.drawn += W * dt;
      if (state.isFull) {
        passing[i] = W;
        state.passed += W * dt;
        if (!isLit) book.unburnt += W * dt;
        if (isLit && W > 0)
          book.injectorShare = Math.min(book.injectorShare, (state.side.injector * W * W) / p);
        if (burns && W >= fallen * book.before) book.falls = now;
      } else {
        const whole = state.side.density * state.side.volume;
        state.share += (W * dt) / whole;
        if (state.share >= 1 - filledWithin) {
          state.share = 1;
          book.arrives = now;
        }
      }
    });
    t = now;
    if (isLit && (passing[0] > 0 || passing[1] > 0) && !burns) {
      const ratio = passing[0] / passing[1];
      least = Math.min(least, ratio);
      most = Math.max(most, ratio);
    }
    peak = Math.max(peak, p);
    keep();
  }
  const unburnt = ox.unburnt + fu.unburnt;
  const at = flows.pressure.findIndex((one) => one >= risen * p);
  return {
    oxidiser: ox.summary(passing[0]),
    fuel: fu.summary(passing[1]),
    ignites: ignites as Time | undefined,
    unburnt: unburnt as Mass,
    burntAtOnce: burntAtOnce(chamber, ox.unburnt, fu.unburnt),
    leastRatio: least,
    mostRatio: most,
    endRatio: passing[0] / passing[1],
    peak: peak as Pressure,
    pressure: p as Pressure,
    rises: (burns || ignites === undefined ? undefined : time[at]) as Time | undefined,
    trace: following.records ? { time, ...flows } : undefined,
  };

  function keep(): void {
    if (!following.records) return;
    time.push(t);
    flows.oxidiser.push(passing[0]);
    flows.fuel.push(passing[1]);
    flows.pressure.push(p);
  }
}

/** A volume counts as full within this share: a step ends there to rounding [-]. */
const filledWithin = 1e-9;

function ignitionDue(ox: SideBook, fu: SideBook, { condition, delay }: Ignition): number | undefined {
  if (ox.arrives === undefined || fu.arrives === undefined) return undefined;
  const both = Math.max(ox.arrives, fu.arrives);
  return condition === "time" ? Math.max(delay, both) : both + delay;
}

/** W c* over A_t of both flows [Pa] and its slope by the chamber pressure, with the c* of it. Nothing burns alone. */
function source(ox: SideState, fu: SideState, chamber: Chamber, p: number, t: number) {
  const Wo = ox.isFull ? ox.flow(t, p, 1, true) : 0;
  const Wf = fu.isFull ? fu.flow(t, p, 1, true) : 0;
  const c = velocityAt(chamber.velocity, Wf > 0 ? Wo / Wf : Number.POSITIVE_INFINITY);
  const isBurning = Wo > 0 && Wf > 0;
  return {
    value: isBurning ? ((Wo + Wf) * c) / chamber.throat : 0,
    slope: isBurning ? ((ox.slope + fu.slope) * c) / chamber.throat : 0,
    c,
  };
}

/** @param filling tau times c*, which the chamber alone fixes [m] */
function burnStep(
  ox: SideState,
  fu: SideState,
  chamber: Chamber,
  before: number,
  t: number,
  dt: number,
  filling: number,
): number {
  let p = before;
  for (let n = 0; n < rounds; n++) {
    const { value, slope, c } = source(ox, fu, chamber, p, t);
    const share = (dt * c) / filling;
    const change = (p - before - share * (value - p)) / (1 + share * (1 - slope));
    p = Math.max(p - change, chamber.ambient);
    if (Math.abs(change) < settled * p) break;
  }
  return p;
}

/** Pressure at which both full sides burn steadily at time 0. */
function steadyPressure(ox: SideState, fu: SideState, chamber: Chamber): number {
  let p: number = chamber.ambient;
  for (let n = 0; n < steadyRounds; n++) {
    const { value, slope } = source(ox, fu, chamber, p, 0);
    const next = Math.max(p - (p - value) / (1 - slope), chamber.ambient);
    if (Math.abs(next / p - 1) < standsAt) return next;
    p = next;
  }
  return p;
}
