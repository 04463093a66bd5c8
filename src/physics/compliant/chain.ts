/**
 * The equations of the compliant train (train.ts) in one mode: which bodies rest, which flanks touch, which way
 * the meshes pass power, how the driver holds the motor. Within a mode they are smooth; what ends it is found
 * by `ChainEvents`. Made for the inner loop: one object per run, buffers reused, nothing allocated.
 *
 * States: the angles of the bodies, then their speeds, then the current. Between neighbours only the springs
 * act, so that with the angles eliminated (theta' = w) the matrix g I - J has three diagonals.
 */
import type { StiffSystem } from "../../numerics/index.js";
import type { CompliantTrain } from "./train.js";

/** Numbers per curve and per row of `LoadCurves.rows`. */
const curveWidth = 4;
const rowWidth = 3 * curveWidth;
/** Beyond this square of speed over Stribeck speed nothing is left of the excess in double precision. */
const fadedOut = 40;

/** How the driver holds the motor. */
export type Electrical =
  | { readonly kind: "voltage"; readonly sense: 1 | -1 }
  | { readonly kind: "held" }
  | { readonly kind: "led"; readonly current: number; readonly lag: number };

/** What the steps may err by, see `errorOf`. */
export interface Scales {
  /** Relative, of one step [-]. */
  readonly tolerance: number;
  /** Torque at the stem that errors of twist and speed are counted by [N m]. */
  readonly torque: number;
  /** No-load speed of the motor at its own shaft [rad/s]. */
  readonly motorSpeed: number;
  /** Greatest steady current [A]. */
  readonly current: number;
}

/** Share of the no-load speed down to which a speed's error is relative to it. */
const slowShare = 0.1;

export class ChainEquations implements StiffSystem {
  readonly size: number;
  /** Number of bodies; the ball is the last. */
  readonly bodies: number;
  readonly ball: number;
  /** Place of the current among the states. */
  readonly current: number;
  /** Sense of motion of each body; 0 at rest. Set by `setSense`. */
  readonly sense: Int8Array;
  /** Whether friction can hold a body at rest, and whether it does now. */
  readonly canRest: Uint8Array;
  readonly held: Uint8Array;
  /** Flank of each link that touches, 0 within the backlash; always 1 for a link without backlash. */
  readonly flank: Int8Array;
  /** Sign of the torque in each link; that of the flank where there is backlash. */
  readonly sign: Int8Array;
  /** Input torque per output torque of each link in motion. */
  readonly mesh: Float64Array;
  /** Torque at the output of each link [N m], as of the last `rates` or `torques`. */
  readonly torque: Float64Array;
  /** End of travel whose soft stop is touched: 1 open, -1 shut, 0 none. */
  stopSide: -1 | 0 | 1 = 0;
  /** Body that a soft stop acts on; -1 with a hard one. */
  readonly stopBody: number;
  private readonly inertia: Float64Array;
  private readonly friction: Float64Array;
  private readonly ratio: Float64Array;
  private readonly driving: Float64Array;
  private readonly driven: Float64Array;
  private readonly stiffness: Float64Array;
  private readonly dampers: Float64Array;
  private readonly half: Float64Array;
  private readonly stopStiffness: number;
  private readonly stopDamping: number;
  private readonly rows: Float64Array;
  private readonly perStep: number;
  private readonly lastRow: number;
  private readonly inverseStribeck: number;
  private dwell: number;
  /** Share of the excess of breakaway that is there: all of it, or none. */
  private excessShare: 0 | 1 = 1;
  private electrical: 0 | 1 | 2 = 1;
  private voltageRate = 0;
  private wanted = 0;
  private inverseLag = 0;
  private readonly full: number;
  private readonly resistiveRate: number;
  private readonly emfRate: number;
  // Of the factorised matrix.
  private g = 1;
  private readonly inverse: Float64Array;
  private readonly lower: Float64Array;
  private readonly upper: Float64Array;
  private inverseCurrent = 1;
  private currentBySpeed = 0;
  private speedByCurrent = 0;
  private ballByAngle = 0;
  // Errors.
  private readonly twistWeight: Float64Array;
  private readonly speedWeight: Float64Array;
  private readonly motorSpeed: number;
  private readonly inverseTolerance: number;
  private readonly inverseTravel: number;
  private readonly inverseCurrentScale: number;

