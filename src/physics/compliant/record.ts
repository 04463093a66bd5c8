/**
 * The greatest torque in every link and at the stop, with its time and cause.
 *
 * The cause is what happened last before it: the start of the drive, flanks that met, the ball breaking away;
 * or `drive`, where longer has passed than a period of the train's slowest swing and the torque is what the load
 * asks for. From the first touch of the stop on, or of a jam, all is theirs.
 */
import { curveAt, curveTurn, type RosenbrockStep, type StepCurve } from "../../numerics/index.js";
import type { ChainEquations } from "./chain.js";

export type ShockCause = "start" | "backlash" | "breakaway" | "drive" | "stop" | "jammed";

/** A greatest torque, by magnitude. */
export interface TorquePeak {
  /** [N m]. */
  readonly torque: number;
  /** From the command [s]; NaN where there was none. */
  readonly time: number;
  readonly cause: ShockCause;
}

interface Peak {
  torque: number;
  time: number;
  cause: ShockCause;
}

const none = (): Peak => ({ torque: 0, time: Number.NaN, cause: "start" });

/** Peaks of the torque at the output of a link: while its motor side drives, and while it is driven. */
export interface LinkPeaks {
  readonly driving: TorquePeak;
  readonly driven: TorquePeak;
}

export class ShockRecord {
  readonly links: readonly { readonly driving: Peak; readonly driven: Peak }[];
  readonly stop: Peak = none();
  private cause: ShockCause = "start";
  private since = 0;
  private readonly curve: StepCurve = { y0: 0, y1: 0, e2: 0, e3: 0 };

  /** @param period of the slowest swing of the train [s] */
  constructor(
    private readonly equations: ChainEquations,
    private readonly step: RosenbrockStep,
    private readonly period: number,
  ) {
    this.links = equations.train.links.map(() => ({ driving: none(), driven: none() }));
  }

  /** Something happened at a time that the torques after it are put down to. */
  happened(cause: ShockCause, time: number): void {
    if (this.isFinal) return;
    this.cause = cause;
    this.since = time;
  }

  /** Whether the stop has been met, or the ball jammed. */
  get isFinal(): boolean {
    return this.cause === "stop" || this.cause === "jammed";
  }

  /** A step that began at t with size h and was used up to `share`. */
  steps(t: number, h: number, share: number): void {
    const { equations, curve } = this;
    for (let l = 0; l < this.links.length; l++) {
      if (equations.flank[l] === 0) continue;
      this.linkCurve(l);
      const peaks = this.links[l];
      if (peaks === undefined) continue;
      const drives = (equations.sense[l] as number) * (equations.sign[l] as number) >= 0;
      this.note(drives ? peaks.driving : peaks.driven, t, h, share);
    }
    if (equations.stopSide !== 0) {
      const { start, end, bend, skew } = this.step;
      curve.y0 = equations.stopTorque(start);
      curve.y1 = equations.stopTorque(end);
      curve.e2 = this.stopTerm(bend);
      curve.e3 = this.stopTerm(skew);
      this.note(this.stop, t, h, share);
    }
  }

  /** The torque of a link over the step: linear in the states. */
  private linkCurve(l: number): void {
    const { equations, curve, step } = this;
    const flank = equations.flank[l] as number;
    curve.y0 = equations.contactTorque(l, step.start, flank);
    curve.y1 = equations.contactTorque(l, step.end, flank);
    curve.e2 = equations.torqueTerm(l, step.bend);
    curve.e3 = equations.torqueTerm(l, step.skew);
  }

  private stopTerm(of: Float64Array): number {
    const { stop } = this.equations.train;
    if (stop.kind === "hard") return 0;
    const { body, stiffness, damping } = stop;
    return stiffness * (of[body] as number) + damping * (of[this.equations.bodies + body] as number);
  }

  private note(peak: Peak, t: number, h: number, share: number): void {
    const { curve } = this;
    this.take(peak, Math.abs(curve.y0), t);
    const atEnd = share === 1 ? curve.y1 : curveAt(curve, share);
    this.take(peak, Math.abs(atEnd), t + share * h);
    const turn = curveTurn(curve, curve.y0 + atEnd > 0 ? 1 : -1);
    if (turn < share) this.take(peak, Math.abs(curveAt(curve, turn)), t + turn * h);
  }

  private take(peak: Peak, torque: number, time: number): void {
    if (!(torque > peak.torque)) return;
    peak.torque = torque;
    peak.time = time;
    peak.cause = this.isFinal || time - this.since < this.period ? this.cause : "drive";
  }
}
