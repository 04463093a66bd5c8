import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type DriveLimits,
  demandOf,
  historyOf,
  historyThrough,
  type Schedule,
  scheduleOf,
} from "../../../src/physics/schedule/index.js";

const travel = Math.PI / 2;
const nodes = 10;

/** The same limits at every opening. */
function even(speed: number, gain: number, loss: number, speedShare: number): DriveLimits {
  const column = (value: number) => new Float64Array(nodes + 1).fill(value);
  const sense = () => ({ speed: column(speed), gain: column(gain), loss: column(loss) });
  return { spacing: travel / nodes, opening: sense(), closing: sense(), speedShare };
}

function made(
  wanted: { duration: number; at: (t: number) => number },
  step: number,
  limits: DriveLimits,
  jerkTime: number,
): Schedule {
  const found = scheduleOf(wanted.at, wanted.duration, step, limits, jerkTime);
  if ("stuckAt" in found) throw new Error(`stuck at ${found.stuckAt}`);
  return found;
}

describe("a schedule within what a drive can do", () => {
  // Trapezoid of the speed, textbook kinematics: a step of A at the speed c with the acceleration c/T takes A/c + T,
  // and the mean over the jerk's time adds its own length [biagiotti-2012].
  it("makes a step a trapezoid of the speed with rounded ends", () => {
    const step = 1e-3;
    const limits = even(4, 200, 200, 0.5);
    const wanted = historyOf(0, [{ to: 1, within: 0, shape: "step", hold: 0 }]);
    const { angle, torqueTime, jerkTime, demand } = made(wanted, step, limits, 20e-3);
    const speeds = Array.from(angle.subarray(1), (value, k) => (value - (angle[k] ?? 0)) / step);
    expect(Math.max(...speeds)).toBeCloseTo(2, 6);
    const moving = speeds.filter((value) => value > 1e-9).length * step;
    expect(Math.abs(moving - (1 / 2 + torqueTime + jerkTime - 2 * step))).toBeLessThan(1.5 * step);
    expect(demand.speed).toBeLessThanOrEqual(1 + 1e-9);
    expect(demand.acceleration).toBeLessThanOrEqual(1 + 1e-9);
    // At half the speed half the gain is left: 2 rad/s take at least 20 ms.
    expect(torqueTime).toBeLessThan(25e-3);
    expect(angle.at(-1)).toBe(1);
  });

  it("bounds the jerk by twice the acceleration over its time", () => {
    const step = 1e-3;
    const limits = even(4, 200, 200, 0.5);
    const wanted = historyOf(0, [{ to: 1, within: 0, shape: "step", hold: 0 }]);
    const { angle, jerkTime, torqueTime } = made(wanted, step, limits, 20e-3);
    const difference = (values: readonly number[]) =>
      values.slice(1).map((value, k) => (value - (values[k] ?? 0)) / step);
    const jerk = difference(difference(difference([...angle])));
    const acceleration = 2 / torqueTime;
    expect(Math.max(...jerk.map(Math.abs))).toBeLessThanOrEqual((2 * acceleration) / jerkTime + 1e-6);
  });

  it("gives back a ramp within reach, rounded off at its ends alone", () => {
    const step = 1e-3;
    const wanted = historyOf(0.2, [{ to: 1, within: 1, shape: "ramp", hold: 0.2 }]);
    const { angle, lead, torqueTime, jerkTime } = made(wanted, step, even(4, 200, 200, 0.8), 10e-3);
    const half = (torqueTime + jerkTime) / 2 + step;
    for (let t = half; t < 1 - half; t += 0.01)
      expect(angle[Math.round((t + lead) / step)]).toBeCloseTo(wanted.at(Math.round(t / step) * step), 9);
  });

  it("names the opening where no torque is left", () => {
    const limits = even(4, 200, 200, 0.8);
    limits.opening.gain[4] = -1;
    const wanted = historyOf(0, [{ to: 1, within: 1, shape: "ramp", hold: 0 }]);
    expect(scheduleOf(wanted.at, 1, 1e-3, limits, 0)).toEqual({ stuckAt: 4 * limits.spacing });
    // Closing is not asked of that opening, and what does not move asks for nothing.
    const closes = historyOf(1, [{ to: 0, within: 1, shape: "ramp", hold: 0 }]);
    expect(scheduleOf(closes.at, 1, 1e-3, limits, 0)).not.toHaveProperty("stuckAt");
    expect(scheduleOf(() => 0.7, 1, 1e-3, limits, 0)).not.toHaveProperty("stuckAt");
  });

  it("counts what a row asks for as speed over speed, and change of speed over what is left at it", () => {
    // By hand: 1 rad/s of 0.5 x 4; from rest within 10 ms 100 rad/s2 of 200 (1 - 1/4); to rest 100 of 300.
    const demand = demandOf([0, 0, 0.01, 0.02, 0.02], 10e-3, even(4, 200, 300, 0.5));
    expect(demand.speed).toBeCloseTo(0.5, 9);
    expect(demand.acceleration).toBeCloseTo(100 / 150, 9);
    // Turned round within a row: both times add up.
    const turned = demandOf([0.01, 0, 0.01, 0.02], 10e-3, even(4, 200, 300, 0.5));
    expect(turned.acceleration).toBeCloseTo(100 / 300 + 100 / 150, 9);
  });
});

