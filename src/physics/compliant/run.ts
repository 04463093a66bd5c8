/**
 * One run of the compliant train, from command to the end of its shock, a stall or the end of the time given.
 *
 * Between events the equations are smooth and integrated by RODAS; every event is a root on the path of its
 * step. Derivations, and what the accuracy is, in docs/theory/compliant.md.
 */
import { curveAt, curveZero, nextStep, RosenbrockStep, type StepCurve } from "../../numerics/index.js";
import type { Angle, Time } from "../../quantity/index.js";
import { ChainEquations } from "./chain.js";
import { ChainDriver } from "./driver.js";
import { ChainEvents } from "./events.js";
import { ChainAccounts, type ChainLedger, chainLedgerTolerance } from "./ledger.js";
import { type LinkPeaks, ShockRecord, type TorquePeak } from "./record.js";
import { slowestPeriod, stemInertia, stemRatio } from "./swing.js";
import type { CompliantTrain } from "./train.js";

/** A controller that is asked at fixed sample times which current the driver shall lead to. */
export interface ChainController {
  readonly sampleTime: Time;
  /** Time constant with which the current follows, > 0. */
  readonly lag: Time;
  /** @param time since the drive came alive [s];  @param angle, speed of the stem;  @returns [A] */
  current(time: number, angle: number, speed: number): number;
  /** Whether nothing more is wanted: the run ends there. */
  isDone?(): boolean;
}

/** Where a run stands at one instant, to go on from with something changed. */
export interface ChainState {
  readonly time: number;
  readonly y: Float64Array;
  readonly sense: Int8Array;
  readonly flank: Int8Array;
  readonly sign: Int8Array;
  readonly stopSide: -1 | 0 | 1;
  readonly isBondBroken: boolean;
  readonly driveSense: 1 | -1;
  readonly isLimiting: boolean;
  readonly cause: { readonly cause: TorquePeak["cause"]; readonly since: number };
}

export interface ChainOrder {
  /** Opening +1 or closing -1. */
  readonly sense: 1 | -1;
  /** Where the ball stands at the command, 0 <= start <= travel. */
  readonly start: Angle;
  /** The run is given up after this time, > 0. */
  readonly horizon: Time;
  /** Travelled angles, ascending and > 0, whose passing times are wanted [rad]. */
  readonly marks?: Float64Array;
  /** Full drive if absent. */
  readonly controller?: ChainController;
  /** Relative tolerance of a step, 1e-10 to 1e-2. */
  readonly tolerance?: number;
  /** Steps after which it is given up, as one that hunts without end. */
  readonly mostSteps?: number;
  /** Ends with the first touch of the end stop. */
  readonly endsAtStop?: boolean;
  /** Goes on to the horizon instead of ending with the first wind-up at the stop. */
  readonly isWhole?: boolean;
  /** Goes on from a state, `jams` with the ball jammed there. */
  readonly from?: ChainState;
  readonly jams?: boolean;
  /**
   * Leaves out what breakaway adds to the friction: it has faded in motion, and left out where the ball stands at the
   * stop as well it leaves more of the train's torque to the stop.
   */
  readonly isFaded?: boolean;
  /** Ends where the ball, having broken away, comes to rest for the first time or has passed this way [rad]. */
  readonly firstSlip?: Angle;
  /** Called after each step with the path in it: start [s], size [s], share that was used. */
  readonly watch?: (
    step: RosenbrockStep,
    equations: ChainEquations,
    t: number,
    h: number,
    share: number,
  ) => void;
}

export interface ChainRun {
  /** Out of time: still in motion, or hunting, when the run was given up. */
  readonly outcome: "arrived" | "stalled" | "out of time";
  readonly firstMotion: Time | undefined;
  /** First touch of the end stop. */
  readonly arrival: Time | undefined;
  /** In the order of the marks, NaN where not passed [s]. */
  readonly markTimes: Float64Array;
  /** Of each link, and of the stop. */
  readonly links: readonly LinkPeaks[];
  readonly stop: TorquePeak;
  /** Stem speed at the first touch of the stop [rad/s]. */
  readonly impactSpeed: number;
  readonly ledger: ChainLedger;
  readonly end: Time;
  readonly steps: number;
  readonly events: number;
  /** States at the end. */
  readonly y: Float64Array;
}

