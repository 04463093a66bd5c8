/**
 * The recorded path of a stroke, to be read at any time: a list of pieces, each either rest with a
 * current that runs to an asymptote, or one integration step with its continuous extension.
 */
import { ANGLE, along, CURRENT, pathWidth, SPEED } from "./stepPath.js";

/** start, duration, kind (0 rest, 1 slip), then pathWidth numbers (slip: path; rest: angle, i0, asymptote, tau). */
const pieceWidth = 4 + pathWidth;

export class StrokePath {
  private pieces = new Float64Array(64 * pieceWidth);
  private count = 0;

  /** Forgets what was recorded. */
  clear(): void {
    this.count = 0;
  }

  /** Time of the last recorded state [s]. */
  get end(): number {
    if (this.count === 0) return 0;
    const p = (this.count - 1) * pieceWidth;
    return (this.pieces[p] as number) + (this.pieces[p + 1] as number);
  }

  private append(start: number, duration: number, kind: 0 | 1, full: number): number {
    if ((this.count + 1) * pieceWidth > this.pieces.length) {
      const larger = new Float64Array(this.pieces.length * 2);
      larger.set(this.pieces);
      this.pieces = larger;
    }
    const p = this.count++ * pieceWidth;
    this.pieces[p] = start;
    this.pieces[p + 1] = duration;
    this.pieces[p + 2] = kind;
    this.pieces[p + 3] = full;
    return p + 4;
  }

  /** Rest at an angle while the current runs from i0 towards an asymptote with time constant tau. */
  rest(start: number, duration: number, angle: number, i0: number, asymptote: number, tau: number): void {
    const p = this.append(start, duration, 0, duration);
    this.pieces[p] = angle;
    this.pieces[p + 1] = i0;
    this.pieces[p + 2] = asymptote;
    this.pieces[p + 3] = tau;
  }

  /** A step of size `full` of which only `duration` was used. */
  slip(start: number, duration: number, full: number, path: Float64Array): void {
    const p = this.append(start, duration, 1, full);
    this.pieces.set(path, p);
  }

  /** Times at which one piece ends and the next begins, the first start included [s]. */
  knots(): Float64Array {
    const times = new Float64Array(this.count + 1);
    for (let j = 0; j < this.count; j++) times[j] = this.pieces[j * pieceWidth] as number;
    times[this.count] = this.end;
    return times;
  }

  /**
   * Angle, speed and current at ascending times; before the start and after the end the nearest
   * state holds (after the end: at rest).
   * @param times ascending [s];  outputs of the same length [rad], [rad/s], [A]
   */
  sample(times: ArrayLike<number>, angle: Float64Array, speed: Float64Array, current: Float64Array): void {
    let j = 0;
    const end = this.end;
    for (let k = 0; k < times.length; k++) {
      const t = Math.min(Math.max(times[k] as number, 0), end);
      while (j < this.count - 1 && t >= (this.pieces[(j + 1) * pieceWidth] as number)) j++;
      const p = j * pieceWidth;
      const since = t - (this.pieces[p] as number);
      if (this.pieces[p + 2] === 0) {
        const i0 = this.pieces[p + 5] as number;
        const asymptote = this.pieces[p + 6] as number;
        const tau = this.pieces[p + 7] as number;
        angle[k] = this.pieces[p + 4] as number;
        speed[k] = 0;
        current[k] = asymptote + (i0 - asymptote) * Math.exp(-since / tau);
      } else {
        const share = since / (this.pieces[p + 3] as number);
        angle[k] = along(this.pieces, ANGLE, share, p + 4);
        speed[k] = along(this.pieces, SPEED, share, p + 4);
        current[k] = along(this.pieces, CURRENT, share, p + 4);
      }
    }
  }
}
