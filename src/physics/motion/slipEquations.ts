/**
 * The equations of the slipping rigid train (train.ts) at a point: loads, accelerations in both
 * regimes of the gears, rate of the current. Made for the inner loop: one object per stroke, buffers
 * reused, nothing allocated.
 */
import { rowWidth } from "./load.js";
import { ANGLE, CURRENT, SPEED } from "./stepPath.js";
import type { Regime, RigidTrain } from "./train.js";

/** How the driver holds the motor during a step. */
export type Electrical =
  /** Full voltage of the given sense. */
  | { readonly kind: "voltage"; readonly sense: 1 | -1 }
  /** Current held at a value by the driver. */
  | { readonly kind: "held"; readonly current: number }
  /** Current led to a wanted value with a lag, within the voltage there is. */
  | { readonly kind: "led"; readonly current: number; readonly lag: number };

/**
 * The points at which loads are kept: where the step starts, its middle, and where it is to end.
 * Each holds angle, speed, current, f, e, H, their slopes, exp(-(w/w_s)^2), and friction.
 */
export const pointWidth = 11;
export const START = 0;
export const MIDDLE = 1 * pointWidth;
export const END = 2 * pointWidth;
export type Point = typeof START | typeof MIDDLE | typeof END;
export const jacobianWidth = 5;
const F = 3;
const E = 4;
const H = 5;
const dF = 6;
const dE = 7;
const dH = 8;
const FADE = 9;
const FRICTION = 10;

/** Beyond this square of speed over Stribeck speed nothing is left of the excess in double precision. */
const fadedOut = 40;
/**
 * Regimes whose accelerations differ by less than this share of what the full voltage or the load here
 * would give are the same: lossless gears have no regime, and a drive that idles has none either.
 */
const regimeMargin = 1e-9;

/** Factors of w' = motor i - drag w - s (friction + load F) - load H in one regime. */
interface Factors {
  readonly motor: number;
  readonly drag: number;
  readonly friction: number;
  readonly load: number;
}

export class SlipEquations {
  /** The three points, `pointWidth` numbers each. */
  readonly points: Float64Array;
  /** w' by angle, speed and current; i' by speed and current. */
  readonly jacobian: Float64Array;
  private readonly rows: Float64Array;
  private readonly perStep: number;
  private readonly lastRow: number;
  private readonly inverseStribeck: number;
  private readonly full: number;
  private readonly fullCurrent: number;
  private readonly resistiveRate: number;
  private readonly emfRate: number;
  private readonly perInductance: number;
  private readonly forward: Factors;
  private readonly backward: Factors;
  private isBackward = false;
  private factors: Factors;
  private sense: 1 | -1 = 1;
  private dwell: number;
  private mode: 0 | 1 | 2 = 1;
  private voltageRate = 0;
  private wanted = 0;
  private inverseLag = 0;

  /** @param points and jacobian: buffers to use, of any content */
  constructor(
    train: RigidTrain,
    points: Float64Array = new Float64Array(3 * pointWidth),
    jacobian: Float64Array = new Float64Array(jacobianWidth),
  ) {
    this.points = points;
    this.jacobian = jacobian;
    this.rows = train.load.rows;
    this.perStep = 1 / train.load.step;
    this.lastRow = train.load.count;
    this.inverseStribeck = 1 / train.stribeckSpeed;
    this.perInductance = 1 / train.inductance;
    this.full = train.openCircuitVoltage * this.perInductance;
    this.fullCurrent = train.openCircuitVoltage / (train.resistance + train.supplyResistance);
    this.resistiveRate = (train.resistance + train.supplyResistance) * this.perInductance;
    this.emfRate = train.torqueConstant * train.ratio * this.perInductance;
    this.dwell = train.dwellTorque;
    this.forward = factorsOf(train, train.forward);
    this.backward = factorsOf(train, train.backward);
    this.factors = this.forward;
  }

  /** Sense of motion: friction acts against it. */
  setSense(sense: 1 | -1): void {
    this.sense = sense;
  }

