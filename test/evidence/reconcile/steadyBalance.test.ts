/** Current and time over the opening where the forces balance: closed form of an even load, slopes by differences. */
import { describe, expect, it } from "vitest";
import { SteadyBalance } from "../../../src/evidence/reconcile/steadyBalance.js";
import {
  firstConstant,
  firstCurve,
  firstFriction,
  places,
  type SteadyLayout,
} from "../../../src/evidence/reconcile/steadyBase.js";

const nodes = 6;
const layout: SteadyLayout = { frictions: 2, constants: 1, nodes, step: 0.3, offsets: [0.01, 0.02] };
const first = firstCurve(layout);

/** Logarithms of the numbers, and curves that change with the opening by a share. */
function baseOf(uneven: number): Float64Array {
  const base = new Float64Array(first + 3 * nodes);
  base[places.stallTorque] = Math.log(2);
  base[places.loadShare] = Math.log(0.004);
  base[places.slope] = Math.log(0.5);
  base[places.freeCurrent] = Math.log(20);
  base[places.currentPerSpeed] = Math.log(4);
  base[places.perDrop] = Math.log(2e-5);
  base[places.perGauge] = Math.log(1e-5);
  base[firstFriction] = Math.log(0.05 + 0.01);
  base[firstFriction + 1] = Math.log(0.15 + 0.02);
  base[firstConstant(layout)] = Math.log(60);
  for (let m = 0; m < nodes; m++) {
    const share = 1 + uneven * Math.cos(1 + 2 * m);
    base[first + m] = 1e6 * share;
    base[first + nodes + m] = 2e6 * share;
    base[first + 2 * nodes + m] = 5 * share;
  }
  return base;
}

describe("a steady stroke", () => {
  it("against an even load: the balance by hand", () => {
    const balance = new SteadyBalance(layout);
    balance.set(baseOf(0));
    // 60 + 20 + 20 + 5 N m at the stem; 2 - 0.2 - 0.42 N m left for 0.5 N m s/rad.
    const w = (2 - 0.2 - 0.004 * 105) / 0.5;
    for (let m = 0; m < nodes; m++) {
      expect(balance.current[m]).toBeCloseTo(20 - 4 * w, 10);
      expect(balance.time[m]).toBeCloseTo((0.3 * m) / w, 10);
    }
  });

  it("a load that would stall it is passed at a twentieth of the free speed", () => {
    const balance = new SteadyBalance(layout);
    const base = baseOf(0);
    base[firstConstant(layout)] = Math.log(6000);
    balance.set(base);
    expect(balance.time[nodes - 1]).toBeCloseTo((0.3 * (nodes - 1)) / (0.05 * 5), 10);
  });

  it("its slopes are its own central differences", () => {
    const balance = new SteadyBalance(layout);
    const toCurrent = Float64Array.from({ length: nodes }, (_, m) => Math.sin(1 + m));
    const toTime = Float64Array.from({ length: nodes }, (_, m) => Math.cos(2 + 3 * m));
    const at = (base: Float64Array): number => {
      balance.set(base);
      let sum = 0;
      for (let m = 0; m < nodes; m++)
        sum += (toCurrent[m] ?? 0) * (balance.current[m] ?? 0) + (toTime[m] ?? 0) * (balance.time[m] ?? 0);
      return sum;
    };
    for (const constant of [60, 395]) {
      const base = baseOf(0.4);
      base[firstConstant(layout)] = Math.log(constant);
      const slope = new Float64Array(base.length);
      at(base);
      balance.addSlopes(toCurrent, toTime, slope);
      base.forEach((value, q) => {
        const h = 1e-6 * Math.max(1, Math.abs(value));
        const [above, below] = [h, -h].map((by) => {
          const moved = base.slice();
          moved[q] = value + by;
          return at(moved);
        });
        const found = ((above ?? 0) - (below ?? 0)) / (2 * h);
        expect(Math.abs((slope[q] ?? 0) - found)).toBeLessThan(1e-5 * Math.max(1e-3, Math.abs(found)) + 1e-9);
      });
    }
  });
});