const column = (min: number, max: number) =>
  fc.array(fc.double({ min, max, noNaN: true }), { minLength: nodes + 1, maxLength: nodes + 1 });

const limitsArbitrary = fc
  .record({
    speeds: column(1, 6),
    gains: column(30, 400),
    losses: column(30, 400),
    share: fc.double({ min: 0.3, max: 0.9, noNaN: true }),
  })
  .map(({ speeds, gains, losses, share }): DriveLimits => {
    const sense = {
      speed: Float64Array.from(speeds),
      gain: Float64Array.from(gains),
      loss: Float64Array.from(losses),
    };
    return { spacing: travel / nodes, opening: sense, closing: sense, speedShare: share };
  });

const pointsArbitrary = fc.array(fc.double({ min: 0, max: travel, noNaN: true }), {
  minLength: 2,
  maxLength: 6,
});

describe("any schedule", () => {
  const step = 5e-3;
  const times = (values: readonly number[]) => values.map((_, k) => 0.3 * k);

  it("asks for no more than the drive can do, row by row", () => {
    fc.assert(
      fc.property(limitsArbitrary, pointsArbitrary, (limits, values) => {
        const wanted = historyThrough(times(values), values);
        const { angle } = made(wanted, step, limits, 20e-3);
        const { speed, acceleration } = demandOf(angle, step, limits);
        expect(speed).toBeLessThanOrEqual(1 + 1e-9);
        expect(acceleration).toBeLessThanOrEqual(1 + 1e-9);
      }),
      { numRuns: 100 },
    );
  });

  it("stays within what is wanted, begins and ends with it, and turns only where it turns", () => {
    fc.assert(
      fc.property(limitsArbitrary, pointsArbitrary, fc.boolean(), (limits, values, isSorted) => {
        const points = isSorted ? values.toSorted((a, b) => a - b) : values;
        const { angle } = made(historyThrough(times(points), points), step, limits, 20e-3);
        expect(angle[0]).toBe(points[0]);
        expect(angle.at(-1)).toBe(points.at(-1));
        const [low, high] = [Math.min(...points), Math.max(...points)];
        const isInside = angle.every((value) => value >= low - 1e-12 && value <= high + 1e-12);
        const isRising = angle.every((value, k) => value - (angle[k - 1] ?? value) >= -1e-12);
        expect(isInside).toBe(true);
        expect(isRising || !isSorted).toBe(true);
      }),
      { numRuns: 100 },
    );
  });
});
