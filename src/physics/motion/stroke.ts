/**
 * One stroke of the rigid train, from command to the end stop, a stall or the end of the time given.
 *
 * Stick and slip are states, not a steep curve: at rest the ball stays until the drive exceeds
 * breakaway friction at that very angle, and the instant is found from the closed form of the
 * current; in motion the equations are smooth and integrated by `SlipStep`, and the instants at which
 * speed vanishes, a stop is met, the current limit takes hold or the gears change regime are roots of
 * the step's continuous path. A drive that cannot break away ends as `stalled` with the angle and the
 * lacking torque, never with a time. Derivations in docs/theory/motion.md.
 */
import type { Angle, AngularSpeed, Current, Time, Torque, Voltage } from "../../quantity/index.js";
import { Accounts } from "./accounts.js";
import { Driver } from "./driver.js";
import { ledgerTolerance } from "./ledger.js";
import {
  type CurrentController,
  refuseImpossible,
  type Stall,
  type Stroke,
  type StrokeOrder,
} from "./order.js";
import { currentAfter, type RestCurrent, timeBeyond, timeTo } from "./restCurrent.js";
import { SlipStep } from "./slip.js";
import { MIDDLE, SlipEquations, START } from "./slipEquations.js";
import { type StepEvent, StepEvents } from "./stepEvents.js";
import { SPEED, states } from "./stepPath.js";
import { stepToleranceOf } from "./stepTolerance.js";
import { StrokeBuffers } from "./strokeBuffers.js";
import { StrokeRecord } from "./strokeRecord.js";
import type { RigidTrain } from "./train.js";

const defaultTolerance = 2e-4;
/** A stroke whose energy ledger does not close within `ledgerTolerance` is run again this much tighter. */
const repeatFactor = 0.1;
const tightestRepeat = 1e-9;
/** Rest after a bounce: below this share of the no-load speed the ball stays at the stop. */
const restSpeedShare = 1e-3;
/** A rebound that is braked within this share of travel is none. */
const leastRebound = 1e-6;
/** A ball at rest within this share of travel of a stop touches it. */
const contactShare = 1e-9;
const safety = 0.9;
const largestGrowth = 6;
const smallestShrink = 0.2;
/** First step after rest [s]: well under the electrical time constant of any motor of this size. */
const firstStep = 1e-4;
/** A drive that has no more than this share to spare is balanced, and rests. */
const balanceShare = 1e-12;
/** A start that is over in less is none [s]. */
const shortestStart = 1e-9;
/** A step from rest that is used for less than this share of it is made anew. */
const leastStartShare = 0.1;
/** Less time than this is none [s]. */
const leastTime = 1e-15;
/** No electrical time constant is so short [s]. */
const smallestStep = 1e-20;
/** Rest after a start that came to nothing at the same instant, doubled while that goes on [s]. */
const balancedWait = 1e-5;
/** A stroke that hunts, sticking and slipping without end, is given up after so many steps. */
const mostSteps = 1_000_000;
/** So many steps in succession at one instant are a fault of the program. */
const mostIdle = 1000;
/** A speed that shares refer to does not vanish with the voltage [rad/s]. */
const leastSpeedScale = 1e-3;

/**
 * Runs one stroke.
 *
 * @param train  the drive train at its conditions, see RigidTrain
 * @param order  sense, start, horizon, marks, controller, tolerance, see StrokeOrder
 * @returns      outcome, times, peaks and energy ledger, see Stroke
 * Refuses       values that no drive can have, and a start outside the travel.
 * Valid for     a train without backlash and windup; a flow that does not drive the motor back
 *               beyond its no-load speed. Accuracy in docs/theory/motion.md.
 */
export function runStroke(train: RigidTrain, order: StrokeOrder): Stroke {
  refuseImpossible(train, order);
  let tolerance = order.tolerance ?? defaultTolerance;
  for (;;) {
    order.path?.clear();
    const stroke = new StrokeRun(train, order, tolerance).run();
    const isClosed = Math.abs(stroke.ledger.relativeResidual) <= ledgerTolerance;
    if (isClosed || tolerance <= tightestRepeat) return stroke;
    tolerance *= repeatFactor;
  }
}