  constructor(
    readonly train: CompliantTrain,
    scales: Scales,
  ) {
    const { bodies, links, stop } = train;
    const B = bodies.length;
    const L = links.length;
    this.bodies = B;
    this.ball = B - 1;
    this.current = 2 * B;
    this.size = 2 * B + 1;
    this.sense = new Int8Array(B);
    this.canRest = Uint8Array.from(bodies, ({ friction }, b) => {
      const link = links[b];
      const isLossy = link !== undefined && (link.startingEfficiency < 1 || link.backEfficiency < 1);
      return friction > 0 || isLossy || b === B - 1 ? 1 : 0;
    });
    this.held = Uint8Array.from(this.canRest);
    this.flank = Int8Array.from(links, ({ backlash }) => (backlash > 0 ? 0 : 1));
    this.sign = new Int8Array(L).fill(1);
    this.mesh = new Float64Array(L);
    this.torque = new Float64Array(L);
    this.inertia = Float64Array.from(bodies, ({ inertia }) => inertia);
    this.friction = Float64Array.from(bodies, ({ friction }) => friction);
    this.ratio = Float64Array.from(links, ({ ratio }) => ratio);
    this.driving = Float64Array.from(links, ({ ratio, efficiency }) => 1 / (ratio * efficiency));
    this.driven = Float64Array.from(links, ({ ratio, backEfficiency }) => backEfficiency / ratio);
    this.stiffness = Float64Array.from(links, ({ stiffness }) => stiffness);
    this.dampers = Float64Array.from(links, ({ damping }) => damping);
    this.half = Float64Array.from(links, ({ backlash }) => 0.5 * backlash);
    this.stopBody = stop.kind === "soft" ? stop.body : -1;
    this.stopStiffness = stop.kind === "soft" ? stop.stiffness : 0;
    this.stopDamping = stop.kind === "soft" ? stop.damping : 0;
    this.rows = train.load.rows;
    this.perStep = 1 / train.load.step;
    this.lastRow = train.load.count;
    this.inverseStribeck = 1 / train.stribeckSpeed;
    this.dwell = train.dwellTorque;
    this.full = train.openCircuitVoltage / train.inductance;
    this.resistiveRate = (train.resistance + train.supplyResistance) / train.inductance;
    this.emfRate = train.torqueConstant / train.inductance;
    this.inverse = new Float64Array(B);
    this.lower = new Float64Array(B);
    this.upper = new Float64Array(B);
    this.twistWeight = new Float64Array(L);
    this.speedWeight = new Float64Array(B);
    this.motorSpeed = slowShare * scales.motorSpeed;
    this.inverseTolerance = 1 / scales.tolerance;
    this.inverseTravel = 1 / train.travel;
    this.inverseCurrentScale = 1 / scales.current;
    let behind = 1;
    for (let l = L - 1; l >= 0; l--) {
      this.twistWeight[l] = ((this.stiffness[l] as number) * behind) / scales.torque;
      const k = this.stiffness[l] as number;
      const n = this.ratio[l] as number;
      const J0 = this.inertia[l] as number;
      const J1 = this.inertia[l + 1] as number;
      const weigh = (body: number, weight: number) => {
        this.speedWeight[body] = Math.max(this.speedWeight[body] as number, weight);
      };
      weigh(l + 1, (Math.sqrt(k * J1) * behind) / scales.torque);
      weigh(l, (Math.sqrt(k * J0) * behind) / scales.torque);
      behind *= n;
    }
    for (let l = 0; l < L; l++) this.chooseMesh(l);
  }

  // Mode.

  /** Sets a body in motion in a sense, or to rest. */
  setSense(body: number, sense: -1 | 0 | 1): void {
    this.sense[body] = sense;
    this.held[body] = sense === 0 ? (this.canRest[body] as number) : 0;
    if (body < this.ball) this.chooseMesh(body);
  }

