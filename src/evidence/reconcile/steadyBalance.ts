/** Current and time over the opening where the forces balance (steadyBase.ts), and slopes back to what they are made of. */
import { firstConstant, firstCurve, firstFriction, places, type SteadyLayout } from "./steadyBase.js";

/** Least speed, over that of the unloaded motor: where the drive would stall. */
const leastSpeed = 0.05;

export class SteadyBalance {
  readonly current: Float64Array;
  readonly time: Float64Array;
  /** Numbers, not their logarithms, and curves. */
  private readonly value: Float64Array;
  private readonly speed: Float64Array;
  private readonly load: Float64Array;

  constructor(private readonly layout: SteadyLayout) {
    const { nodes } = layout;
    this.current = new Float64Array(nodes);
    this.time = new Float64Array(nodes);
    this.speed = new Float64Array(nodes);
    this.load = new Float64Array(nodes);
    this.value = new Float64Array(firstCurve(layout) + 3 * nodes);
  }

  /** @param base  logarithms of the numbers, and the curves */
  set(base: Float64Array): void {
    const { layout, value, current, time, speed, load } = this;
    const { nodes, step } = layout;
    const [constants, first] = [firstConstant(layout), firstCurve(layout)];
    for (let q = 0; q < first; q++) value[q] = Math.exp(base[q] as number);
    value.set(base.subarray(first), first);
    let still = value[places.stallTorque] as number;
    for (let q = firstFriction; q < constants; q++)
      still -= (value[q] as number) - (layout.offsets[q - firstFriction] as number);
    let constant = 0;
    for (let q = constants; q < first; q++) constant += value[q] as number;
    const share = value[places.loadShare] as number;
    const slope = value[places.slope] as number;
    const free = value[places.freeCurrent] as number;
    const perSpeed = value[places.currentPerSpeed] as number;
    const least = this.least();
    let slow = 0;
    let t = 0;
    for (let m = 0; m < nodes; m++) {
      const torque =
        constant +
        (value[places.perDrop] as number) * (value[first + m] as number) +
        (value[places.perGauge] as number) * (value[first + nodes + m] as number) +
        (value[first + 2 * nodes + m] as number);
      const w = (still - share * torque) / slope;
      const before = slow;
      slow = 1 / Math.max(w, least);
      if (m > 0) t += 0.5 * step * (before + slow);
      load[m] = torque;
      speed[m] = w;
      current[m] = free - perSpeed * w;
      time[m] = t;
    }
  }

  private least(): number {
    return (
      (leastSpeed * (this.value[places.freeCurrent] as number)) /
      (this.value[places.currentPerSpeed] as number)
    );
  }

  /**
   * Slopes to logarithms and curves from those to current and time, at what was set last.
   * @param slope receives them, added to what it has
   */
  addSlopes(toCurrent: Float64Array, toTime: Float64Array, slope: Float64Array): void {
    const { layout, value, speed, load } = this;
    const { nodes, step } = layout;
    const [constants, first] = [firstConstant(layout), firstCurve(layout)];
    const share = value[places.loadShare] as number;
    const over = 1 / (value[places.slope] as number);
    const perSpeed = value[places.currentPerSpeed] as number;
    const least = this.least();
    const add = (q: number, by: number): void => {
      slope[q] = (slope[q] as number) + by;
    };
    let [all, bySpeed, toFree, toPerSpeed, byLoad, byDrop, byGauge, toLeast] = [0, 0, 0, 0, 0, 0, 0, 0];
    let [after, here] = [0, 0];
    for (let m = nodes - 1; m >= 0; m--) {
      // What comes later in time hangs on both ends of each stretch.
      here = after + (m > 0 ? (toTime[m] as number) : 0);
      const toSlow = 0.5 * step * ((m > 0 ? here : 0) + (m < nodes - 1 ? after : 0));
      after = here;
      const w = speed[m] as number;
      const c = toCurrent[m] as number;
      const isMoving = w > least;
      if (!isMoving) toLeast -= toSlow / least ** 2;
      const toSpeed = (isMoving ? -toSlow / w ** 2 : 0) - perSpeed * c;
      toFree += c;
      toPerSpeed -= c * w;
      const g = toSpeed * over;
      all += g;
      bySpeed += g * w;
      byLoad += g * (load[m] as number);
      const toLoad = -g * share;
      byDrop += toLoad * (value[first + m] as number);
      byGauge += toLoad * (value[first + nodes + m] as number);
      add(first + m, toLoad * (value[places.perDrop] as number));
      add(first + nodes + m, toLoad * (value[places.perGauge] as number));
      add(first + 2 * nodes + m, toLoad);
    }
    add(places.stallTorque, all * (value[places.stallTorque] as number));
    for (let q = firstFriction; q < constants; q++) add(q, -all * (value[q] as number));
    for (let q = constants; q < first; q++) add(q, -all * share * (value[q] as number));
    add(places.loadShare, -byLoad * share);
    add(places.slope, -bySpeed / over);
    add(places.freeCurrent, toFree * (value[places.freeCurrent] as number) + toLeast * least);
    add(places.currentPerSpeed, toPerSpeed * perSpeed - toLeast * least);
    add(places.perDrop, byDrop * (value[places.perDrop] as number));
    add(places.perGauge, byGauge * (value[places.perGauge] as number));
  }
}
