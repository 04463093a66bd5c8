/** What a stroke leaves behind: first motion, passing times of the marks, arrival, peaks. */
import { arrivalBand, type StrokeOrder } from "./order.js";
import { END, type SlipEquations } from "./slipEquations.js";
import { ANGLE, along, CURRENT, crossing, SPEED, states, turn } from "./stepPath.js";

export class StrokeRecord {
  /** Times; NaN until they have come [s]. */
  firstMotion = Number.NaN;
  arrival = Number.NaN;
  readonly markTimes: Float64Array;
  peakCurrent = 0;
  peakSpeed = 0;
  impactSpeed = 0;
  private nextMark = 0;
  /** Angle at which a stroke under a profile has arrived; NaN for full drive, which arrives at the stop [rad]. */
  private readonly arrivalAngle: number;

  constructor(
    private readonly order: StrokeOrder,
    travel: number,
  ) {
    this.markTimes = new Float64Array(order.marks.length).fill(Number.NaN);
    const left = arrivalBand * travel;
    this.arrivalAngle = order.controller === undefined ? Number.NaN : order.sense > 0 ? travel - left : left;
    if (this.isWithinBand(order.start)) this.arrival = 0;
  }

  get hasArrived(): boolean {
    return !Number.isNaN(this.arrival);
  }

  /** Whether a stroke under a profile has arrived at an angle [rad]. */
  isWithinBand(angle: number): boolean {
    return this.order.sense * (angle - this.arrivalAngle) >= 0;
  }

  /** The ball begins to move. @param t [s] */
  starts(t: number): void {
    if (Number.isNaN(this.firstMotion)) this.firstMotion = t;
    const { marks } = this.order;
    for (; this.nextMark < marks.length && (marks[this.nextMark] as number) <= 0; this.nextMark++)
      this.markTimes[this.nextMark] = t;
  }

  /** A stop is met. @param t [s];  @param speed [rad/s];  @param isEnd whether it is the one the stroke is to reach */
  meetsStop(t: number, speed: number, isEnd: boolean): void {
    this.impactSpeed = Math.max(this.impactSpeed, Math.abs(speed));
    if (isEnd && !this.hasArrived) this.arrival = t;
  }

  /** Current of a rest [A]. */
  rests(current: number): void {
    this.peakCurrent = Math.max(this.peakCurrent, Math.abs(current));
  }

  /** A step that began at t with size h and was used up to `share`, where END is. */
  slips(t: number, h: number, share: number, path: Float64Array, equations: SlipEquations): void {
    const { order, markTimes } = this;
    const { sense, marks } = order;
    const reached = equations.angleAt(END);
    for (; this.nextMark < marks.length; this.nextMark++) {
      const target = order.start + sense * (marks[this.nextMark] as number);
      // A mark at the stop is reached with the stop, whatever the last digit of start plus mark is.
      if (sense * (reached - target) < -markTolerance) break;
      markTimes[this.nextMark] = t + h * passing(path, target, share, sense);
    }
    if (!this.hasArrived && this.isWithinBand(reached))
      this.arrival = t + h * passing(path, this.arrivalAngle, share, sense);
    this.notePeaks(share, path, equations);
  }

  private notePeaks(share: number, path: Float64Array, equations: SlipEquations): void {
    const speed = equations.speedAt(END);
    const current = equations.currentAt(END);
    this.peakSpeed = Math.max(this.peakSpeed, Math.abs(speed));
    this.peakCurrent = Math.max(this.peakCurrent, Math.abs(current));
    const fastest = turn(path, SPEED, (path[SPEED] as number) + speed > 0 ? 1 : -1);
    if (fastest < share) this.peakSpeed = Math.max(this.peakSpeed, Math.abs(along(path, SPEED, fastest)));
    const greatest = turn(path, CURRENT, (path[CURRENT] as number) + current > 0 ? 1 : -1);
    if (greatest < share)
      this.peakCurrent = Math.max(this.peakCurrent, Math.abs(along(path, CURRENT, greatest)));
  }
}

/** Rounding of an angle [rad]. */
const markTolerance = 1e-12;

/** Share of a step at which an angle is passed, not beyond the share that was used. */
function passing(path: Float64Array, target: number, share: number, sense: 1 | -1): number {
  if (sense * ((path[states + ANGLE] as number) - target) < 0) return share;
  return Math.min(crossing(path, ANGLE, target), share);
}