  /** Takes the regime of a mesh from the sense of its body and the sign of its torque. */
  chooseMesh(l: number): void {
    const drives = (this.sense[l] as number) * (this.sign[l] as number) >= 0;
    this.mesh[l] = drives ? (this.driving[l] as number) : (this.driven[l] as number);
  }

  setElectrical(mode: Electrical): void {
    if (mode.kind === "voltage") {
      this.electrical = 0;
      this.voltageRate = mode.sense * this.full;
    } else if (mode.kind === "held") {
      this.electrical = 1;
    } else {
      this.electrical = 2;
      this.wanted = mode.current;
      this.inverseLag = 1 / mode.lag;
    }
  }

  /** The dwell bond is broken for good once the ball has moved and come to rest again. */
  breakDwellBond(): void {
    this.dwell = 0;
  }

  /** Breakaway adds nothing to the running friction any more. */
  leaveOutExcess(): void {
    this.dwell = 0;
    this.excessShare = 0;
  }

  // Torques.

  /** Deflection of a link's spring, positive with the twist [rad]; its rest position is the flank that touches. */
  deflection(l: number, y: Float64Array, flank: number = this.flank[l] as number): number {
    const half = this.half[l] as number;
    const twist = (y[l] as number) / (this.ratio[l] as number) - (y[l + 1] as number);
    return half === 0 ? twist : twist - flank * half;
  }

  /** Speed of a link's twist [rad/s]. */
  twistSpeed(l: number, y: Float64Array): number {
    const B = this.bodies;
    return (y[B + l] as number) / (this.ratio[l] as number) - (y[B + l + 1] as number);
  }

  /** Torque a link would pass on a flank, pulling included [N m]. */
  contactTorque(l: number, y: Float64Array, flank: number): number {
    return (
      (this.stiffness[l] as number) * this.deflection(l, y, flank) +
      (this.dampers[l] as number) * this.twistSpeed(l, y)
    );
  }

  /** What a further term of the states' path adds to the torque of a link in contact [N m]. */
  torqueTerm(l: number, term: Float64Array): number {
    const twist = (term[l] as number) / (this.ratio[l] as number) - (term[l + 1] as number);
    return (this.stiffness[l] as number) * twist + (this.dampers[l] as number) * this.twistSpeed(l, term);
  }

  /** Writes the torque of every link into `torque`. */
  torques(y: Float64Array): void {
    for (let l = 0; l < this.torque.length; l++) {
      const flank = this.flank[l] as number;
      this.torque[l] = flank === 0 ? 0 : this.contactTorque(l, y, flank);
    }
  }

  /** How far the stop's body is beyond an end of the travel, positive beyond it [rad]. */
  beyondStop(y: Float64Array, side: 1 | -1): number {
    const angle = y[this.stopBody] as number;
    return side > 0 ? angle - this.train.travel : -angle;
  }

  /** Torque of the soft stop on its body, positive against opening, pulling included [N m]. */
  stopTorque(y: Float64Array, side: -1 | 0 | 1 = this.stopSide): number {
    if (side === 0) return 0;
    const beyond = this.beyondStop(y, side);
    const speed = y[this.bodies + this.stopBody] as number;
    return side * this.stopStiffness * beyond + this.stopDamping * speed;
  }

  private rowOf(x: number): number {
    if (x < 0) return 0;
    return x < this.lastRow ? (x | 0) + 1 : this.lastRow;
  }

  /** One of the load's curves at an angle: 0 friction, 1 excess, 2 fluid [N m]. */
  curve(which: 0 | 1 | 2, angle: number): number {
    const { rows } = this;
    const x = angle * this.perStep;
    const row = this.rowOf(x);
    const t = x - (row > 0 ? row - 1 : 0);
    const p = row * rowWidth + which * curveWidth;
    return (
      (rows[p] as number) +
      t * ((rows[p + 1] as number) + t * ((rows[p + 2] as number) + t * (rows[p + 3] as number)))
    );
  }

  private slope(which: 0 | 1 | 2, angle: number): number {
    const { rows } = this;
    const x = angle * this.perStep;
    const row = this.rowOf(x);
    const t = x - (row > 0 ? row - 1 : 0);
    const p = row * rowWidth + which * curveWidth;
    return (
      ((rows[p + 1] as number) + t * (2 * (rows[p + 2] as number) + 3 * t * (rows[p + 3] as number))) *
      this.perStep
    );
  }

