import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type HeatingDuty,
  type MotorTemperatures,
  type MotorThermal,
  peakWindingTemperature,
  temperaturesAfter,
} from "../../../src/physics/drive/index.js";
import type {
  Energy,
  HeatCapacity,
  Power,
  Temperature,
  ThermalResistance,
  Time,
} from "../../../src/quantity/index.js";

const motor: MotorThermal = {
  windingHeatCapacity: 20 as HeatCapacity,
  caseHeatCapacity: 180 as HeatCapacity,
  windingToCase: 1.5 as ThermalResistance,
  caseToAmbient: 5 as ThermalResistance,
};
const ambient = 293 as Temperature;
const cold: MotorTemperatures = { winding: ambient, case: ambient };

/** The two equations in small classical Runge-Kutta steps. */
function integrated(
  thermal: MotorThermal,
  start: MotorTemperatures,
  T0: number,
  loss: number,
  duration: number,
) {
  const n = 4000;
  const h = duration / n;
  const rate = ([w, c]: readonly [number, number]): [number, number] => {
    const inner = (w - c) / thermal.windingToCase;
    return [
      (loss - inner) / thermal.windingHeatCapacity,
      (inner - (c - T0) / thermal.caseToAmbient) / thermal.caseHeatCapacity,
    ];
  };
  let y: [number, number] = [start.winding, start.case];
  const moved = (k: readonly [number, number], share: number): [number, number] => [
    y[0] + share * h * k[0],
    y[1] + share * h * k[1],
  ];
  for (let j = 0; j < n; j++) {
    const k1 = rate(y);
    const k2 = rate(moved(k1, 0.5));
    const k3 = rate(moved(k2, 0.5));
    const k4 = rate(moved(k3, 1));
    y = [
      y[0] + (h / 6) * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]),
      y[1] + (h / 6) * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]),
    ];
  }
  return y;
}

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const anyMotor: fc.Arbitrary<MotorThermal> = fc.record({
  windingHeatCapacity: number(1, 100).map((C) => C as HeatCapacity),
  caseHeatCapacity: number(1, 1000).map((C) => C as HeatCapacity),
  windingToCase: number(0.1, 10).map((R) => R as ThermalResistance),
  caseToAmbient: number(0.1, 20).map((R) => R as ThermalResistance),
});

describe("winding and motor body", () => {
  it("follow their two equations: closed solution against Runge-Kutta steps", () => {
    fc.assert(
      fc.property(
        anyMotor,
        number(250, 450),
        number(250, 450),
        number(0, 500),
        number(0.01, 300),
        (thermal, w, c, loss, t) => {
          // Steps of t/4000 are stable and exact to 1e-6 K while the fastest decay is slower than a step.
          fc.pre(t / 4000 < 0.05 * thermal.windingHeatCapacity * thermal.windingToCase);
          fc.pre(
            t / 4000 <
              0.05 * thermal.caseHeatCapacity * Math.min(thermal.windingToCase, thermal.caseToAmbient),
          );
          const start = { winding: w as Temperature, case: c as Temperature };
          const found = temperaturesAfter(thermal, start, ambient, loss as Power, t as Time);
          const [winding, body] = integrated(thermal, start, ambient, loss, t);
          expect(Math.abs(found.winding - winding)).toBeLessThan(1e-5);
          expect(Math.abs(found.case - body)).toBeLessThan(1e-5);
        },
      ),
      { numRuns: 60 },
    );
  });
  it("warm by energy over heat capacity in a short burst (adiabatic limit)", () => {
    const { winding, case: body } = temperaturesAfter(motor, cold, ambient, 4000 as Power, 0.05 as Time);
    // In 0.05 s of a 27 s time constant, 0.1 % leaves the winding.
    expect(Math.abs((winding - ambient) / ((4000 * 0.05) / 20) - 1)).toBeLessThan(2e-3);
    expect(body - ambient).toBeLessThan(0.02);
  });
  it("end at P R_ca and P (R_wc + R_ca) above the surroundings", () => {
    const { winding, case: body } = temperaturesAfter(motor, cold, ambient, 10 as Power, 1e6 as Time);
    expect(body).toBeCloseTo(ambient + 50, 9);
    expect(winding).toBeCloseTo(ambient + 65, 9);
  });
  it("come to the same by one stretch or by two", () => {
    fc.assert(
      fc.property(anyMotor, number(0, 500), number(0, 200), number(0, 200), (thermal, loss, t1, t2) => {
        const first = temperaturesAfter(thermal, cold, ambient, loss as Power, t1 as Time);
        const twice = temperaturesAfter(thermal, first, ambient, loss as Power, t2 as Time);
        const once = temperaturesAfter(thermal, cold, ambient, loss as Power, (t1 + t2) as Time);
        expect(Math.abs(twice.winding - once.winding)).toBeLessThan(1e-8);
        expect(Math.abs(twice.case - once.case)).toBeLessThan(1e-8);
      }),
    );
  });
});