class StrokeRun {
  private t = 0;
  private moving = false;
  /** Nothing more is to come: the ball rests where the stroke was to end, or the stroke was given up. */
  private settled = false;
  private direction: 1 | -1 = 1;
  private h = firstStep;
  private steps = 0;
  private idle = 0;
  private lastStart = Number.NaN;
  private wait = balancedWait;
  private readonly equations: SlipEquations;
  private readonly step: SlipStep;
  private readonly driver: Driver;
  private readonly accounts: Accounts;
  private readonly events: StepEvents;
  private readonly record: StrokeRecord;
  private readonly resistance: number;
  private readonly noLoadSpeed: number;

  constructor(
    private readonly train: RigidTrain,
    private readonly order: StrokeOrder,
    tolerance: number,
  ) {
    this.resistance = train.resistance + train.supplyResistance;
    this.noLoadSpeed = Math.max(
      train.openCircuitVoltage / (train.torqueConstant * train.ratio),
      leastSpeedScale,
    );
    const { points, jacobian, path, sums } = order.buffers ?? new StrokeBuffers();
    this.equations = new SlipEquations(train, points, jacobian);
    this.step = new SlipStep(
      this.equations,
      stepToleranceOf(train, order, tolerance, {
        speed: this.noLoadSpeed as AngularSpeed,
        current: this.greatestCurrent() as Current,
      }),
      path,
    );
    this.driver = new Driver(train, this.equations, order.sense);
    this.accounts = new Accounts(train, this.equations, order.sense, sums);
    this.events = new StepEvents(this.equations, this.step, this.driver, train.travel);
    this.record = new StrokeRecord(order, train.travel);
    this.equations.put(START, order.start, 0, 0);
  }

  run(): Stroke {
    const { train, order } = this;
    const alive = Math.min(train.deadTime, order.horizon);
    this.advance(alive);
    if (order.controller === undefined) {
      this.driver.driveFully();
      this.advance(order.horizon);
    } else {
      this.follow(order.controller, alive);
    }
    return this.result();
  }

  private follow(controller: CurrentController, alive: number): void {
    const { order, equations, driver, record } = this;
    for (let n = 0; this.t < order.horizon && !this.settled; n++) {
      const since = n * controller.sampleTime;
      const wanted = controller.current(since, equations.angleAt(START), equations.speedAt(START));
      driver.lead(wanted, controller.lag);
      this.advance(Math.min(alive + since + controller.sampleTime, order.horizon));
      if (
        order.isWhole !== true &&
        since > controller.duration &&
        !this.moving &&
        record.isWithinBand(equations.angleAt(START))
      )
        return;
    }
  }

  private greatestCurrent(): number {
    return Math.min(this.train.openCircuitVoltage / this.resistance, this.train.currentLimit);
  }

  /** Runs on to a time, or to where the ball rests at the end of its stroke. */
  private advance(until: number): void {
    while (until - this.t > leastTime) {
      const before = this.t;
      if (this.moving) this.slipUntil(until);
      else this.restUntil(until);
      if (this.settled) return;
      this.steps++;
      this.idle = this.t > before ? 0 : this.idle + 1;
      // Balanced to the last bit, or hunting: given up like one that the time ran out for.
      if (this.idle > mostIdle || this.steps >= mostSteps) {
        this.settled = true;
        return;
      }
    }
    this.t = Math.max(this.t, until);
  }

  // Rest.

  /** Motor current beyond which the ball at rest starts in a direction [A]. */
  private startingCurrent(direction: 1 | -1): number {
    const { starting, backward, torqueConstant } = this.train;
    const { equations } = this;
    const resist = equations.frictionAtRest() + direction * equations.fluidTorqueAt(START);
    const torque = Math.max(
      starting.friction + starting.loadShare * resist,
      backward.friction + backward.loadShare * resist,
    );
    return (direction * (torque + balanceShare * Math.abs(torque))) / torqueConstant;
  }

  private isAtStop(direction: 1 | -1): boolean {
    const { travel } = this.train;
    const angle = this.equations.angleAt(START);
    return direction > 0 ? angle >= travel * (1 - contactShare) : angle <= travel * contactShare;
  }