  /** What breakaway and dwell add to the friction at rest [N m]. */
  private excess(angle: number): number {
    return this.excessShare === 0 ? 0 : this.curve(1, angle) + this.dwell;
  }

  /** Friction of the ball in motion, a magnitude [N m]. */
  ballFriction(angle: number, speed: number): number {
    const z = speed * this.inverseStribeck;
    const zz = z * z;
    const f = this.curve(0, angle);
    return zz > fadedOut ? f : f + this.excess(angle) * Math.exp(-zz);
  }

  /** Friction that holds the ball at rest [N m]. */
  breakaway(angle: number): number {
    return this.curve(0, angle) + this.excess(angle);
  }

  /**
   * Rate at which the motion of the ball runs away where friction falls with its speed, here or on the way to
   * the steepest fall, before springs and dampers [1/s].
   */
  growth(angle: number, speed: number): number {
    const z = Math.abs(speed) * this.inverseStribeck;
    if (z * z > fadedOut) return 0;
    const steepest = Math.max(z, Math.SQRT1_2);
    const fall = 2 * steepest * Math.exp(-steepest * steepest) * this.inverseStribeck;
    return Math.max(
      (this.excess(angle) * fall - this.train.damping) / (this.inertia[this.ball] as number),
      0,
    );
  }

  /** What acts on a body besides its own friction and mesh [N m]; after `torques`. */
  drive(body: number, y: Float64Array): number {
    if (body === 0) return this.train.torqueConstant * (y[this.current] as number);
    const before = this.torque[body - 1] as number;
    const stop = body === this.stopBody ? this.stopTorque(y) : 0;
    if (body !== this.ball) return before - stop;
    return before - stop - this.curve(2, y[body] as number);
  }

  /** What a body at rest bears in a sense before it moves that way [N m]; after `torques`. */
  holding(body: number, sense: 1 | -1, y: Float64Array): number {
    if (body === this.ball) return this.breakaway(y[body] as number);
    const link = this.train.links[body];
    if (link === undefined) return 0;
    const tau = sense * (this.torque[body] as number);
    const mesh = tau > 0 ? 1 / (link.ratio * link.startingEfficiency) : (this.driven[body] as number);
    return (this.friction[body] as number) + mesh * tau;
  }

  // The system.

  rates(y: Float64Array, into: Float64Array): void {
    const { bodies: B, ball, sense, held, torque, mesh, inertia, friction, train } = this;
    this.torques(y);
    const i = y[this.current] as number;
    let arriving = train.torqueConstant * i - train.motorDamping * (y[B] as number);
    for (let b = 0; b < ball; b++) {
      into[b] = y[B + b] as number;
      const s = sense[b] as number;
      const leaving = (mesh[b] as number) * (torque[b] as number);
      let net = arriving - s * (friction[b] as number) - leaving;
      if (b === this.stopBody) net -= this.stopTorque(y);
      into[B + b] = held[b] === 1 ? 0 : net / (inertia[b] as number);
      arriving = torque[b] as number;
    }
    const angle = y[ball] as number;
    const speed = y[B + ball] as number;
    into[ball] = speed;
    const s = sense[ball] as number;
    if (held[ball] === 1) into[B + ball] = 0;
    else {
      const stop = ball === this.stopBody ? this.stopTorque(y) : 0;
      const resist = s * this.ballFriction(angle, speed) + this.curve(2, angle) + train.damping * speed;
      into[B + ball] = (arriving - resist - stop) / (inertia[ball] as number);
    }
    into[this.current] = this.currentRate(y[B] as number, i);
  }

  /** Rate of the motor current [A/s]. @param speed of the motor */
  currentRate(speed: number, i: number): number {
    if (this.electrical === 1) return 0;
    const loss = this.resistiveRate * i + this.emfRate * speed;
    if (this.electrical === 0) return this.voltageRate - loss;
    return Math.min(Math.max((this.wanted - i) * this.inverseLag, -this.full - loss), this.full - loss);
  }

