/**
 * The first thing that happens inside a step: what ends the mode in which the equations are smooth.
 *
 * rest     a body's speed vanishes              release  a body at rest is let go
 * touch    flanks meet                          part     flanks come apart
 * sign     the torque of a link without backlash changes its sign
 * meet     the end of travel is met             leave    a soft stop is left
 * driver   the driver changes what it does
 *
 * Each is a function of the state that is above zero once it has happened; its root lies on the path of the step.
 */
import { curveAt, curveTurn, type RosenbrockStep, type StepCurve } from "../../numerics/index.js";
import type { ChainEquations } from "./chain.js";
import type { ChainDriver } from "./driver.js";

export type ChainEvent =
  | "none"
  | "rest"
  | "release"
  | "touch"
  | "part"
  | "sign"
  | "meet"
  | "leave"
  | "driver";

const rootIterations = 60;
const rootWidth = 1e-13;

export class ChainEvents {
  /** What came first in the last step, of which body or link, in which sense or on which flank, and where. */
  event: ChainEvent = "none";
  index = 0;
  side: 1 | -1 = 1;
  share = 1;
  /** The ball cannot be let go any more. */
  isJammed = false;
  /** Bodies at rest stay so for one step: a release that came to nothing at the same instant. */
  isWaiting = false;
  private readonly curve: StepCurve = { y0: 0, y1: 0, e2: 0, e3: 0 };
  private readonly y: Float64Array;
  private readonly first: Float64Array;

  constructor(
    private readonly equations: ChainEquations,
    private readonly step: RosenbrockStep,
    private readonly driver: ChainDriver,
  ) {
    this.y = new Float64Array(equations.size);
    this.first = new Float64Array(equations.size);
  }

  /** Finds the first event of the step just made. */
  find(): void {
    const { equations, step } = this;
    const { bodies, ball, sense, flank, canRest, held } = equations;
    const links = equations.train.links;
    this.share = 1;
    this.event = "none";
    this.first.set(step.start);
    this.y.set(step.end);
    for (let b = 0; b < bodies; b++) {
      if (canRest[b] === 0) continue;
      if (held[b] === 0) this.considerRest(b, sense[b] as 1 | -1);
      else if (!(this.isWaiting || (b === ball && this.isJammed))) {
        this.consider("release", b, 1);
        this.consider("release", b, -1);
      }
    }
    for (let l = 0; l < links.length; l++) {
      const link = links[l];
      if (link === undefined) continue;
      if (link.backlash === 0) {
        if (canRest[l] === 1) this.consider("sign", l, 1);
      } else if (flank[l] === 0) {
        this.consider("touch", l, 1);
        this.consider("touch", l, -1);
      } else this.consider("part", l, flank[l] as 1 | -1);
    }
    if (equations.stopBody < 0 ? held[ball] === 0 : equations.stopSide === 0) {
      this.consider("meet", 0, 1);
      this.consider("meet", 0, -1);
    } else if (equations.stopSide !== 0) this.consider("leave", 0, equations.stopSide);
    this.consider("driver", 0, 1);
  }

  /** Above zero where an event has happened at a state. */
  private value(event: ChainEvent, index: number, side: 1 | -1, y: Float64Array): number {
    const { equations } = this;
    switch (event) {
      case "rest":
        return -side * (y[equations.bodies + index] as number);
      case "release":
        return this.excess(index, side, y);
      case "touch": {
        const penetration = side * equations.deflection(index, y, side);
        return Math.min(penetration, side * equations.contactTorque(index, y, side));
      }
      case "part":
        return -side * equations.contactTorque(index, y, side);
      case "sign":
        return -(equations.sign[index] as number) * equations.contactTorque(index, y, 1);
      case "meet":
        return this.beyond(side, y);
      case "leave":
        return -side * equations.stopTorque(y);
      case "driver":
        return this.driver.change(y);
      case "none":
        return -1;
    }
  }

  /** What acts on a body at rest in a sense beyond what holds it; the ball is not let go into a hard stop. */
  private excess(body: number, side: 1 | -1, y: Float64Array): number {
    const { equations } = this;
    if (body === equations.ball && this.isAtHardStop(side, y)) return -1;
    equations.torques(y);
    return side * equations.drive(body, y) - equations.holding(body, side, y);
  }

  private isAtHardStop(side: 1 | -1, y: Float64Array): boolean {
    const { equations } = this;
    if (equations.stopBody >= 0) return false;
    const { travel } = equations.train;
    const angle = y[equations.ball] as number;
    return side > 0 ? angle >= travel : angle <= 0;
  }

  private beyond(side: 1 | -1, y: Float64Array): number {
    const { equations } = this;
    if (equations.stopBody < 0) {
      const angle = y[equations.ball] as number;
      // A ball that leaves a stop stands on it at first.
      if (side * (equations.sense[equations.ball] as number) < 0) return -1;
      return side > 0 ? angle - equations.train.travel : -angle;
    }
    return Math.min(equations.beyondStop(y, side), side * equations.stopTorque(y, side));
  }

  private consider(event: ChainEvent, index: number, side: 1 | -1): void {
    const high = this.value(event, index, side, this.y);
    if (!(high > 0)) return;
    this.bracket(event, index, side, 0, this.value(event, index, side, this.first), this.share, high);
  }

  /** Rest of a body, also where its speed would pass zero and return within the step. */
  private considerRest(body: number, side: 1 | -1): void {
    const { step, equations } = this;
    const p = equations.bodies + body;
    const y0 = step.start[p] as number;
    if (side * (this.y[p] as number) >= 0) {
      if (y0 === 0) return;
      const { curve } = this;
      curve.y0 = y0;
      curve.y1 = step.end[p] as number;
      curve.e2 = step.bend[p] as number;
      curve.e3 = step.skew[p] as number;
      const slowest = curveTurn(curve, side > 0 ? -1 : 1);
      if (!(slowest < this.share)) return;
      const least = side * curveAt(curve, slowest);
      if (least < 0) this.bracket("rest", body, side, 0, -side * y0, slowest, -least);
      return;
    }
    this.bracket("rest", body, side, 0, -side * y0, this.share, -side * (this.y[p] as number));
  }

  /** Root of an event between two shares, by the Illinois method; becomes the first so far, `y` its state. */
  private bracket(
    event: ChainEvent,
    index: number,
    side: 1 | -1,
    from: number,
    atFrom: number,
    to: number,
    atTo: number,
  ): void {
    const { step, y } = this;
    let a = from;
    let b = to;
    let fa = atFrom;
    let fb = atTo;
    if (fa >= 0) {
      b = a;
    } else {
      for (let n = 0; n < rootIterations && b - a > rootWidth; n++) {
        const x = b - (fb * (b - a)) / (fb - fa);
        const c = x > a && x < b ? x : 0.5 * (a + b);
        step.along(c, y);
        const f = this.value(event, index, side, y);
        if (f > 0) {
          b = c;
          fb = f;
          fa *= 0.5;
        } else if (f < 0) {
          a = c;
          fa = f;
          fb *= 0.5;
        } else {
          b = c;
          break;
        }
      }
    }
    step.along(b, y);
    this.share = b;
    this.event = event;
    this.index = index;
    this.side = side;
  }
}