  /** The dwell bond is broken for good once the ball has moved and come to rest again. */
  breakDwellBond(): void {
    this.dwell = 0;
  }

  setElectrical(mode: Electrical): void {
    if (mode.kind === "voltage") {
      this.mode = 0;
      this.voltageRate = mode.sense * this.full;
    } else if (mode.kind === "held") {
      this.mode = 1;
    } else {
      this.mode = 2;
      this.wanted = mode.current;
      this.inverseLag = 1 / mode.lag;
    }
  }

  /** Lets the next step start where this one was probed to end. */
  accept(): void {
    const { points } = this;
    for (let k = 0; k < pointWidth; k++) points[k] = points[END + k] as number;
  }

  angleAt(point: Point): number {
    return this.points[point + ANGLE] as number;
  }

  speedAt(point: Point): number {
    return this.points[point + SPEED] as number;
  }

  currentAt(point: Point): number {
    return this.points[point + CURRENT] as number;
  }

  /** Friction torque F at the stem, a magnitude [N m]. */
  frictionAt(point: Point): number {
    return this.points[point + FRICTION] as number;
  }

  /** Torque of the fluid H [N m]. */
  fluidTorqueAt(point: Point): number {
    return this.points[point + H] as number;
  }

  /** Friction at the start's angle without motion, dwell included [N m]. */
  frictionAtRest(): number {
    return (this.points[F] as number) + (this.points[E] as number) + this.dwell;
  }

  /** Puts a point: loads and their slopes at the angle, friction at the speed. */
  put(point: Point, angle: number, speed: number, current: number): void {
    const { points, rows } = this;
    const x = angle * this.perStep;
    const row = this.rowOf(x);
    const t = x - (row > 0 ? row - 1 : 0);
    let p = row * rowWidth;
    for (let k = point + F; k <= point + H; k++) {
      const m = rows[p + 1] as number;
      const q = rows[p + 2] as number;
      const r = rows[p + 3] as number;
      points[k] = (rows[p] as number) + t * (m + t * (q + t * r));
      points[k + 3] = (m + t * (2 * q + 3 * t * r)) * this.perStep;
      p += 4;
    }
    const z = speed * this.inverseStribeck;
    const zz = z * z;
    const fade = zz > fadedOut ? 0 : Math.exp(-zz);
    points[point + ANGLE] = angle;
    points[point + SPEED] = speed;
    points[point + CURRENT] = current;
    points[point + FADE] = fade;
    points[point + FRICTION] =
      (points[point + F] as number) + ((points[point + E] as number) + this.dwell) * fade;
  }

  /** Row of the load for a distance from closed in steps. */
  private rowOf(x: number): number {
    if (x < 0) return 0;
    // Truncated to a whole number, which makes the places in the rows whole numbers too.
    return x < this.lastRow ? (x | 0) + 1 : this.lastRow;
  }

  /** Acceleration of the stem [rad/s2]. */
  accelerationAt(point: Point): number {
    return this.accelerationIn(this.factors, point);
  }

  private accelerationIn(factors: Factors, point: Point): number {
    const { points, sense } = this;
    return (
      factors.motor * (points[point + CURRENT] as number) -
      factors.drag * (points[point + SPEED] as number) -
      sense * (factors.friction + factors.load * (points[point + FRICTION] as number)) -
      factors.load * (points[point + H] as number)
    );
  }

  /** Rate of the motor current [A/s]. */
  currentRateAt(point: Point): number {
    return this.currentRate(this.points[point + SPEED] as number, this.points[point + CURRENT] as number);
  }

  /** Whether the load drives the motor through the gears in the regime in force. */
  get drivesBack(): boolean {
    return this.isBackward;
  }

  /** Takes the regime that holds at a point, whatever the one in force. */
  chooseRegime(point: Point): void {
    const { sense } = this;
    const difference = this.accelerationIn(this.backward, point) - this.accelerationIn(this.forward, point);
    this.setRegime(sense * difference < 0);
  }