  private followsLag(speed: number, i: number): boolean {
    const loss = this.resistiveRate * i + this.emfRate * speed;
    return Math.abs((this.wanted - i) * this.inverseLag + loss) <= this.full;
  }

  factorise(y: Float64Array, g: number): void {
    const { bodies: B, ball, sense, mesh, inertia, ratio, inverse, lower, upper, train } = this;
    this.g = g;
    const i = y[this.current] as number;
    const isLed = this.electrical === 2 && this.followsLag(y[B] as number, i);
    const follows = isLed || this.electrical === 1;
    this.currentBySpeed = follows ? 0 : -this.emfRate;
    this.inverseCurrent =
      1 / (g + (isLed ? this.inverseLag : this.electrical === 1 ? 0 : this.resistiveRate));
    this.speedByCurrent = this.held[0] === 1 ? 0 : train.torqueConstant / (inertia[0] as number);
    let before = 0;
    for (let b = 0; b < B; b++) {
      const J = inertia[b] as number;
      const held = this.held[b] === 1;
      let diagonal = g;
      let low = 0;
      let up = 0;
      const behind = b < ball && this.flank[b] !== 0 ? this.springOf(b, g) : 0;
      if (!held) {
        if (b > 0) {
          diagonal += before / J;
          low = -before / ((ratio[b - 1] as number) * J);
        }
        if (b < ball) {
          diagonal += ((mesh[b] as number) * behind) / ((ratio[b] as number) * J);
          up = (-(mesh[b] as number) * behind) / J;
        }
        if (b === 0) {
          diagonal += train.motorDamping / J;
          diagonal -= this.speedByCurrent * this.currentBySpeed * this.inverseCurrent;
        }
        if (b === this.stopBody && this.stopSide !== 0)
          diagonal += (this.stopDamping + this.stopStiffness / g) / J;
        if (b === ball) diagonal += this.ballDiagonal(y, sense[b] as number, J);
      }
      if (b > 0) diagonal -= low * (upper[b - 1] as number) * (inverse[b - 1] as number);
      inverse[b] = 1 / diagonal;
      lower[b] = low;
      upper[b] = up;
      before = behind;
    }
  }

  /** Torque of a link per speed of its twist when the angles have been eliminated. */
  private springOf(l: number, g: number): number {
    return (this.dampers[l] as number) + (this.stiffness[l] as number) / g;
  }

  /** Of the ball's own friction and fluid torque, per inertia; notes what its angle does. */
  private ballDiagonal(y: Float64Array, s: number, J: number): number {
    const angle = y[this.ball] as number;
    const speed = y[this.bodies + this.ball] as number;
    const z = speed * this.inverseStribeck;
    const zz = z * z;
    let byAngle = s * this.slope(0, angle) + this.slope(2, angle);
    let bySpeed = this.train.damping as number;
    if (zz <= fadedOut) {
      const fade = Math.exp(-zz);
      byAngle += s * this.excessShare * this.slope(1, angle) * fade;
      bySpeed -= s * this.excess(angle) * fade * 2 * z * this.inverseStribeck;
    }
    this.ballByAngle = -byAngle / J;
    return (bySpeed + byAngle / this.g) / J;
  }

