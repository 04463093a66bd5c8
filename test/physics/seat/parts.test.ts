import fc from "fast-check";
import { describe, expect, it } from "vitest";
import dwellData from "../../../data/defaults/dwell.json" with { type: "json" };
import {
  type AxialStiffness,
  bearingTorque,
  collarFrictionRadius,
  dwellFactor,
  frictionAtSpeed,
  hydrodynamicTorque,
  packingRadialStress,
  packingTorque,
  seatPreload,
  stemForce,
  stribeckFactor,
  thrustTorque,
  torqueCoefficientCurve,
  trunnionLoad,
  trunnionSeatLoads,
} from "../../../src/physics/seat/index.js";
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  Force,
  Length,
  PressureDifference,
  Time,
  Torque,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-torque.json" with { type: "json" };

const off = (x: number, expected: number) => Math.abs(x / expected - 1);

it("packing of 14 mm stem, 18 mm high, 7 MPa radial, mu 0.08: stuffing-box equation by hand", () => {
  const row = reference.packing;
  const T = packingTorque(row.mu, row.d as Length, row.L as Length, row.sigma as PressureDifference);
  expect(off(T, row.T)).toBeLessThan(row.tolerance.relative);
  expect(packingTorque(0, row.d as Length, row.L as Length, row.sigma as PressureDifference)).toBe(0);
});

it("packing stress follows the pressure above 3.33 MPa and is 5 MPa axial below: common practice", () => {
  expect(packingRadialStress(0.6, 1e6 as PressureDifference)).toBe(3e6);
  expect(packingRadialStress(0.6, 6e6 as PressureDifference)).toBeCloseTo(5.4e6, 3);
});

it("hydrodynamic torque of C_T 0.05, 6 bar, 40 mm: AWWA M49 form by hand, closing from either side", () => {
  const row = reference.hydrodynamic;
  const T = hydrodynamicTorque(row.CT, row.dp as PressureDifference, row.D as Length);
  expect(off(T, row.T)).toBeLessThan(row.tolerance.relative);
  expect(T > 0 ? "closing" : "opening").toBe(row.sense);
  expect(hydrodynamicTorque(row.CT, -row.dp as PressureDifference, row.D as Length)).toBe(T);
});

describe("thrust collar (Shigley, disc friction)", () => {
  const ring = { outerRadius: 0.01 as Length, innerRadius: 0.006 as Length };
  it("new 2/3 (ro^3 - ri^3)/(ro^2 - ri^2) = 8.1667 mm and worn (ro + ri)/2 = 8 mm for 10 and 6 mm", () => {
    expect(collarFrictionRadius({ ...ring, condition: "new" })).toBeCloseTo(0.0081667, 7);
    expect(collarFrictionRadius({ ...ring, condition: "worn" })).toBeCloseTo(0.008, 12);
  });
  it("the new collar's radius is the mean of its area, by summing rings", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.95, noNaN: true }), (ratio) => {
        const [ro, ri] = [0.01, 0.01 * ratio];
        const steps = 4000;
        let [moment, area] = [0, 0];
        for (let i = 0; i < steps; i++) {
          const r = ri + ((i + 0.5) / steps) * (ro - ri);
          moment += r * r;
          area += r;
        }
        const collar = { outerRadius: ro as Length, innerRadius: ri as Length, condition: "new" as const };
        expect(off(collarFrictionRadius(collar), moment / area)).toBeLessThan(1e-6);
      }),
    );
  });
  it("force is pressure times stem section, and torque its product with radius and friction", () => {
    expect(stemForce(0.014 as Length, 3e6 as PressureDifference)).toBeCloseTo(461.8, 1);
    const collar = { ...ring, condition: "worn" as const, friction: 0.1, stemDiameter: 0.014 as Length };
    expect(thrustTorque(collar, 3e6 as PressureDifference)).toBeCloseTo(0.1 * 461.814 * 0.008, 5);
  });
  it("a ring turned inside out is refused", () => {
    const swapped = { outerRadius: 0.006 as Length, innerRadius: 0.01 as Length, condition: "new" as const };
    expect(() => collarFrictionRadius(swapped)).toThrow(/10 mm is not below/);
  });
});

it("journal bearing mu F d/2: 0.15 x 2000 N x 7 mm = 2.1 N m", () => {
  expect(bearingTorque(0.15, 2000 as Force, 0.014 as Length)).toBeCloseTo(2.1, 12);
});

