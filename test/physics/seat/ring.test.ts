import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  angularSpeedOfSliding,
  floatingSeatLoads,
  handbookSeatTorque,
  ringLever,
  ringSeatTorque,
} from "../../../src/physics/seat/index.js";
import type { Force, Length, PressureDifference, Speed } from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-torque.json" with { type: "json" };

const off = (x: number, expected: number) => Math.abs(x / expected - 1);

describe("floating ball R 32 mm, seat r 22 mm, 33 bar, mu 0.08: seat load and torque by hand", () => {
  const row = reference["seat-torque-floating"];
  const { relative } = row.tolerance;
  const loads = floatingSeatLoads(row.r as Length, row.dp as PressureDifference, 0 as Force, 1);
  it("load of the seat at the lower pressure", () => {
    expect(off(loads.lowPressureSide, row.F)).toBeLessThan(relative);
    expect(loads.highPressureSide).toBe(0);
  });
  it("exact torque", () => {
    const T = ringSeatTorque(row.mu, loads.lowPressureSide, row.R as Length, row.r as Length);
    expect(off(T, row.exact)).toBeLessThan(relative);
  });
  it("handbook torque", () => {
    const T = handbookSeatTorque(row.mu, loads.lowPressureSide, row.R as Length, row.r as Length);
    expect(off(T, row.handbook)).toBeLessThan(relative);
  });
});

it.each(reference["ring seat"].rows)(
  "handbook form lies $handbookBelow_pct % below the exact at r/R = $ratio",
  (row) => {
    const [R, r] = [1 as Length, row.ratio as Length];
    const below = 100 * (1 - handbookSeatTorque(1, 1 as Force, R, r) / ringSeatTorque(1, 1 as Force, R, r));
    // Half a unit of the last printed digit.
    expect(Math.abs(below - row.handbookBelow_pct)).toBeLessThan(row.handbookBelow_pct < 0.2 ? 0.005 : 0.05);
  },
);

const anyRing = fc.record({
  R: fc.double({ min: 0.005, max: 0.2, noNaN: true }),
  ratio: fc.double({ min: 0.01, max: 0.95, noNaN: true }),
});

describe("ring seat", () => {
  it("the lever is the mean distance of ring friction from the stem axis, by summing round the ring", () => {
    fc.assert(
      fc.property(anyRing, ({ R, ratio }) => {
        // A point of the ring, pipe along x, stem along z; sliding is around z, friction against it.
        const r = R * ratio;
        const x = Math.sqrt(R * R - r * r);
        const steps = 400;
        let sum = 0;
        for (let i = 0; i < steps; i++) {
          const y = r * Math.cos((2 * Math.PI * (i + 0.5)) / steps);
          sum += Math.hypot(x, y);
        }
        const normalPerAxial = R / x;
        expect(off(ringLever(R as Length, r as Length), normalPerAxial * (sum / steps))).toBeLessThan(1e-9);
      }),
    );
  });
  it("torque is linear in friction and load, and zero without friction", () => {
    fc.assert(
      fc.property(anyRing, ({ R, ratio }) => {
        const [ball, ring] = [R as Length, (R * ratio) as Length];
        const one = ringSeatTorque(0.1, 1000 as Force, ball, ring);
        expect(ringSeatTorque(0, 1000 as Force, ball, ring)).toBe(0);
        expect(off(ringSeatTorque(0.3, 2000 as Force, ball, ring), 6 * one)).toBeLessThan(1e-12);
        expect(handbookSeatTorque(0.1, 1000 as Force, ball, ring)).toBeLessThanOrEqual(one * (1 + 1e-12));
      }),
    );
  });
  it("a small ring rubs at the ball's radius", () => {
    expect(ringLever(0.03 as Length, 1e-5 as Length)).toBeCloseTo(0.03, 8);
  });
  it("the mean sliding speed at the angular speed of sliding is the given one", () => {
    const [R, r, v] = [0.03, 0.02, 0.001];
    const steps = 1000;
    let lever = 0;
    for (let i = 0; i < steps; i++) {
      lever += Math.hypot(Math.sqrt(R * R - r * r), r * Math.cos((2 * Math.PI * (i + 0.5)) / steps)) / steps;
    }
    expect(angularSpeedOfSliding(v as Speed, R as Length, r as Length) * lever).toBeCloseTo(v, 12);
  });
  it("a contact circle off the ball is refused, as are negative friction and load", () => {
    expect(() => ringLever(0.03 as Length, 0.03 as Length)).toThrow(/30 mm is not below/);
    expect(() => ringSeatTorque(-0.1, 1 as Force, 0.03 as Length, 0.02 as Length)).toThrow(/-0.1/);
    expect(() => ringSeatTorque(0.1, -1 as Force, 0.03 as Length, 0.02 as Length)).toThrow(/seat load/);
  });
});