  solve(r: Float64Array): void {
    const { bodies: B, ball, inertia, ratio, mesh, stiffness, inverse, lower, upper } = this;
    const perG = 1 / this.g;
    const last = this.current;
    // The angles' share of the right side goes to the speeds: (g - J) with theta = (r_theta + w)/g.
    let arriving = 0;
    for (let b = 0; b < B; b++) {
      const held = this.held[b] === 1;
      let pull = 0;
      if (b < ball && this.flank[b] !== 0)
        pull =
          (stiffness[b] as number) * perG * ((r[b] as number) / (ratio[b] as number) - (r[b + 1] as number));
      if (!held) {
        let gain = arriving - (b < ball ? (mesh[b] as number) * pull : 0);
        if (b === this.stopBody && this.stopSide !== 0) gain -= this.stopStiffness * perG * (r[b] as number);
        gain /= inertia[b] as number;
        if (b === ball) gain += this.ballByAngle * perG * (r[b] as number);
        if (b === 0) gain += this.speedByCurrent * (r[last] as number) * this.inverseCurrent;
        r[B + b] = (r[B + b] as number) + gain;
      }
      if (b > 0)
        r[B + b] =
          (r[B + b] as number) - (lower[b] as number) * (inverse[b - 1] as number) * (r[B + b - 1] as number);
      arriving = pull;
    }
    r[B + ball] = (r[B + ball] as number) * (inverse[ball] as number);
    for (let b = ball - 1; b >= 0; b--)
      r[B + b] =
        ((r[B + b] as number) - (upper[b] as number) * (r[B + b + 1] as number)) * (inverse[b] as number);
    for (let b = 0; b < B; b++) r[b] = ((r[b] as number) + (r[B + b] as number)) * perG;
    r[last] = ((r[last] as number) + this.currentBySpeed * (r[B] as number)) * this.inverseCurrent;
  }

  /**
   * Errors of twist and speed are counted by the torque they stand for, those of the motor's speed, the ball's
   * angle and the current by themselves as well: so no mode is followed closer than its torque is worth.
   */
  errorOf(error: Float64Array, end: Float64Array): number {
    const { bodies: B, ball, ratio, twistWeight, speedWeight } = this;
    let sum = 0;
    for (let l = 0; l < ball; l++) {
      const twist = (error[l] as number) / (ratio[l] as number) - (error[l + 1] as number);
      const e = twist * (twistWeight[l] as number);
      sum += e * e;
    }
    for (let b = 0; b < B; b++) {
      const e = (error[B + b] as number) * (speedWeight[b] as number);
      sum += e * e;
    }
    const motor = (error[B] as number) / (this.motorSpeed + Math.abs(end[B] as number));
    const angle = (error[ball] as number) * this.inverseTravel;
    const current = (error[this.current] as number) * this.inverseCurrentScale;
    sum += motor * motor + angle * angle + current * current;
    return Math.sqrt(sum / 3) * this.inverseTolerance;
  }

  // Energies.

  /** Kinetic energy of all bodies [J]. */
  kinetic(y: Float64Array): number {
    let sum = 0;
    for (let b = 0; b < this.bodies; b++) {
      const w = y[this.bodies + b] as number;
      sum += 0.5 * (this.inertia[b] as number) * w * w;
    }
    return sum;
  }

  /** Energy in the springs that touch, and in a soft stop that is touched [J]. */
  elastic(y: Float64Array): number {
    let sum = 0;
    for (let l = 0; l < this.torque.length; l++) {
      if (this.flank[l] === 0) continue;
      const d = this.deflection(l, y);
      sum += 0.5 * (this.stiffness[l] as number) * d * d;
    }
    if (this.stopSide !== 0) {
      const d = this.beyondStop(y, this.stopSide);
      sum += 0.5 * this.stopStiffness * d * d;
    }
    return sum;
  }

  /** Power that the dampers of all links take [W]. */
  dampingPower(y: Float64Array): number {
    let sum = 0;
    for (let l = 0; l < this.torque.length; l++) {
      if (this.flank[l] === 0) continue;
      const v = this.twistSpeed(l, y);
      sum += (this.dampers[l] as number) * v * v;
    }
    return sum;
  }

  /** Power that friction and meshes of the shafts take, without the motor's own [W]; after `torques`. */
  gearPower(y: Float64Array, motorFriction: number): number {
    let sum = 0;
    for (let b = 0; b < this.ball; b++) {
      const w = y[this.bodies + b] as number;
      const own = (this.friction[b] as number) - (b === 0 ? motorFriction : 0);
      const lost = (this.mesh[b] as number) - 1 / (this.ratio[b] as number);
      sum += ((this.sense[b] as number) * own + lost * (this.torque[b] as number)) * w;
    }
    return sum;
  }

  /** Power that the damper of a touched stop takes [W]. */
  stopPower(y: Float64Array): number {
    if (this.stopSide === 0) return 0;
    const w = y[this.bodies + this.stopBody] as number;
    return this.stopDamping * w * w;
  }
}
