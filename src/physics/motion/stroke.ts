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
import { closeLedger, type EnergyLedger, entry, ledgerEntries } from "./ledger.js";
import type { StrokePath } from "./path.js";
import { along, type Electrical, SlipStep } from "./slip.js";
import { batteryCurrent } from "./supply.js";
import type { RigidTrain } from "./train.js";

/** A controller that is asked at fixed sample times which current the driver shall lead to. */
export interface CurrentController {
  readonly sampleTime: Time;
  /** Time constant with which the current follows. */
  readonly lag: Time;
  /** Time after the command at which the profile has ended. */
  readonly duration: Time;
  /** Wanted current at a sample; called once per sample in ascending time since the drive came alive. */
  current(time: number, angle: number, speed: number): number;
}

export interface StrokeOrder {
  /** Opening +1 or closing -1. */
  readonly sense: 1 | -1;
  /** Where the ball stands at the command. */
  readonly start: Angle;
  /** The stroke is given up after this time. */
  readonly horizon: Time;
  /** Travelled angles, ascending and >= 0, whose passing times are wanted [rad]. */
  readonly marks: Float64Array;
  /** Full drive if absent. */
  readonly controller?: CurrentController;
  /** Relative tolerance of a step; the default holds the opening time within 1e-4. */
  readonly tolerance?: number;
  /** Filled with the whole path if given. */
  readonly path?: StrokePath;
}

/** What stopped a stroke that did not arrive. */
export interface Stall {
  readonly angle: Angle;
  /** Stem torque by which the drive at its greatest steady current fell short. */
  readonly lackingTorque: Torque;
}

export interface Stroke {
  readonly outcome: "arrived" | "stalled" | "out of time";
  /** First motion, if any. */
  readonly firstMotion: Time | undefined;
  /** Arrival at the end stop, or within `arrivalBand` of it under a profile. */
  readonly arrival: Time | undefined;
  /** Passing time of each mark, NaN where it was not passed [s]. */
  readonly markTimes: Float64Array;
  readonly stall: Stall | undefined;
  readonly angle: Angle;
  readonly end: Time;
  readonly peakCurrent: Current;
  readonly peakSpeed: AngularSpeed;
  readonly impactSpeed: AngularSpeed;
  readonly lowestSupplyVoltage: Voltage;
  readonly ledger: EnergyLedger;
  readonly steps: number;
}

const defaultTolerance = 1e-4;
/** A profile has no contact with the stop; arrival counts from this share of travel before the end. */
export const arrivalBand = 0.0025;
/** Rest after a bounce: below this share of the no-load speed the ball stays at the stop. */
const restSpeedShare = 1e-3;
const safety = 0.9;
const largestGrowth = 6;
const smallestShrink = 0.2;
/** First step after rest [s]: well under the electrical time constant of any motor of this size. */
const firstStep = 2e-4;
const smallestStep = 1e-12;
/** Rest after a start that came to nothing at the same instant [s]. */
const balancedWait = 1e-5;
const gauss = [0.5 - Math.sqrt(3) / 6, 0.5 + Math.sqrt(3) / 6] as const;

export function runStroke(train: RigidTrain, order: StrokeOrder): Stroke {
  return new StrokeRun(train, order).run();
}

class StrokeRun {
  private t = 0;
  private angle: number;
  private speed = 0;
  private current = 0;
  private moving = false;
  private arrived = false;
  private direction: 1 | -1 = 1;
  private backward = false;
  private mode: Electrical = { kind: "held", current: 0 };
  private h = firstStep;
  private steps = 0;
  private nextMark = 0;
  private firstMotion = Number.NaN;
  private arrival = Number.NaN;
  private lastStart = Number.NaN;
  private peakCurrent = 0;
  private peakSpeed = 0;
  private impactSpeed = 0;
  private lowestVoltage: number;
  private readonly slip: SlipStep;
  private readonly sums = new Float64Array(ledgerEntries.length);
  private readonly markTimes: Float64Array;
  private readonly angleTolerance: number;
  private readonly speedTolerance: number;
  private readonly currentTolerance: number;
  private readonly resistance: number;
  private readonly reflected: number;
  private readonly noLoadSpeed: number;
  private readonly inverseStem: number;

