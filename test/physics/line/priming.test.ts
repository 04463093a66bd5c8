/** A front that fills an empty line, against closed forms of the rigid column and the nozzle. */
import { describe, expect, it } from "vitest";
import { type Filling, fill, flashed, nozzleFlow } from "../../../src/physics/line/index.js";
import type { Density, Pressure } from "../../../src/quantity/index.js";

const gas = { pressure: 10 as Pressure, gasConstant: 297, temperature: 290, exponent: 1, heatRatio: 1.4 };
const area = 8e-4;
const open: Filling = {
  supplyPressure: 1e6 as Pressure,
  inertance: 1 / area,
  resistance: 0,
  density: 1000 as Density,
  chokingPressure: -1e12 as Pressure,
  opening: () => ({ coefficient: 1e3, recovery: 1 }),
  pipes: [{ length: 2, area, resistance: 0 }],
  gas: { ...gas, exponent: 1e-9 },
  backPressure: 10 as Pressure,
  outletResistance: Number.POSITIVE_INFINITY,
  impedance: 1200 / area,
};

describe("a front under constant pressure", () => {
  it("without losses v^2 = 2 dp/rho x/(L + x), energy of the rigid column [wylie-streeter-1993, ch. 6]", () => {
    const { frontSpeed } = fill(open, 5);
    expect(frontSpeed).toBeCloseTo(Math.sqrt(((2 * (1e6 - 10)) / 1000) * (2 / 3)), 1);
  });

  it("is stopped by rho a v at a dead end", () => {
    const { frontSpeed, stopPressure, deadEndPressure } = fill(open, 5);
    expect(stopPressure).toBe(deadEndPressure);
    expect(stopPressure / (1000 * 1200 * frontSpeed)).toBeCloseTo(1, 4);
  });

  it("fills a short line in V rho / W of the steady flow, and an outlet that passes as much is not struck", () => {
    const R = 1e6 / 4;
    const filling: Filling = {
      ...open,
      inertance: 0,
      resistance: R / 2,
      pipes: [{ length: 2, area, resistance: 0 }],
      // The front's own head, W^2/(2 rho A^2), is what stands against the rest of the pressure.
    };
    const W = Math.sqrt((1e6 - 10) / (R / 2 + 1 / (2 * 1000 * area * area)));
    const { time, frontSpeed } = fill(filling, 10);
    expect(frontSpeed).toBeCloseTo(W / (1000 * area), 2);
    expect(time).toBeCloseTo((2 * area * 1000) / W, 2);
    const same = fill({ ...filling, outletResistance: 1e-9 * R }, 10);
    expect(same.stopPressure).toBeLessThan(2e4);
  });
});

describe("gas ahead", () => {
  it("shut in, is compressed once by the column's momentum: for no losses p_0 V ln(V/(V-x)) = p_s x, isothermal", () => {
    const p0 = 4e5;
    const ps = 1e6;
    const filling: Filling = {
      ...open,
      gas: { ...gas, pressure: p0 as Pressure },
      inertance: 30 / area,
      supplyPressure: ps as Pressure,
    };
    const { gasPressure, time } = fill(filling, 0.6);
    expect(time).toBeUndefined();
    // Root of -(p0/ps) ln(1 - s) = s, s the filled share at rest; the head of the front turns back in I(x).
    let s = 0.9;
    for (let n = 0; n < 200; n++) s = 1 - Math.exp((-s * ps) / p0);
    expect(gasPressure / (p0 / (1 - s))).toBeGreaterThan(0.9);
    expect(gasPressure / (p0 / (1 - s))).toBeLessThan(1.1);
  });

  it("leaves through holes as through a nozzle: 0.0404 p A / sqrt(T) of air when choked [shapiro-1953]", () => {
    const air = { ...gas, gasConstant: 287.05 };
    expect(nozzleFlow(1e6, 300, 1e5, air, 1e-4)).toBeCloseTo((0.0404 * 1e6 * 1e-4) / Math.sqrt(300), 3);
    expect(nozzleFlow(1e5, 300, 1e5, air, 1e-4)).toBe(0);
  });
});

describe("flashing", () => {
  it("is bounded by the heat of the liquid, and of the metal", () => {
    expect(flashed(-100e3, -120e3, 200e3, 50e3)).toEqual({ share: 0.1, byMetal: 0.25 });
    expect(flashed(-130e3, -120e3, 200e3, -1)).toEqual({ share: 0, byMetal: 0 });
  });
});