describe("a loss that grows with the winding's resistance", () => {
  const g = 0.00393;
  it("insulated, the winding follows T = T0 + (exp(g P t / C) - 1)/g, the closed form of C T' = P (1 + g (T - T0))", () => {
    const alone = { ...motor, windingToCase: 1e9 as ThermalResistance };
    const { winding } = temperaturesAfter(alone, cold, ambient, 400 as Power, 10 as Time, g);
    const rise = (Math.exp((g * 400 * 10) / 20) - 1) / g;
    expect(Math.abs((winding - ambient) / rise - 1)).toBeLessThan(1e-6);
  });
  it("comes to rest where the heat carried away is the grown loss: T - T0 = P R / (1 - g P R), R = 1.5 + 5 K/W", () => {
    const { winding } = temperaturesAfter(motor, cold, ambient, 20 as Power, 1e6 as Time, g);
    expect(winding - ambient).toBeCloseTo((20 * 6.5) / (1 - g * 20 * 6.5), 6);
  });
  it("runs away above g P R = 1, and is finite and greater at every finite time", () => {
    const P = 1.2 / (g * 6.5);
    const at = (t: number) => temperaturesAfter(motor, cold, ambient, P as Power, t as Time, g).winding;
    expect(at(2000) - at(1000)).toBeGreaterThan(at(1000) - at(0));
    expect(Number.isFinite(at(2000))).toBe(true);
    const edge = temperaturesAfter(motor, cold, ambient, (1 / (g * 6.5)) as Power, 100 as Time, g).winding;
    expect(Number.isFinite(edge)).toBe(true);
    expect(edge).toBeLessThan(at(100));
  });
});

describe("highest winding temperature of a duty", () => {
  const duty: HeatingDuty = {
    strokeEnergy: 60 as Energy,
    strokeGrowth: 0,
    stallGrowth: 0,
    strokeTime: 0.4 as Time,
    stallLoss: 300 as Power,
    stallTime: 0.2 as Time,
    period: 8 as Time,
    count: 1,
  };
  const oneByOne = (thermal: MotorThermal, work: HeatingDuty, count: number) => {
    let now = cold;
    let peak = 0;
    for (let n = 0; n < count; n++) {
      const moved = temperaturesAfter(
        thermal,
        now,
        ambient,
        (work.strokeEnergy / work.strokeTime) as Power,
        work.strokeTime,
      );
      const held = temperaturesAfter(thermal, moved, ambient, work.stallLoss, work.stallTime);
      peak = Math.max(peak, moved.winding, held.winding);
      now = temperaturesAfter(
        thermal,
        held,
        ambient,
        0 as Power,
        (work.period - work.strokeTime - work.stallTime) as Time,
      );
    }
    return peak;
  };
  it("is a stroke's and its hold's heat over the heat capacity, for one stroke", () => {
    const rise = peakWindingTemperature(motor, cold, ambient, duty) - ambient;
    // 60 J + 60 J into 20 J/K; 2 % flow off into the body within 0.6 s.
    expect(rise).toBeLessThan(6);
    expect(rise).toBeGreaterThan(5.85);
  });
  it("is the same by doubling as stroke by stroke, for any count", () => {
    fc.assert(
      fc.property(anyMotor, fc.integer({ min: 1, max: 700 }), (thermal, count) => {
        const found = peakWindingTemperature(thermal, cold, ambient, { ...duty, count });
        expect(Math.abs(found - oneByOne(thermal, duty, count))).toBeLessThan(1e-6);
      }),
      { numRuns: 60 },
    );
  });
  it("nears that of the mean loss as the strokes go on for days", () => {
    const mean = (60 + 300 * 0.2) / 8;
    const steady = ambient + mean * (1.5 + 5);
    const found = peakWindingTemperature(motor, cold, ambient, { ...duty, count: 1e6 });
    // The ripple of one cycle lies on top: at most its own rise.
    expect(found).toBeGreaterThan(steady);
    expect(found).toBeLessThan(steady + 6);
  });
  it("takes at least one stroke, and strokes without pause where the period is too short", () => {
    expect(peakWindingTemperature(motor, cold, ambient, { ...duty, count: 0 })).toBe(
      peakWindingTemperature(motor, cold, ambient, duty),
    );
    const rushed = peakWindingTemperature(motor, cold, ambient, { ...duty, period: 0 as Time, count: 100 });
    expect(rushed).toBeGreaterThan(peakWindingTemperature(motor, cold, ambient, { ...duty, count: 100 }));
  });
});