  constructor(
    private readonly train: RigidTrain,
    private readonly order: StrokeOrder,
  ) {
    this.slip = new SlipStep(train);
    this.angle = order.start;
    this.markTimes = new Float64Array(order.marks.length).fill(Number.NaN);
    const tolerance = order.tolerance ?? defaultTolerance;
    this.resistance = train.resistance + train.supplyResistance;
    this.inverseStem = 1 / (train.torqueConstant * train.ratio);
    this.noLoadSpeed = Math.max(train.openCircuitVoltage * this.inverseStem, 1e-3);
    this.angleTolerance = tolerance * train.travel;
    this.speedTolerance = tolerance * this.noLoadSpeed;
    this.currentTolerance =
      tolerance * Math.max(Math.min(train.openCircuitVoltage / this.resistance, train.currentLimit), 1e-3);
    this.reflected = train.lossless.inertia - train.loadInertia;
    this.lowestVoltage = train.openCircuitVoltage;
  }

  run(): Stroke {
    const { train, order } = this;
    const alive = Math.min(train.deadTime, order.horizon);
    this.setMode({ kind: "held", current: 0 });
    this.advance(alive);
    if (order.controller === undefined) {
      this.setMode({ kind: "voltage", sense: order.sense });
      this.advance(order.horizon);
    } else {
      this.follow(order.controller, alive);
    }
    return this.result();
  }

  private follow(controller: CurrentController, alive: number): void {
    const limit = this.train.currentLimit;
    for (let n = 0; this.t < this.order.horizon && !this.arrived; n++) {
      const since = n * controller.sampleTime;
      const wanted = controller.current(since, this.angle, this.speed);
      this.setMode({ kind: "led", current: Math.min(Math.max(wanted, -limit), limit), lag: controller.lag });
      this.advance(Math.min(alive + since + controller.sampleTime, this.order.horizon));
      if (since > controller.duration && this.isWithinArrivalBand() && !this.moving) break;
    }
  }

  private isWithinArrivalBand(): boolean {
    return this.left() <= arrivalBand * this.train.travel;
  }

  /** Angle still to travel. */
  private left(): number {
    return this.order.sense > 0 ? this.train.travel - this.angle : this.angle;
  }

  private advance(until: number): void {
    while (this.t < until && !this.arrived) {
      if (this.moving) this.slipUntil(until);
      else if (!this.restUntil(until)) return;
    }
  }

  private setMode(mode: Electrical): void {
    this.mode = mode;
    this.slip.setElectrical(mode);
  }

  /** Motor current at which the ball at rest would start in a direction; the current must pass it in that direction. */
  private startingCurrent(direction: 1 | -1): number {
    const { train } = this;
    const friction = this.slip.frictionAt(this.angle, 0);
    const resist = friction + direction * this.slip.fluidTorque;
    const regime = resist >= 0 ? train.forward : train.backward;
    return (direction * (regime.friction + resist)) / (regime.gain * train.torqueConstant);
  }

  private isAtStop(direction: 1 | -1): boolean {
    return direction > 0 ? this.angle >= this.train.travel : this.angle <= 0;
  }

  /** Asymptote and time constant of the current at rest, and the current at which they cease to hold. */
  private currentAtRest(): { asymptote: number; tau: number; ends: number } {
    const { train, mode } = this;
    if (mode.kind === "held") return { asymptote: mode.current, tau: 1, ends: Number.NaN };
    const tau = train.inductance / this.resistance;
    if (mode.kind === "voltage") {
      const asymptote = (mode.sense * train.openCircuitVoltage) / this.resistance;
      const limit = mode.sense * train.currentLimit;
      return { asymptote, tau, ends: Math.abs(asymptote) > train.currentLimit ? limit : Number.NaN };
    }
    // Led: along the voltage limit while that is slower than the lag, then along the lag.
    const rise = mode.current - this.current;
    const sense = rise >= 0 ? 1 : -1;
    const full = sense * train.openCircuitVoltage;
    const byVoltage = (full - this.resistance * this.current) / train.inductance;
    if (Math.abs(rise / mode.lag) <= Math.abs(byVoltage) && byVoltage * sense >= 0)
      return { asymptote: mode.current, tau: mode.lag, ends: Number.NaN };
    const ends =
      (mode.current * train.inductance - full * mode.lag) / (train.inductance - this.resistance * mode.lag);
    return { asymptote: full / this.resistance, tau, ends };
  }

