/**
 * One integration step of the slipping rigid train, and the continuous path inside it.
 *
 * RODAS (numerics/rodas.ts) written out for the three states angle, speed, current. The matrix
 * I/(h gamma) - J has zeros where angle meets current, so it is solved in closed form; this is what
 * brings an opening from 250 to under 25 microseconds (bench/opening.ts). Kept in one class with
 * reused buffers for that reason; test/physics/motion/slip.test.ts holds it against an independent
 * integrator.
 */
import { rodas } from "../../numerics/index.js";
import { nodeWidth } from "./load.js";
import type { Regime, RigidTrain } from "./train.js";

/** How the driver holds the motor during a step. */
export type Electrical =
  /** Full voltage of the given sense. */
  | { readonly kind: "voltage"; readonly sense: 1 | -1 }
  /** Current held at a value by the driver. */
  | { readonly kind: "held"; readonly current: number }
  /** Current led to a wanted value with a lag, within the voltage there is. */
  | { readonly kind: "led"; readonly current: number; readonly lag: number };

/** Places in the state and path buffers. */
const ANGLE = 0;
const SPEED = 1;
const CURRENT = 2;
const states = 3;

/** Numbers per step that describe the path: start, end, and the two terms of the continuous extension. */
export const pathWidth = 4 * states;

export class SlipStep {
  /** y0 (3), y1 (3), e2 (3), e3 (3) of the last attempted step. */
  readonly path = new Float64Array(pathWidth);
  /** Friction, its excess and fluid torque at the last angle asked for, with slopes: f e H f' e' H'. */
  private readonly local = new Float64Array(6);
  private readonly nodes: Float64Array;
  private readonly perStep: number;
  private readonly lastNode: number;
  private readonly ratio: number;
  private readonly kt: number;
  private readonly damping: number;
  private readonly motorDamping: number;
  private readonly invStribeck: number;
  private readonly totalResistance: number;
  private readonly inverseInductance: number;
  private gain = 0;
  private inverseInertia = 0;
  private driveFriction = 0;
  private sense = 1;
  private dwell: number;
  private voltage = 0;
  private mode: 0 | 1 | 2 = 0;
  private wanted = 0;
  private inverseLag = 0;

  constructor(private readonly train: RigidTrain) {
    this.nodes = train.load.nodes;
    this.perStep = 1 / train.load.step;
    this.lastNode = train.load.count - 2;
    this.ratio = train.ratio;
    this.kt = train.torqueConstant;
    this.damping = train.damping;
    this.motorDamping = train.motorDamping * train.ratio;
    this.invStribeck = 1 / train.stribeckSpeed;
    this.totalResistance = train.resistance + train.supplyResistance;
    this.inverseInductance = 1 / train.inductance;
    this.dwell = train.dwellTorque;
    this.setRegime(train.forward);
  }

  setRegime(regime: Regime): void {
    this.gain = regime.gain;
    this.inverseInertia = 1 / regime.inertia;
    this.driveFriction = regime.friction;
  }

  /** Sense of motion: friction acts against it. */
  setSense(sense: 1 | -1): void {
    this.sense = sense;
  }

  /** The dwell bond is broken for good once the ball has moved and come to rest again. */
  breakDwellBond(): void {
    this.dwell = 0;
  }

  get dwellTorque(): number {
    return this.dwell;
  }

  setElectrical(mode: Electrical): void {
    if (mode.kind === "voltage") {
      this.mode = 0;
      this.voltage = mode.sense * this.train.openCircuitVoltage;
    } else if (mode.kind === "held") {
      this.mode = 1;
      this.wanted = mode.current;
    } else {
      this.mode = 2;
      this.wanted = mode.current;
      this.inverseLag = 1 / mode.lag;
    }
  }

  /** Loads f, e, H and their slopes at an angle, into `local`. */
  private look(angle: number): void {
    const { nodes, local } = this;
    let x = angle * this.perStep;
    let j = Math.floor(x);
    if (j < 0) j = 0;
    else if (j > this.lastNode) j = this.lastNode;
    x -= j;
    // The step that ends at the stop reaches a little past it; beyond the ends the end value holds.
    if (x < 0) x = 0;
    else if (x > 1) x = 1;
    const a = j * nodeWidth;
    const step = this.train.load.step;
    for (let c = 0; c < 3; c++) {
      const p = a + 2 * c;
      const y0 = nodes[p] as number;
      const m0 = (nodes[p + 1] as number) * step;
      const m1 = (nodes[p + nodeWidth + 1] as number) * step;
      const rise = (nodes[p + nodeWidth] as number) - y0;
      const q = 3 * rise - 2 * m0 - m1;
      const r = m0 + m1 - 2 * rise;
      local[c] = y0 + x * (m0 + x * (q + x * r));
      local[c + 3] = (m0 + x * (2 * q + 3 * x * r)) * this.perStep;
    }
  }

