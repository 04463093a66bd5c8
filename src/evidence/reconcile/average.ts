/**
 * The filter that measured and simulated histories both pass before they are compared: the mean over
 * a window around each instant. It delays nothing, and it makes a current that jumps between two
 * samples a smooth function of when it jumps, without which no fit finds a late command.
 */

/** A mean over a window is the difference of two values of the running integral. */
export class WindowMean {
  private time: Float64Array = new Float64Array(0);
  private values: Float64Array = new Float64Array(0);
  private integral = new Float64Array(0);

  /** Takes up a history. @param time ascending [s];  @param values as many, linear between the instants, held beyond */
  of(time: Float64Array, values: Float64Array): this {
    const n = time.length;
    this.time = time;
    this.values = values;
    if (this.integral.length < n) this.integral = new Float64Array(n);
    const { integral } = this;
    let sum = 0;
    for (let i = 1; i < n; i++) {
      const width = (time[i] as number) - (time[i - 1] as number);
      sum += 0.5 * width * ((values[i] as number) + (values[i - 1] as number));
      integral[i] = sum;
    }
    return this;
  }

  /**
   * Means over windows of one width around ascending centres.
   * @param late  subtracted from each centre [s];  @param out  receives the means
   */
  at(
    centres: Float64Array,
    width: number,
    late = 0,
    out: Float64Array = new Float64Array(centres.length),
  ): Float64Array {
    if (this.time.length === 0) return out.fill(0);
    let low = 0;
    let high = 0;
    for (let k = 0; k < centres.length; k++) {
      const centre = (centres[k] as number) - late;
      low = this.advance(low, centre - width / 2);
      high = this.advance(high, centre + width / 2);
      out[k] = (this.until(high, centre + width / 2) - this.until(low, centre - width / 2)) / width;
    }
    return out;
  }

  private advance(from: number, t: number): number {
    const { time } = this;
    const last = time.length - 2;
    let i = from;
    while (i < last && (time[i + 1] as number) <= t) i++;
    return i;
  }

  /** Running integral at a time inside or beside segment i. */
  private until(i: number, t: number): number {
    const { time, values, integral } = this;
    const isOne = time.length < 2;
    const t0 = time[i] as number;
    const t1 = isOne ? t0 : (time[i + 1] as number);
    const v0 = values[i] as number;
    const v1 = isOne ? v0 : (values[i + 1] as number);
    if (t <= t0 || t1 <= t0) return (integral[i] as number) + (t - t0) * v0;
    if (t >= t1) return (integral[i + 1] as number) + (t - t1) * v1;
    const slope = (v1 - v0) / (t1 - t0);
    return (integral[i] as number) + (t - t0) * (v0 + 0.5 * slope * (t - t0));
  }
}