  /** Rests until the drive breaks away or the time is over; false when nothing can happen any more. */
  private restUntil(until: number): boolean {
    if (this.isAtStop(this.order.sense) && this.restsAtStop()) {
      this.arrived = true;
      return false;
    }
    const { asymptote, tau, ends } = this.currentAtRest();
    let duration = until - this.t;
    let starts: 1 | -1 | 0 = 0;
    for (const direction of [1, -1] as const) {
      if (this.isAtStop(direction)) continue;
      const needed = this.startingCurrent(direction);
      const wait = direction * (this.current - needed) > 0 ? 0 : timeTo(this.current, asymptote, tau, needed);
      if (wait <= duration) {
        duration = wait;
        starts = direction;
      }
    }
    const change = Number.isNaN(ends) ? Number.POSITIVE_INFINITY : timeTo(this.current, asymptote, tau, ends);
    if (change < duration) {
      duration = change;
      starts = 0;
    }
    if (starts !== 0 && duration === 0 && this.t === this.lastStart) {
      // Balanced to the last bit: wait until something has changed.
      duration = Math.min(balancedWait, until - this.t);
      starts = 0;
    }
    this.spendAtRest(duration, asymptote, tau);
    if (starts !== 0) {
      this.lastStart = this.t;
      this.begin(starts);
    } else if (change === duration && this.mode.kind === "voltage") {
      this.setMode({ kind: "held", current: this.mode.sense * this.train.currentLimit });
    }
    return true;
  }

  /** Whether the drive, as commanded, keeps the ball at the stop it has met. */
  private restsAtStop(): boolean {
    const back = -this.order.sense as 1 | -1;
    return back * (this.current - this.startingCurrent(back)) <= 0;
  }

  private spendAtRest(duration: number, asymptote: number, tau: number): void {
    const { train, sums } = this;
    const i0 = this.current;
    const decay = Math.exp(-duration / tau);
    const i1 = asymptote + (i0 - asymptote) * decay;
    this.order.path?.rest(this.t, duration, this.angle, i0, asymptote, tau);
    if (duration > 0) {
      const swing = i0 - asymptote;
      const charge = asymptote * duration + swing * tau * (1 - decay);
      const square =
        asymptote * asymptote * duration +
        2 * asymptote * swing * tau * (1 - decay) +
        0.5 * swing * swing * tau * (1 - decay * decay);
      const copper = train.resistance * square;
      add(sums, entry.copper, copper);
      if (this.mode.kind === "voltage") {
        add(sums, entry.supplied, this.mode.sense * train.openCircuitVoltage * charge);
        add(sums, entry.supply, train.supplyResistance * square);
        this.noteSupply(Math.abs(i1));
      } else {
        const magnetic = 0.5 * train.inductance * (i1 * i1 - i0 * i0);
        const mean = batteryCurrent(
          train.openCircuitVoltage,
          train.supplyResistance,
          (copper + magnetic) / duration,
        );
        add(sums, entry.supplied, train.openCircuitVoltage * mean * duration);
        add(sums, entry.supply, train.supplyResistance * mean * mean * duration);
        this.noteSupply(mean);
      }
    }
    this.current = i1;
    this.t += duration;
    this.peakCurrent = Math.max(this.peakCurrent, Math.abs(i1));
  }

  private begin(direction: 1 | -1): void {
    this.moving = true;
    this.direction = direction;
    this.slip.setSense(direction);
    this.h = firstStep;
    if (Number.isNaN(this.firstMotion)) this.firstMotion = this.t;
    this.chooseRegime();
    this.passMarks(0, 0);
  }

