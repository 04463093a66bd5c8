/**
 * The filter that measured and simulated histories both pass before they are compared: the mean over
 * a window around each instant. It delays nothing, and it makes a current that jumps between two
 * samples a smooth function of when it jumps, without which no fit finds a late command.
 */

/** A mean over a window is the difference of two values of the running integral. */
export class WindowMean {
  private readonly integral: Float64Array;

  /** @param time ascending [s];  @param values of the same length, linear between the instants, held beyond */
  constructor(
    private readonly time: ArrayLike<number>,
    private readonly values: ArrayLike<number>,
  ) {
    const n = time.length;
    this.integral = new Float64Array(n);
    for (let i = 1; i < n; i++) {
      const width = (time[i] ?? 0) - (time[i - 1] ?? 0);
      this.integral[i] =
        (this.integral[i - 1] ?? 0) + 0.5 * width * ((values[i] ?? 0) + (values[i - 1] ?? 0));
    }
  }

  /** Means over windows of one width around ascending centres. */
  at(centres: ArrayLike<number>, width: number): Float64Array {
    const out = new Float64Array(centres.length);
    let low = 0;
    let high = 0;
    for (let k = 0; k < centres.length; k++) {
      const centre = centres[k] ?? 0;
      low = this.advance(low, centre - width / 2);
      high = this.advance(high, centre + width / 2);
      out[k] = (this.until(high, centre + width / 2) - this.until(low, centre - width / 2)) / width;
    }
    return out;
  }

  private advance(from: number, t: number): number {
    let i = from;
    while (i < this.time.length - 2 && (this.time[i + 1] ?? 0) <= t) i++;
    return i;
  }

  /** Running integral at a time inside or beside segment i. */
  private until(i: number, t: number): number {
    const { time, values, integral } = this;
    const t0 = time[i] ?? 0;
    const t1 = time[i + 1] ?? t0;
    const v0 = values[i] ?? 0;
    const v1 = values[i + 1] ?? v0;
    if (t <= t0 || t1 <= t0) return (integral[i] ?? 0) + (t - t0) * v0;
    if (t >= t1) return (integral[i + 1] ?? 0) + (t - t1) * v1;
    const slope = (v1 - v0) / (t1 - t0);
    return (integral[i] ?? 0) + (t - t0) * (v0 + 0.5 * slope * (t - t0));
  }
}