describe("trunnion ball, seal radius 25 mm, contact radius 20 mm, 3 MPa, spring 400 N", () => {
  const support = {
    kind: "trunnion" as const,
    sealRadius: 0.025 as Length,
    pressurisedSeats: 1 as 1 | 2,
    journalDiameter: 0.02 as Length,
    journalFriction: 0.1,
  };
  const drop = 3e6 as PressureDifference;
  it("bearings carry pi/4 D_seal^2 dp = 5890 N, the pressed seat 400 + 2121 N", () => {
    expect(trunnionLoad(support, drop)).toBeCloseTo(5890.5, 1);
    const loads = trunnionSeatLoads(support, 0.02 as Length, drop, 400 as Force);
    expect(loads.highPressureSide).toBeCloseTo(2520.6, 1);
    expect(loads.lowPressureSide).toBe(400);
  });
  it("double piston effect presses both", () => {
    const loads = trunnionSeatLoads({ ...support, pressurisedSeats: 2 }, 0.02 as Length, drop, 400 as Force);
    expect(loads.lowPressureSide).toBe(loads.highPressureSide);
  });
});

describe("dwell", () => {
  const table = dwellData.rows.map((row) => ({ dwell: row.dwell as Time, factor: row.factor }));
  const factor = (seconds: number) => dwellFactor(table, seconds as Time).factor;
  it("is 1.0 after minutes, 1.2 after hours, 1.5 after days: common practice, no source", () => {
    expect(factor(0)).toBe(1);
    expect(factor(60)).toBe(1);
    expect(factor(3600)).toBeCloseTo(1.2, 12);
    expect(factor(86_400)).toBeCloseTo(1.5, 12);
  });
  it("is linear in the logarithm of time between them", () => {
    expect(factor(Math.sqrt(3600 * 86_400))).toBeCloseTo(1.35, 12);
  });
  it("holds beyond the table with a notice of how far beyond", () => {
    const week = dwellFactor(table, 604_800 as Time);
    expect(week.factor).toBe(1.5);
    expect(week.notices[0]?.code).toBe("dwell-extrapolated");
    expect(week.notices[0]?.text).toContain("7.00 times");
    expect(dwellFactor(table, 86_400 as Time).notices).toEqual([]);
  });
  it("a table out of order, and a negative dwell, are refused", () => {
    expect(() => dwellFactor([...table].reverse(), 1 as Time)).toThrow(/out of order/);
    expect(() => dwellFactor(table, -1 as Time)).toThrow(/dwell is/);
  });
});

describe("Stribeck fall", () => {
  const fall = { speed: 0.1 as AngularSpeed, exponent: 1 };
  it("goes from the ratio at rest, by 1/e at the Stribeck speed, to running", () => {
    expect(stribeckFactor(fall, 1.6, 0 as AngularSpeed)).toBe(1.6);
    expect(stribeckFactor(fall, 1.6, 0.1 as AngularSpeed)).toBeCloseTo(1 + 0.6 / Math.E, 12);
    expect(stribeckFactor(fall, 1.6, 100 as AngularSpeed)).toBe(1);
    expect(stribeckFactor("none", 1.6, 0 as AngularSpeed)).toBe(1.6);
    expect(stribeckFactor("none", 1.6, 1e-9 as AngularSpeed)).toBe(1);
  });
  it("is even in speed, never below running, and the viscous part adds to it", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -10, max: 10, noNaN: true }),
        fc.double({ min: 1, max: 3, noNaN: true }),
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        (w, ratio, exponent) => {
          const drop = { speed: 0.1 as AngularSpeed, exponent };
          const b = 0.3 as AngularDamping;
          const T = frictionAtSpeed(4 as Torque, drop, ratio, b, w as AngularSpeed);
          expect(frictionAtSpeed(4 as Torque, drop, ratio, b, -w as AngularSpeed)).toBe(T);
          expect(T).toBeGreaterThanOrEqual(4 + 0.3 * Math.abs(w) - 1e-12);
          expect(T).toBeLessThanOrEqual(4 * ratio + 0.3 * Math.abs(w) + 1e-12);
        },
      ),
    );
  });
});

describe("preload", () => {
  it("is stiffness times interference, and none once a gap has opened", () => {
    expect(seatPreload(5e6 as AxialStiffness, 1e-4 as Length)).toBeCloseTo(500, 9);
    expect(seatPreload(5e6 as AxialStiffness, -1e-4 as Length)).toBe(0);
  });
});

describe("torque coefficient curve", () => {
  const points = [0, 0.5, 1, 1.5].map((angle, i) => ({
    angle: angle as Angle,
    coefficient: [0, 0.03, 0.08, 0][i] ?? 0,
  }));
  const curve = torqueCoefficientCurve(points);
  it("passes through its points and does not overshoot", () => {
    for (const point of points) expect(curve(point.angle)).toBeCloseTo(point.coefficient, 12);
    for (let angle = 0; angle <= 1.6; angle += 0.01) {
      expect(curve(angle as Angle)).toBeGreaterThanOrEqual(0);
      expect(curve(angle as Angle)).toBeLessThanOrEqual(0.08);
    }
  });
  it("refuses openings out of order", () => {
    expect(() => torqueCoefficientCurve([...points].reverse())).toThrow(/does not follow row 1/);
  });
});