  /** Friction torque magnitude at the stem at an angle and speed [N m]; leaves the loads in `local`. */
  frictionAt(angle: number, speed: number): number {
    this.look(angle);
    const z = speed * this.invStribeck;
    const zz = z * z;
    const local = this.local;
    const fading = zz > 40 ? 0 : ((local[1] as number) + this.dwell) * Math.exp(-zz);
    return (local[0] as number) + fading;
  }

  /** Fluid torque found by the last `frictionAt` [N m]. */
  get fluidTorque(): number {
    return this.local[2] as number;
  }

  acceleration(angle: number, speed: number, current: number): number {
    return this.accelerationAgainst(this.frictionAt(angle, speed), speed, current);
  }

  /** Acceleration against a friction just found by `frictionAt` at the same angle [rad/s2]. */
  accelerationAgainst(friction: number, speed: number, current: number): number {
    return (
      (this.gain * (this.kt * current - this.motorDamping * speed) -
        this.sense * (this.driveFriction + friction) -
        (this.local[2] as number) -
        this.damping * speed) *
      this.inverseInertia
    );
  }

  currentRate(speed: number, current: number): number {
    const back = this.kt * this.ratio * speed;
    if (this.mode === 0)
      return (this.voltage - this.totalResistance * current - back) * this.inverseInductance;
    if (this.mode === 1) return 0;
    const rate = (this.wanted - current) * this.inverseLag;
    const full = this.train.openCircuitVoltage;
    const loss = this.totalResistance * current + back;
    return Math.min(
      Math.max(rate, (-full - loss) * this.inverseInductance),
      (full - loss) * this.inverseInductance,
    );
  }

