/** Wave speed, rise and critical time against worked examples of the reference tables. */
import { describe, expect, it } from "vitest";
import {
  criticalTime,
  joukowskyRise,
  type PipeWall,
  shearDecay,
  unsteadyCoefficient,
  waveSpeed,
} from "../../../src/physics/line/index.js";
import type { Density, Length, Pressure, Speed, Stress } from "../../../src/quantity/index.js";

const wall = (D: number, e: number, E: number, nu: number, restraint: PipeWall["restraint"]): PipeWall => ({
  bore: D as Length,
  thickness: e as Length,
  modulus: E as Stress,
  poissonRatio: nu,
  restraint,
});

describe("wave speed [wylie-streeter-1993, ch. 1 and 2], worked independently", () => {
  const lox = { rho: 1149.1 as Density, c: 921 as Speed };
  const tube = wall(0.04276, 0.00277, 214e9, 0.28, "throughout");

  it("892.54 m/s of oxygen at 90 K in 48.3 x 2.77 mm, thin wall held throughout", () => {
    expect(waveSpeed(lox.rho, lox.c, tube, undefined, "thin")).toBeCloseTo(892.54, 1);
  });

  it("a thick wall yields 3 m/s more there: c1 = 2 e/D (1 + nu) + D/(D + e) (1 - nu^2) = 1.0313 of 0.9216", () => {
    const K = 1149.1 * 921 ** 2;
    expect(waveSpeed(lox.rho, lox.c, tube)).toBeCloseTo(
      921 / Math.sqrt(1 + (K / 214e9) * (0.04276 / 0.00277) * 1.0313),
      1,
    );
  });

  it("1078.8 m/s of water, K 2.19 GPa, in 0.5 m x 6 mm steel with expansion joints", () => {
    const c = Math.sqrt(2.19e9 / 1000) as Speed;
    expect(waveSpeed(1000 as Density, c, wall(0.5, 0.006, 207e9, 0.3, "joints"))).toBeCloseTo(1078.8, 0);
  });

  it("0.1 % of gas at 10 bar takes about a quarter of oxygen's and 38 % of water's, 1 % about 64 % of oxygen's: Wood's equation", () => {
    const slower = (rho: number, c: number, share: number, n: number) =>
      1 -
      waveSpeed(rho as Density, c as Speed, undefined, { share, pressure: 1e6 as Pressure, exponent: n }) / c;
    expect(slower(1141.2, 904.45, 0.001, 1.4)).toBeCloseTo(0.23, 1);
    expect(slower(998, 1482, 0.001, 1.4)).toBeCloseTo(0.38, 1);
    expect(slower(1141.2, 904.45, 0.01, 1.4)).toBeCloseTo(0.64, 1);
  });

  it("8 m/s of oxygen stopped at once raise 8.2046 MPa", () => {
    expect(joukowskyRise(1149.1 as Density, 892.54 as Speed, 8 as Speed)).toBeCloseTo(8.2046e6, -3);
  });

  it("2 L/a adds up over pipes", () => {
    const reach = (length: number, a: number) => ({ length: length as Length, waveSpeed: a as Speed });
    expect(criticalTime([reach(600, 1200), reach(10, 1000)])).toBeCloseTo(1.02, 12);
  });
});

describe("shear decay [vardy-brown-1996], form from memory", () => {
  it("0.00476 laminar, so k = 0.0345; 7.41/Re^kappa turbulent", () => {
    expect(unsteadyCoefficient(1870)).toBeCloseTo(0.0345, 4);
    // By hand: 10^5^0.05 = 1.7783, log10(14.3/1.7783) = 0.90535, 10^(5 x 0.90535) = 33637.
    expect(shearDecay(1e5)).toBeCloseTo(7.41 / 33637, 6);
  });
});