const defaultTolerance = 1e-3;
const repeatFactor = 0.1;
const tightestRepeat = 1e-10;
/** First step, and after each event at most [s] as a share of the stiffest swing's radian. */
const firstShare = 0.2;
const firstStep = 1e-4;
/** Nodes of the load and share of travel that a step may pass, as in the rigid train. */
const nodesPassed = 6;
const sharePassed = 0.1;
/** Below this share of the no-load speed a ball stays at a hard stop. */
const restShare = 1e-3;
/** After the motor first stands behind the stop: electrical time constants until the current has settled too. */
const settled = 5;
/** Longest wait for that, in periods of the slowest swing. */
const longestWindUp = 2;
const defaultSteps = 200_000;
/** So many steps in succession at one instant, and releases are left out of one. */
const mostIdle = 6;
/** Less than this share of travel in a period, and of the voltage, is standstill [-]. */
const stillShare = 1e-6;
const smallestStep = 1e-16;
/** A rejected step is shortened as for an error of at least this. */
const leastRejected = 1.0001;
/** A start that is over in less is none [s]; steps that hide one become so much shorter. */
const shortestStart = 1e-9;
const turnBackShrink = 0.2;
const leastTime = 1e-15;
/** Share of the backlash that a flank at rest keeps clear of, so that rounding does not make it touch [-]. */
const withinBacklash = 1 - 1e-9;

/**
 * Runs the compliant train.
 * @param train  see CompliantTrain;  @param order  see ChainOrder
 * @returns      peaks, times and ledger; run again ten times tighter while the ledger does not close within 0.1 %
 */
export function runChain(train: CompliantTrain, order: ChainOrder): ChainRun {
  let tolerance = order.tolerance ?? defaultTolerance;
  for (;;) {
    const run = new Run(train, order, tolerance).run();
    if (Math.abs(run.ledger.relativeResidual) <= chainLedgerTolerance || tolerance <= tightestRepeat)
      return run;
    tolerance *= repeatFactor;
  }
}

class Run {
  private t = 0;
  private h = firstStep;
  private count = 0;
  private events = 0;
  private idle = 0;
  private firstMotion = Number.NaN;
  private arrival = Number.NaN;
  private impactSpeed = 0;
  private nextMark = 0;
  private hasSlipped = false;
  /** Since when the motor has stood behind the stop [s]. */
  private standsSince = Number.NaN;
  /** When the wait for the wind-up is given up [s]. */
  private settledAt = Number.NaN;
  private readonly equations: ChainEquations;
  private readonly step: RosenbrockStep;
  private readonly driver: ChainDriver;
  private readonly finder: ChainEvents;
  private readonly record: ShockRecord;
  private readonly accounts: ChainAccounts;
  private readonly y: Float64Array;
  private readonly middle: Float64Array;
  private readonly reached: Float64Array;
  /** The next step begins in the mode in which the last one ended. */
  private goesOn = false;
  private readonly curve: StepCurve = { y0: 0, y1: 0, e2: 0, e3: 0 };
  private readonly markTimes: Float64Array;
  private readonly period: number;
  private readonly eventStep: number;
  private readonly electricalTime: number;
  private readonly stemNoLoad: number;

  constructor(
    private readonly train: CompliantTrain,
    private readonly order: ChainOrder,
    tolerance: number,
  ) {
    const resistance = train.resistance + train.supplyResistance;
    const greatest = Math.min(train.openCircuitVoltage / resistance, train.currentLimit);
    const ratio = stemRatio(train);
    const noLoad = train.openCircuitVoltage / train.torqueConstant;
    this.stemNoLoad = noLoad / ratio;
    const { slowest, fastest } = slowestPeriod(train);
    this.period = slowest;
    this.eventStep = (firstShare * fastest) / (2 * Math.PI);
    this.electricalTime = train.inductance / resistance;
    const stall = train.torqueConstant * greatest * ratio;
    this.equations = new ChainEquations(train, {
      tolerance,
      torque: Math.max(stall, Math.sqrt(stemInertia(train)) * this.stemNoLoad, 1e-6),
      motorSpeed: Math.max(noLoad, 1e-3),
      current: Math.max(greatest, 1e-3),
    });
    this.step = new RosenbrockStep(this.equations);
    this.y = this.step.start;
    this.middle = new Float64Array(this.equations.size);
    this.reached = new Float64Array(this.equations.size);
    this.driver = new ChainDriver(this.equations, order.sense);
    this.finder = new ChainEvents(this.equations, this.step, this.driver);
    this.record = new ShockRecord(this.equations, this.step, slowest);
    this.accounts = new ChainAccounts(this.equations, order.sense);
    this.markTimes = new Float64Array(order.marks?.length ?? 0).fill(Number.NaN);
    if (order.from === undefined) this.place();
    else this.resume(order.from);
  }