  /** Rests until the drive breaks away, the current comes to another piece, or the time is over. */
  private restUntil(until: number): void {
    const { equations, driver, order } = this;
    const current = equations.currentAt(START);
    const back = order.sense > 0 ? -1 : 1;
    if (
      order.isWhole !== true &&
      this.isAtStop(order.sense) &&
      !(back * (current - this.startingCurrent(back)) > 0)
    ) {
      this.settled = true;
      this.record.meetsStop(this.t, 0, true);
      return;
    }
    const piece = driver.atRest(current);
    const forth = this.timeToStart(piece, order.sense);
    const away = this.timeToStart(piece, back);
    const change = Number.isNaN(piece.ends) ? Number.POSITIVE_INFINITY : timeTo(piece, current, piece.ends);
    // Balanced to the last bit, a start comes to nothing: wait until something has changed.
    const isBalanced = this.t === this.lastStart && Math.min(forth, away) === 0;
    const start = isBalanced ? this.wait : Math.min(forth, away);
    const left = until - this.t;
    if (change <= Math.min(start, left)) {
      this.rest(piece, change);
      this.setCurrent(driver.isFull ? driver.change() : piece.ends);
    } else if (start > left) {
      this.rest(piece, left);
      this.t = until;
    } else {
      this.rest(piece, start);
      if (isBalanced) this.wait *= 2;
      else this.begin(forth <= away ? order.sense : back);
    }
  }

  private timeToStart(piece: RestCurrent, direction: 1 | -1): number {
    if (this.isAtStop(direction)) return Number.POSITIVE_INFINITY;
    return timeBeyond(piece, this.equations.currentAt(START), this.startingCurrent(direction), direction);
  }

  private rest(piece: RestCurrent, duration: number): void {
    const { equations, driver } = this;
    const angle = equations.angleAt(START);
    const i0 = equations.currentAt(START);
    this.order.path?.rest(this.t, duration, angle, i0, piece.asymptote, piece.timeConstant);
    this.accounts.rest(piece, i0, duration, driver.isFull);
    this.t += duration;
    this.setCurrent(currentAfter(piece, i0, duration));
  }

  private setCurrent(current: number): void {
    this.equations.put(START, this.equations.angleAt(START), 0, current);
    this.record.rests(current);
  }

  private begin(direction: 1 | -1): void {
    this.moving = true;
    this.lastStart = this.t;
    this.record.starts(this.t);
    this.turnTo(direction);
  }

  private turnTo(direction: 1 | -1): void {
    this.direction = direction;
    this.equations.setSense(direction);
    this.equations.chooseRegime(START);
    this.h = firstStep;
  }

  // Motion.

  private slipUntil(until: number): void {
    const { step, equations, events, train, driver } = this;
    const left = until - this.t;
    let h = this.attempt(left);
    events.find(this.direction);
    while (this.endsEarly(h)) {
      h = this.attempt(Math.min(left, Math.max(2 * events.share * h, shortestStart)));
      events.find(this.direction);
    }
    const { share, event } = events;
    step.probe(MIDDLE, 0.5 * share);
    const duration = share * h;
    this.order.path?.slip(this.t, duration, h, step.path);
    const regime = equations.drivesBack ? train.backward : train.forward;
    this.accounts.slip(duration, regime, this.direction, driver.isFull, step.path, share);
    this.record.slips(this.t, h, share, step.path, equations);
    this.t = event === "none" && h === left ? until : this.t + duration;
    equations.accept();
    if (event !== "none") this.meet(event);
  }

  /** Steps until the error is within tolerance, at most as far as `left`; returns the step's size. */
  private attempt(left: number): number {
    const { step } = this;
    let h = Math.min(this.h, left);
    let error = step.attempt(h);
    while (!(error <= 1) || this.turnsBack(h)) {
      if (h < smallestStep)
        throw new Error(`a stroke's step of ${h} s has the error ${error}, at ${this.t} s`);
      h *=
        error > 1 && Number.isFinite(error)
          ? Math.max(safety * error ** -0.25, smallestShrink)
          : smallestShrink;
      error = step.attempt(h);
    }
    const growth = error > 0 ? Math.min(safety * error ** -0.25, largestGrowth) : largestGrowth;
    if (h < left || growth < 1) this.h = h * growth;
    return h;
  }