  private chooseRegime(): void {
    this.backward = this.regimeFunction(this.angle, this.speed, this.current) < 0;
    this.slip.setRegime(this.backward ? this.train.backward : this.train.forward);
  }

  /** Positive while the motor drives the load through the gears, whatever the regime in force. */
  private regimeFunction(angle: number, speed: number, current: number): number {
    const { train, direction: s } = this;
    const ideal = train.lossless;
    const motor =
      ideal.gain * (train.torqueConstant * current - train.motorDamping * train.ratio * speed) -
      s * ideal.friction;
    const friction = this.slip.frictionAt(angle, speed);
    const load = s * friction + this.slip.fluidTorque + train.damping * speed;
    return s * (motor * train.loadInertia + this.reflected * load);
  }

  private slipUntil(until: number): void {
    const { slip } = this;
    let h = Math.min(this.h, until - this.t);
    const isLast = h === until - this.t;
    let error = this.tryStep(h);
    while (!(error <= 1) && h > smallestStep) {
      const factor = Number.isFinite(error)
        ? Math.max(safety * error ** -0.25, smallestShrink)
        : smallestShrink;
      h *= factor;
      error = this.tryStep(h);
    }
    this.steps++;
    const growth = error > 0 ? Math.min(safety * error ** -0.25, largestGrowth) : largestGrowth;
    if (!isLast || growth < 1) this.h = h * growth;

    const event = this.firstEvent();
    const share = event.share;
    const duration = share * h;
    this.order.path?.slip(this.t, duration, h, slip.path);
    this.account(share, h);
    this.passMarks(share, h);
    this.t = share === 1 && h === until - this.t ? until : this.t + duration;
    this.angle = slip.angleAt(share);
    this.speed = slip.speedAt(share);
    this.current = slip.currentAt(share);
    this.peakCurrent = Math.max(this.peakCurrent, Math.abs(this.current));
    this.peakSpeed = Math.max(this.peakSpeed, Math.abs(this.speed));
    this.meet(event.kind);
  }

  private tryStep(h: number): number {
    return this.slip.attempt(
      this.angle,
      this.speed,
      this.current,
      h,
      this.angleTolerance,
      this.speedTolerance,
      this.currentTolerance,
    );
  }

  /** The first event inside the step just made, or the step's end. */
  private firstEvent(): { share: number; kind: StepEvent } {
    const { train, slip, direction, mode } = this;
    const path = slip.path;
    const event: { share: number; kind: StepEvent } = { share: 1, kind: "none" };
    const consider = (share: number, kind: StepEvent) => {
      if (share > event.share || (share === event.share && event.kind !== "none")) return;
      event.share = share;
      event.kind = kind;
    };
    if ((path[4] as number) * direction < 0) consider(crossing(path, 1, 0), "rest");
    const stop = direction > 0 ? train.travel : 0;
    if (direction * ((path[3] as number) - stop) >= 0) consider(crossing(path, 0, stop), "stop");
    if (mode.kind === "voltage") {
      const limit = mode.sense * train.currentLimit;
      if (mode.sense * ((path[5] as number) - limit) > 0) consider(crossing(path, 2, limit), "limit");
    } else if (mode.kind === "held" && this.order.controller === undefined && mode.current !== 0) {
      const sense = this.order.sense;
      const free =
        sense * (train.openCircuitVoltage - this.resistance * train.currentLimit) * this.inverseStem;
      if (sense * ((path[4] as number) - free) > 0) consider(crossing(path, 1, free), "free");
    }
    const endRegime = this.regimeFunction(path[3] as number, path[4] as number, path[5] as number);
    if (endRegime < 0 !== this.backward && event.kind !== "rest") consider(this.regimeCrossing(), "regime");
    return event;
  }

  private regimeCrossing(): number {
    let low = 0;
    let high = 1;
    for (let n = 0; n < 30; n++) {
      const middle = 0.5 * (low + high);
      const { slip } = this;
      const value = this.regimeFunction(slip.angleAt(middle), slip.speedAt(middle), slip.currentAt(middle));
      if (value < 0 === this.backward) low = middle;
      else high = middle;
    }
    return high;
  }