  /** All at rest, the backlash of every link still to be taken up: the last stroke ran the other way. */
  private place(): void {
    const { equations, train, order, y } = this;
    const { links } = train;
    y[equations.ball] = order.start;
    for (let l = links.length - 1; l >= 0; l--) {
      const link = links[l];
      if (link === undefined) continue;
      const twist = -order.sense * 0.5 * link.backlash * withinBacklash;
      y[l] = ((y[l + 1] as number) + twist) * link.ratio;
    }
    this.accounts.begin(y);
  }

  private resume(from: ChainState): void {
    const { equations, y } = this;
    y.set(from.y);
    this.t = from.time;
    equations.flank.set(from.flank);
    equations.sign.set(from.sign);
    equations.stopSide = from.stopSide;
    from.sense.forEach((sense, b) => {
      equations.setSense(b, sense as -1 | 0 | 1);
    });
    if (from.isBondBroken) this.breakBond();
    if (from.isLimiting) this.driver.hold();
    else this.driver.driveFully();
    this.record.happened(from.cause.cause, from.cause.since);
    this.accounts.begin(y);
    this.h = Math.min(firstStep, this.eventStep);
    if (this.order.isFaded === true) this.equations.leaveOutExcess();
    if (this.order.jams === true) this.jam();
  }

  /** The ball stops dead where it is. */
  private jam(): void {
    const { equations, y } = this;
    this.finder.isJammed = true;
    const ball = equations.bodies + equations.ball;
    this.impactSpeed = Math.abs(y[ball] as number);
    this.accounts.lose("stop", this.ballEnergy());
    y[ball] = 0;
    equations.setSense(equations.ball, 0);
    this.record.happened("jammed", this.t);
    this.arrival = this.t;
    this.settledAt = this.t + longestWindUp * this.period;
  }

  run(): ChainRun {
    const { train, order, driver } = this;
    if (order.from !== undefined) this.advance(order.horizon);
    else {
      const alive = Math.min(train.deadTime, order.horizon);
      this.advance(alive);
      this.record.happened("start", this.t);
      if (order.controller === undefined) {
        driver.driveFully();
        this.goesOn = false;
        this.h = Math.min(this.h, firstStep);
        this.advance(order.horizon);
      } else this.follow(order.controller, alive);
    }
    return this.result();
  }

  private follow(controller: ChainController, alive: number): void {
    const { order, equations, driver, y } = this;
    for (let n = 0; this.t < order.horizon && !this.isOver() && controller.isDone?.() !== true; n++) {
      const since = n * controller.sampleTime;
      const angle = y[equations.ball] as number;
      this.goesOn = false;
      driver.lead(
        controller.current(since, angle, y[equations.bodies + equations.ball] as number),
        controller.lag,
      );
      this.advance(Math.min(alive + since + controller.sampleTime, order.horizon));
    }
  }

  private advance(until: number): void {
    while (until - this.t > leastTime && !this.isOver()) {
      const before = this.t;
      this.go(until);
      this.count++;
      this.idle = this.t > before ? 0 : this.idle + 1;
      this.finder.isWaiting = this.idle >= mostIdle;
    }
  }

  /** Whether nothing more is to come: the first wind-up is over, or all rests and the current is steady. */
  private isOver(): boolean {
    if (this.count >= (this.order.mostSteps ?? defaultSteps)) return true;
    if (this.order.endsAtStop === true && !Number.isNaN(this.arrival)) return true;
    if (this.order.isWhole === true) return false;
    if (this.t >= this.settledAt || this.hasSlipped || this.isWoundUp()) return true;
    return this.isStalled() && !this.driver.isDead;
  }

  /** All that friction can hold is held, what it cannot hold stands, and the current no longer rises. */
  private isStalled(): boolean {
    const { equations, y, reached } = this;
    const { bodies, held, canRest } = equations;
    for (let b = 0; b < bodies; b++) if (canRest[b] === 1 && held[b] === 0) return false;
    equations.rates(y, reached);
    const way = stillShare * this.train.travel;
    for (let b = 0; b < bodies; b++) {
      const w = Math.abs(y[bodies + b] as number);
      const a = Math.abs(reached[bodies + b] as number);
      if (this.period * (w + this.period * a) > way) return false;
    }
    const rate = Math.abs(reached[equations.current] as number);
    return rate * this.train.inductance < stillShare * this.train.openCircuitVoltage;
  }