  /**
   * Attempts a step of size h from (angle, speed, current); fills `path`.
   * @returns the error relative to the tolerances given: accept when <= 1.
   */
  attempt(
    angle: number,
    speed: number,
    current: number,
    h: number,
    angleTolerance: number,
    speedTolerance: number,
    currentTolerance: number,
  ): number {
    const { kt, inverseInertia, path } = this;
    const m = rodas;
    // Jacobian at the start: w' by angle, speed, current; i' by speed, current.
    this.look(angle);
    const local = this.local;
    const z = speed * this.invStribeck;
    const zz = z * z;
    const fade = zz > 40 ? 0 : Math.exp(-zz);
    const excess = (local[1] as number) + this.dwell;
    const f0 = (local[0] as number) + excess * fade;
    const h0 = local[2] as number;
    const wa =
      -(this.sense * ((local[3] as number) + (local[4] as number) * fade) + (local[5] as number)) *
      inverseInertia;
    const ww =
      (-this.gain * this.motorDamping -
        this.damping +
        this.sense * excess * fade * 2 * z * this.invStribeck) *
      inverseInertia;
    const wi = this.gain * kt * inverseInertia;
    let iw = 0;
    let ii = 0;
    if (this.mode === 0) {
      iw = -kt * this.ratio * this.inverseInductance;
      ii = -this.totalResistance * this.inverseInductance;
    } else if (this.mode === 2) {
      ii = -this.inverseLag;
    }
    const g = 1 / (h * m.gamma);
    const gi = 1 / (g - ii);
    const ga = 1 / g;
    const pivot = 1 / (g - ww - wa * ga - wi * iw * gi);
    const q = 1 / h;

    // Stage 1.
    let ra = speed;
    let rw =
      (this.gain * (kt * current - this.motorDamping * speed) -
        this.sense * (this.driveFriction + f0) -
        h0 -
        this.damping * speed) *
      inverseInertia;
    let ri = this.currentRate(speed, current);
    const w1 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a1 = (ra + w1) * ga;
    const i1 = (ri + iw * w1) * gi;
    // Stage 2.
    let ya = angle + m.a21 * a1;
    let yw = speed + m.a21 * w1;
    let yi = current + m.a21 * i1;
    ra = yw + q * m.c21 * a1;
    rw = this.acceleration(ya, yw, yi) + q * m.c21 * w1;
    ri = this.currentRate(yw, yi) + q * m.c21 * i1;
    const w2 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a2 = (ra + w2) * ga;
    const i2 = (ri + iw * w2) * gi;
    // Stage 3.
    ya = angle + m.a31 * a1 + m.a32 * a2;
    yw = speed + m.a31 * w1 + m.a32 * w2;
    yi = current + m.a31 * i1 + m.a32 * i2;
    ra = yw + q * (m.c31 * a1 + m.c32 * a2);
    rw = this.acceleration(ya, yw, yi) + q * (m.c31 * w1 + m.c32 * w2);
    ri = this.currentRate(yw, yi) + q * (m.c31 * i1 + m.c32 * i2);
    const w3 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a3 = (ra + w3) * ga;
    const i3 = (ri + iw * w3) * gi;
    // Stage 4.
    ya = angle + m.a41 * a1 + m.a42 * a2 + m.a43 * a3;
    yw = speed + m.a41 * w1 + m.a42 * w2 + m.a43 * w3;
    yi = current + m.a41 * i1 + m.a42 * i2 + m.a43 * i3;
    ra = yw + q * (m.c41 * a1 + m.c42 * a2 + m.c43 * a3);
    rw = this.acceleration(ya, yw, yi) + q * (m.c41 * w1 + m.c42 * w2 + m.c43 * w3);
    ri = this.currentRate(yw, yi) + q * (m.c41 * i1 + m.c42 * i2 + m.c43 * i3);
    const w4 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a4 = (ra + w4) * ga;
    const i4 = (ri + iw * w4) * gi;
    // Stage 5.
    ya = angle + m.a51 * a1 + m.a52 * a2 + m.a53 * a3 + m.a54 * a4;
    yw = speed + m.a51 * w1 + m.a52 * w2 + m.a53 * w3 + m.a54 * w4;
    yi = current + m.a51 * i1 + m.a52 * i2 + m.a53 * i3 + m.a54 * i4;
    ra = yw + q * (m.c51 * a1 + m.c52 * a2 + m.c53 * a3 + m.c54 * a4);
    rw = this.acceleration(ya, yw, yi) + q * (m.c51 * w1 + m.c52 * w2 + m.c53 * w3 + m.c54 * w4);
    ri = this.currentRate(yw, yi) + q * (m.c51 * i1 + m.c52 * i2 + m.c53 * i3 + m.c54 * i4);
    const w5 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a5 = (ra + w5) * ga;
    const i5 = (ri + iw * w5) * gi;
    // Stage 6: its increment is the error estimate.
    ya += a5;
    yw += w5;
    yi += i5;
    ra = yw + q * (m.c61 * a1 + m.c62 * a2 + m.c63 * a3 + m.c64 * a4 + m.c65 * a5);
    rw = this.acceleration(ya, yw, yi) + q * (m.c61 * w1 + m.c62 * w2 + m.c63 * w3 + m.c64 * w4 + m.c65 * w5);
    ri = this.currentRate(yw, yi) + q * (m.c61 * i1 + m.c62 * i2 + m.c63 * i3 + m.c64 * i4 + m.c65 * i5);
    const w6 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a6 = (ra + w6) * ga;
    const i6 = (ri + iw * w6) * gi;

    path[ANGLE] = angle;
    path[SPEED] = speed;
    path[CURRENT] = current;
    path[states + ANGLE] = ya + a6;
    path[states + SPEED] = yw + w6;
    path[states + CURRENT] = yi + i6;
    path[2 * states + ANGLE] = m.h21 * a1 + m.h22 * a2 + m.h23 * a3 + m.h24 * a4 + m.h25 * a5;
    path[2 * states + SPEED] = m.h21 * w1 + m.h22 * w2 + m.h23 * w3 + m.h24 * w4 + m.h25 * w5;
    path[2 * states + CURRENT] = m.h21 * i1 + m.h22 * i2 + m.h23 * i3 + m.h24 * i4 + m.h25 * i5;
    path[3 * states + ANGLE] = m.h31 * a1 + m.h32 * a2 + m.h33 * a3 + m.h34 * a4 + m.h35 * a5;
    path[3 * states + SPEED] = m.h31 * w1 + m.h32 * w2 + m.h33 * w3 + m.h34 * w4 + m.h35 * w5;
    path[3 * states + CURRENT] = m.h31 * i1 + m.h32 * i2 + m.h33 * i3 + m.h34 * i4 + m.h35 * i5;

    const ea = a6 / angleTolerance;
    const ew = w6 / speedTolerance;
    const ei = i6 / currentTolerance;
    return Math.sqrt((ea * ea + ew * ew + ei * ei) / 3);
  }

  angleAt(share: number): number {
    return along(this.path, ANGLE, share);
  }

  speedAt(share: number): number {
    return along(this.path, SPEED, share);
  }

  currentAt(share: number): number {
    return along(this.path, CURRENT, share);
  }
}

/** A state inside a step, `share` of the step after its start; `state` 0 angle, 1 speed, 2 current. */
export function along(path: Float64Array, state: number, share: number, from = 0): number {
  const y0 = path[from + state] as number;
  const y1 = path[from + states + state] as number;
  const e2 = path[from + 2 * states + state] as number;
  const e3 = path[from + 3 * states + state] as number;
  const rest = 1 - share;
  return rest * y0 + share * (y1 + rest * (e2 + share * e3));
}