  private meet(kind: StepEvent): void {
    const { train, order } = this;
    switch (kind) {
      case "none":
        break;
      case "regime":
        this.backward = !this.backward;
        this.slip.setRegime(this.backward ? train.backward : train.forward);
        break;
      case "limit":
        this.current = order.sense * train.currentLimit;
        this.setMode({ kind: "held", current: this.current });
        break;
      case "free":
        this.setMode({ kind: "voltage", sense: order.sense });
        break;
      case "rest":
        this.comeToRest();
        break;
      case "stop":
        this.meetStop();
        break;
    }
    if (order.controller !== undefined && Number.isNaN(this.arrival) && this.isWithinArrivalBand())
      this.arrival = this.t;
  }

  private comeToRest(): void {
    add(this.sums, entry.kinetic, -this.kineticEnergy());
    this.speed = 0;
    this.moving = false;
    this.slip.breakDwellBond();
  }

  private kineticEnergy(): number {
    return 0.5 * this.train.lossless.inertia * this.speed * this.speed;
  }

  private meetStop(): void {
    const { train, direction } = this;
    this.angle = direction > 0 ? train.travel : 0;
    this.impactSpeed = Math.max(this.impactSpeed, Math.abs(this.speed));
    if (direction === this.order.sense && Number.isNaN(this.arrival)) this.arrival = this.t;
    const before = this.kineticEnergy();
    this.speed *= -train.restitution;
    if (Math.abs(this.speed) <= restSpeedShare * this.noLoadSpeed) {
      this.speed = 0;
      this.moving = false;
    }
    const taken = before - this.kineticEnergy();
    add(this.sums, entry.stop, taken);
    add(this.sums, entry.kinetic, -taken);
    this.slip.breakDwellBond();
    if (this.moving) {
      this.direction = -direction as 1 | -1;
      this.slip.setSense(this.direction);
      this.h = firstStep;
      this.chooseRegime();
    }
  }

  /** Adds the energies of the used part of the step. */
  private account(share: number, h: number): void {
    const { train, slip, sums, direction: s } = this;
    const ideal = train.lossless;
    const regime = this.backward ? train.backward : train.forward;
    const weight = 0.5 * share * h;
    for (const node of gauss) {
      const angle = slip.angleAt(node * share);
      const w = slip.speedAt(node * share);
      const i = slip.currentAt(node * share);
      const friction = slip.frictionAt(angle, w);
      const acceleration = slip.accelerationAgainst(friction, w, i);
      const rate = slip.currentRate(w, i);
      const emf = train.torqueConstant * train.ratio * w * i;
      const copper = train.resistance * i * i;
      let battery: number;
      if (this.mode.kind === "voltage") battery = this.mode.sense * i;
      else
        battery = batteryCurrent(
          train.openCircuitVoltage,
          train.supplyResistance,
          copper + emf + train.inductance * i * rate,
        );
      this.noteSupply(battery);
      const motorSpeed = train.ratio * w;
      const shaft = train.torqueConstant * i - train.motorDamping * motorSpeed;
      const motorFriction = train.motorFriction;
      add(sums, entry.supplied, weight * train.openCircuitVoltage * battery);
      add(sums, entry.supply, weight * train.supplyResistance * battery * battery);
      add(sums, entry.copper, weight * copper);
      add(
        sums,
        entry.motor,
        weight * (train.motorDamping * motorSpeed * motorSpeed + motorFriction * Math.abs(motorSpeed)),
      );
      // What the gears take is what lossless gears would pass on less what these do.
      const mesh =
        (ideal.gain - regime.gain) * shaft -
        s * (ideal.friction - regime.friction) -
        (ideal.inertia - regime.inertia) * acceleration;
      const noLoad = ideal.friction - ideal.gain * motorFriction;
      add(sums, entry.gears, weight * (mesh * w + noLoad * Math.abs(w)));
      add(sums, entry.friction, weight * friction * Math.abs(w));
      add(sums, entry.damping, weight * train.damping * w * w);
      add(sums, entry.fluid, weight * slip.fluidTorque * w);
    }
    const w1 = slip.speedAt(share);
    const w0 = slip.path[1] as number;
    add(sums, entry.kinetic, 0.5 * ideal.inertia * (w1 * w1 - w0 * w0));
  }