  private go(until: number): void {
    const { step, finder, equations, y } = this;
    const left = until - this.t;
    let h = Math.min(this.h, left, this.longest());
    const limit = h;
    let error = step.attempt(h);
    while (!(error <= 1) || this.turnsBack(h)) {
      h = error <= 1 ? h * turnBackShrink : nextStep(h, Math.max(error, leastRejected));
      if (h < smallestStep) throw new Error(`a step of ${h} s has the error ${error}, at ${this.t} s`);
      error = step.attempt(h);
    }
    const grown = nextStep(h, error);
    this.h = h < limit ? grown : Math.max(grown, Math.min(this.h, grown));
    finder.find();
    const { share, event, index, side } = finder;
    const used = share * h;
    if (share === 1) this.reached.set(step.end);
    else step.along(share, this.reached);
    if (used > 0) {
      step.along(0.5 * share, this.middle);
      this.accounts.step(y, this.middle, this.reached, used, this.goesOn, this.driver.isFull);
      this.record.steps(this.t, h, share);
      this.notePassing(h, share);
      this.order.watch?.(step, equations, this.t, h, share);
    }
    y.set(this.reached);
    this.goesOn = used > 0 && event === "none";
    this.t = event === "none" && h === left ? until : this.t + used;
    if (event !== "none") this.meet(event, index, side);
    this.noteStanding();
    const { firstSlip, sense, start } = this.order;
    if (firstSlip !== undefined && sense * ((y[equations.ball] as number) - start) >= firstSlip)
      this.hasSlipped = true;
  }

  /** Whether a body that has just been let go is back within the step: only a shorter one shows how far it came. */
  private turnsBack(h: number): boolean {
    if (h <= shortestStart) return false;
    const { equations, step } = this;
    const { bodies, sense, held } = equations;
    for (let b = 0; b < bodies; b++) {
      if (held[b] === 1 || step.start[bodies + b] !== 0) continue;
      if ((sense[b] as number) * (step.end[bodies + b] as number) < 0) return true;
    }
    return false;
  }

  /** What a step may be at most: nodes of the load it passes, and a time constant where friction runs away. */
  private longest(): number {
    const { equations, y, train } = this;
    const b = equations.ball;
    if (equations.held[b] === 1) return Number.POSITIVE_INFINITY;
    const speed = y[equations.bodies + b] as number;
    const advance = Math.min(nodesPassed * train.load.step, sharePassed * train.travel);
    return Math.min(advance / Math.abs(speed), 1 / equations.growth(y[b] as number, speed));
  }

  private notePassing(h: number, share: number): void {
    const { order, step, equations, markTimes } = this;
    const marks = order.marks;
    if (marks === undefined) return;
    const b = equations.ball;
    const p = this.curve;
    p.e2 = step.bend[b] as number;
    p.e3 = step.skew[b] as number;
    for (; this.nextMark < marks.length; this.nextMark++) {
      const target = order.start + order.sense * (marks[this.nextMark] as number);
      p.y0 = (step.start[b] as number) - target;
      p.y1 = (step.end[b] as number) - target;
      const x = passing(p, share, order.sense);
      if (x === undefined) return;
      markTimes[this.nextMark] = this.t + x * h;
    }
  }

  /**
   * Notes when the motor stands behind the stop, and when its current will have settled. One that goes on winding up
   * by then is waited for again.
   */
  private noteStanding(): void {
    if (!this.record.isFinal) return;
    const { equations, y, order } = this;
    const stands = order.sense * (y[equations.bodies] as number) <= 0;
    if (Number.isNaN(this.standsSince)) {
      if (stands) this.standsSince = this.t;
    } else if (!stands && this.t >= this.standsSince + settled * this.electricalTime)
      this.standsSince = Number.NaN;
  }

  /** Whether the wind-up at the stop is over: the motor stands, and stood long enough for its current to settle. */
  private isWoundUp(): boolean {
    const { equations, y, order } = this;
    const stands = order.sense * (y[equations.bodies] as number) <= 0;
    return stands && this.t >= this.standsSince + settled * this.electricalTime;
  }