  /** Whether a ball that has just started is back within the step: only a shorter one shows how far it came. */
  private turnsBack(h: number): boolean {
    const { equations, step, direction } = this;
    return (
      h > shortestStart &&
      equations.speedAt(START) === 0 &&
      direction * (step.path[states + SPEED] as number) < 0 &&
      direction * equations.accelerationAt(START) > 0
    );
  }

  /** Whether a step from rest is used so little that its path there is no better than its error: a shorter one is. */
  private endsEarly(h: number): boolean {
    const { share } = this.events;
    return share > 0 && share < leastStartShare && h > shortestStart && this.equations.speedAt(START) === 0;
  }

  private meet(event: StepEvent): void {
    const { equations, driver, accounts } = this;
    const angle = equations.angleAt(START);
    const speed = equations.speedAt(START);
    if (event === "regime") {
      equations.changeRegime();
    } else if (event === "driver") {
      equations.put(START, angle, speed, driver.change());
    } else if (event === "stop" || this.isAtStop(this.direction)) {
      this.meetStop(speed);
    } else {
      accounts.stand(speed);
      this.comeToRest(angle);
    }
  }

  private comeToRest(angle: number): void {
    const { equations } = this;
    this.moving = false;
    if (this.t !== this.lastStart) this.wait = balancedWait;
    equations.breakDwellBond();
    equations.put(START, angle, 0, equations.currentAt(START));
  }

  private meetStop(speed: number): void {
    const { train, direction, equations, accounts, driver } = this;
    const stop = direction > 0 ? train.travel : 0;
    this.record.meetsStop(this.t, speed, direction === this.order.sense);
    const kept = -train.restitution * speed;
    equations.breakDwellBond();
    equations.put(START, stop, kept, equations.currentAt(START));
    if (Math.abs(kept) > restSpeedShare * this.noLoadSpeed) {
      this.turnTo(direction > 0 ? -1 : 1);
      const braking = direction * equations.accelerationAt(START);
      if (!(kept * kept < 2 * braking * leastRebound * train.travel)) {
        accounts.impact(speed, kept);
        driver.meetsSpeed(kept);
        if (braking > 0) this.h = Math.min(firstStep, Math.abs(kept) / braking);
        return;
      }
    }
    accounts.impact(speed, 0);
    driver.meetsSpeed(0);
    this.comeToRest(stop);
  }

  private result(): Stroke {
    const { equations, train } = this;
    const { hasArrived, firstMotion, arrival } = this.record;
    const stall = hasArrived || this.moving ? undefined : this.stall();
    const lowest = train.openCircuitVoltage - train.supplyResistance * this.accounts.peakBatteryCurrent;
    return {
      outcome: hasArrived ? "arrived" : stall !== undefined ? "stalled" : "out of time",
      firstMotion: Number.isNaN(firstMotion) ? undefined : (firstMotion as Time),
      arrival: hasArrived ? (arrival as Time) : undefined,
      markTimes: this.record.markTimes,
      stall,
      angle: equations.angleAt(START) as Angle,
      speed: (this.moving ? equations.speedAt(START) : 0) as AngularSpeed,
      end: this.t as Time,
      peakCurrent: this.record.peakCurrent as Current,
      peakSpeed: this.record.peakSpeed as AngularSpeed,
      impactSpeed: this.record.impactSpeed as AngularSpeed,
      lowestSupplyVoltage: lowest as Voltage,
      ledger: this.accounts.close(equations.currentAt(START)),
      steps: this.steps,
    };
  }

  /** The greatest steady current, against what the ball at rest would need. */
  private stall(): Stall | undefined {
    const { train, order } = this;
    const lacking = order.sense * this.startingCurrent(order.sense) - this.greatestCurrent();
    if (lacking < 0) return undefined;
    return {
      angle: this.equations.angleAt(START) as Angle,
      lackingTorque: ((lacking * train.torqueConstant) / train.starting.loadShare) as Torque,
    };
  }
}