  private noteSupply(battery: number): void {
    const voltage = this.train.openCircuitVoltage - this.train.supplyResistance * battery;
    if (voltage < this.lowestVoltage) this.lowestVoltage = voltage;
  }

  /** Notes the passing times of the marks met in the used part of the step. */
  private passMarks(share: number, h: number): void {
    const { order, slip, markTimes } = this;
    while (this.nextMark < order.marks.length) {
      const target = order.start + order.sense * (order.marks[this.nextMark] as number);
      const reached = share === 0 ? this.angle : slip.angleAt(share);
      if (order.sense * (reached - target) < -1e-12) return;
      const found = share === 0 ? 0 : Math.min(crossing(slip.path, 0, target), share);
      markTimes[this.nextMark] = this.t + found * h;
      this.nextMark++;
    }
  }

  private result(): Stroke {
    const { train } = this;
    add(this.sums, entry.magnetic, 0.5 * train.inductance * this.current * this.current);
    const hasArrived = !Number.isNaN(this.arrival);
    const stall = hasArrived || this.moving ? undefined : this.stall();
    return {
      outcome: hasArrived ? "arrived" : stall !== undefined ? "stalled" : "out of time",
      firstMotion: Number.isNaN(this.firstMotion) ? undefined : (this.firstMotion as Time),
      arrival: hasArrived ? (this.arrival as Time) : undefined,
      markTimes: this.markTimes,
      stall,
      angle: this.angle as Angle,
      end: this.t as Time,
      peakCurrent: this.peakCurrent as Current,
      peakSpeed: this.peakSpeed as AngularSpeed,
      impactSpeed: this.impactSpeed as AngularSpeed,
      lowestSupplyVoltage: this.lowestVoltage as Voltage,
      ledger: closeLedger(this.sums),
      steps: this.steps,
    };
  }

  /** The greatest steady current, against what the ball at rest would need. */
  private stall(): Stall | undefined {
    const { train, order } = this;
    const greatest = Math.min(train.openCircuitVoltage / this.resistance, train.currentLimit);
    const needed = order.sense * this.startingCurrent(order.sense);
    const lacking = (needed - greatest) * train.torqueConstant * train.forward.gain;
    if (lacking < 0) return undefined;
    return { angle: this.angle as Angle, lackingTorque: lacking as Torque };
  }
}

type StepEvent = "none" | "rest" | "stop" | "limit" | "free" | "regime";

/** Time for a current to run from i0 along its exponential to a value; infinite if it never does. */
function timeTo(i0: number, asymptote: number, tau: number, value: number): number {
  if (value === i0) return 0;
  const share = (value - asymptote) / (i0 - asymptote);
  return share > 0 && share < 1 ? -tau * Math.log(share) : Number.POSITIVE_INFINITY;
}

/** Share of the step at which a state passes a value it lies on the two sides of [-]. */
function crossing(path: Float64Array, state: number, value: number): number {
  let low = 0;
  let high = 1;
  let atLow = (path[state] as number) - value;
  let atHigh = (path[3 + state] as number) - value;
  if (atLow === 0) return atHigh === 0 ? 0 : along(path, state, 1e-9) - value > 0 === atHigh > 0 ? 0 : 1;
  if (atHigh === 0) return 1;
  // Regula falsi with the Illinois modification: the path is a cubic, close to straight.
  for (let n = 0; n < 60 && high - low > 1e-12; n++) {
    const middle = (low * atHigh - high * atLow) / (atHigh - atLow);
    const at = along(path, state, middle) - value;
    if (Math.abs(at) < 1e-14) return middle;
    if (at > 0 === atHigh > 0) {
      high = middle;
      atHigh = at;
      atLow *= 0.5;
    } else {
      low = middle;
      atLow = at;
      atHigh *= 0.5;
    }
  }
  return high;
}

function add(sums: Float64Array, index: number, value: number): void {
  sums[index] = (sums[index] as number) + value;
}