  /** Changes to the other regime. */
  changeRegime(): void {
    this.setRegime(!this.isBackward);
  }

  private setRegime(isBackward: boolean): void {
    this.isBackward = isBackward;
    this.factors = isBackward ? this.backward : this.forward;
  }

  /** Acceleration along the motion by which the regime in force is the lesser one; negative when the other one holds. */
  regimeLead(point: Point): number {
    const { points, sense, factors } = this;
    const other = this.isBackward ? this.forward : this.backward;
    const loads = (points[point + FRICTION] as number) + Math.abs(points[point + H] as number);
    const size = factors.motor * this.fullCurrent + factors.friction + factors.load * loads;
    const lead = sense * (this.accelerationIn(other, point) - this.accelerationIn(factors, point));
    return lead + regimeMargin * size;
  }

  /** Acceleration at a state off the points [rad/s2]. */
  acceleration(angle: number, speed: number, current: number): number {
    const { rows, factors, sense } = this;
    const x = angle * this.perStep;
    const row = this.rowOf(x);
    const t = x - (row > 0 ? row - 1 : 0);
    const p = row * rowWidth;
    const f =
      (rows[p] as number) +
      t * ((rows[p + 1] as number) + t * ((rows[p + 2] as number) + t * (rows[p + 3] as number)));
    const e =
      (rows[p + 4] as number) +
      t * ((rows[p + 5] as number) + t * ((rows[p + 6] as number) + t * (rows[p + 7] as number)));
    const fluid =
      (rows[p + 8] as number) +
      t * ((rows[p + 9] as number) + t * ((rows[p + 10] as number) + t * (rows[p + 11] as number)));
    const z = speed * this.inverseStribeck;
    const zz = z * z;
    const friction = zz > fadedOut ? f : f + (e + this.dwell) * Math.exp(-zz);
    return (
      factors.motor * current -
      factors.drag * speed -
      sense * (factors.friction + factors.load * friction) -
      factors.load * fluid
    );
  }

  /** Rate of the motor current at a state off the points [A/s]. */
  currentRate(speed: number, current: number): number {
    const loss = this.resistiveRate * current + this.emfRate * speed;
    if (this.mode === 0) return this.voltageRate - loss;
    if (this.mode === 1) return 0;
    return Math.min(Math.max((this.wanted - current) * this.inverseLag, -this.full - loss), this.full - loss);
  }

  private followsLag(speed: number, current: number): boolean {
    const loss = this.resistiveRate * current + this.emfRate * speed;
    return Math.abs((this.wanted - current) * this.inverseLag + loss) <= this.full;
  }

  /** Derivatives at the start, into `jacobian`. */
  differentiate(): void {
    const { points, jacobian, factors, sense } = this;
    const speed = points[SPEED] as number;
    const fade = points[FADE] as number;
    const excess = ((points[E] as number) + this.dwell) * fade;
    const frictionSlope = (points[dF] as number) + (points[dE] as number) * fade;
    const steepness = 2 * speed * this.inverseStribeck * this.inverseStribeck;
    jacobian[0] = -factors.load * (sense * frictionSlope + (points[dH] as number));
    jacobian[1] = -factors.drag + sense * factors.load * excess * steepness;
    jacobian[2] = factors.motor;
    const followsLag = this.mode === 2 && this.followsLag(speed, points[CURRENT] as number);
    jacobian[3] = followsLag || this.mode === 1 ? 0 : -this.emfRate;
    jacobian[4] = followsLag ? -this.inverseLag : this.mode === 1 ? 0 : -this.resistiveRate;
  }
}

function factorsOf(train: RigidTrain, regime: Regime): Factors {
  const { torqueConstant, motorDamping, ratio, damping } = train;
  const { inertia, loadShare, friction } = regime;
  return {
    motor: torqueConstant / inertia,
    drag: (motorDamping * ratio + loadShare * damping) / inertia,
    friction: friction / inertia,
    load: loadShare / inertia,
  };
}