  private meet(event: string, index: number, side: 1 | -1): void {
    const { equations, driver, record, y } = this;
    this.events++;
    this.h = Math.min(this.h, firstStep);
    switch (event) {
      case "rest":
        this.rest(index);
        break;
      case "release":
        this.release(index, side);
        break;
      case "touch":
        this.switching(() => {
          equations.flank[index] = side;
          equations.sign[index] = side;
          equations.chooseMesh(index);
        });
        record.happened("backlash", this.t);
        this.h = Math.min(this.h, this.eventStep);
        break;
      case "part":
        this.switching(() => {
          equations.flank[index] = 0;
        });
        break;
      case "sign":
        equations.sign[index] = equations.sign[index] === 1 ? -1 : 1;
        equations.chooseMesh(index);
        break;
      case "meet":
        this.meetStop(side);
        break;
      case "leave":
        this.switching(() => {
          equations.stopSide = 0;
        });
        break;
      case "driver":
        driver.changeOver(y);
        break;
    }
  }

  /** What a spring holds when it is let go, or is taken up with, is counted as lost in twist. */
  private switching(change: () => void): void {
    const before = this.equations.elastic(this.y);
    change();
    this.accounts.lose("twist", before - this.equations.elastic(this.y));
  }

  private rest(body: number): void {
    const { equations, y } = this;
    y[equations.bodies + body] = 0;
    const before = equations.sense[body] as number;
    equations.setSense(body, 0);
    if (body === equations.ball) {
      this.breakBond();
      this.hasSlipped = this.order.firstSlip !== undefined;
    }
    if (this.finder.isWaiting) return;
    equations.torques(y);
    for (const side of before > 0 ? ([-1, 1] as const) : ([1, -1] as const)) {
      if (side * equations.drive(body, y) > equations.holding(body, side, y)) {
        this.release(body, side);
        return;
      }
    }
  }

  private release(body: number, side: 1 | -1): void {
    const { equations } = this;
    equations.setSense(body, side);
    if (body !== equations.ball) return;
    this.record.happened("breakaway", this.t);
    if (Number.isNaN(this.firstMotion)) this.firstMotion = this.t;
  }

  private breakBond(): void {
    this.equations.breakDwellBond();
  }

  private meetStop(side: 1 | -1): void {
    const { equations, train, y, accounts, record, order } = this;
    const ball = equations.ball;
    const p = equations.bodies + ball;
    const isEnd = side === order.sense;
    if (isEnd && Number.isNaN(this.arrival)) {
      this.arrival = this.t;
      this.impactSpeed = Math.abs(y[p] as number);
      this.settledAt = this.t + longestWindUp * this.period;
    }
    if (isEnd) record.happened("stop", this.t);
    this.h = Math.min(this.h, this.eventStep);
    if (train.stop.kind === "soft") {
      this.switching(() => {
        equations.stopSide = side;
      });
      return;
    }
    const kept = -train.stop.restitution * (y[p] as number);
    const before = this.ballEnergy();
    y[ball] = side > 0 ? train.travel : 0;
    this.breakBond();
    if (Math.abs(kept) > restShare * this.stemNoLoad) {
      y[p] = kept;
      equations.setSense(ball, kept > 0 ? 1 : -1);
    } else {
      y[p] = 0;
      equations.setSense(ball, 0);
    }
    accounts.lose("stop", before - this.ballEnergy());
  }

  private ballEnergy(): number {
    const { equations, y } = this;
    const w = y[equations.bodies + equations.ball] as number;
    const { inertia } = this.train.bodies[equations.ball] ?? { inertia: 0 };
    return 0.5 * inertia * w * w;
  }

  private result(): ChainRun {
    const hasArrived = !Number.isNaN(this.arrival);
    const isStalled = !hasArrived && this.isStalled();
    return {
      outcome: hasArrived ? "arrived" : isStalled ? "stalled" : "out of time",
      firstMotion: Number.isNaN(this.firstMotion) ? undefined : (this.firstMotion as Time),
      arrival: hasArrived ? (this.arrival as Time) : undefined,
      markTimes: this.markTimes,
      links: this.record.links,
      stop: this.record.stop,
      impactSpeed: this.impactSpeed,
      ledger: this.accounts.close(this.y),
      end: this.t as Time,
      steps: this.count,
      events: this.events,
      y: this.y,
    };
  }
}

/** Share of a step at which a curve, zero at the mark, is passed in a sense; undefined if not within `share`. */
function passing(curve: Parameters<typeof curveAt>[0], share: number, sense: 1 | -1): number | undefined {
  const end = share === 1 ? curve.y1 : curveAt(curve, share);
  if (sense * end < 0) return undefined;
  return Math.min(curveZero(curve, share), share);
}
