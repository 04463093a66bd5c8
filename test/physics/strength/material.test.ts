/** What a metal bears: in shear, in fatigue, with a flaw. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  allowedShear,
  fatigueStrength,
  goodmanFactor,
  shearMargin,
  shearYield,
  sizeFactor,
  stressIntensity,
  surfaceFactor,
  swing,
} from "../../../src/physics/strength/index.js";
import type { Length, Stress } from "../../../src/quantity/index.js";

const MPa = (value: number) => (value * 1e6) as Stress;
const mm = (value: number) => (value * 1e-3) as Length;

it("steel of 65 ksi yields in shear at 37.5 ksi [budynas-nisbett-2011, example 7-6; from memory]", () => {
  expect(shearYield(65 as Stress)).toBeCloseTo(37.5, 1);
});

describe("margin in shear", () => {
  const demand = {
    yieldStrength: MPa(300),
    ultimateStrength: MPa(400),
    ultimateShare: 0.75,
    yieldFactor: 1.5,
    ultimateFactor: 2.5,
  };

  it("the lesser of yield and ultimate decides: 300/sqrt(3)/1.5 = 115.5, 0.75 x 400/2.5 = 120 MPa", () => {
    expect(allowedShear(demand) / 1e6).toBeCloseTo(115.47, 2);
    expect(allowedShear({ ...demand, ultimateStrength: MPa(360) }) / 1e6).toBeCloseTo(108, 9);
    expect(shearMargin({ ...demand, stress: MPa(115.47) })).toBeCloseTo(0, 4);
    expect(shearMargin({ ...demand, stress: MPa(0) })).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("fatigue", () => {
  it("S_ut 1226 MPa machined, 22 mm: k_a 0.685, k_b 0.893, S_e 375 MPa [budynas-nisbett-2011, problem 7-2, solution looked up]", () => {
    const [a, b] = [surfaceFactor("machined", MPa(1226)), sizeFactor(mm(22))];
    expect(a).toBeCloseTo(0.685, 3);
    expect(b).toBeCloseTo(0.893, 3);
    expect(a * b * 0.5 * 1226).toBeCloseTo(375, 0);
  });

  it("S_ut 68 ksi machined: k_a 0.883 [budynas-nisbett-2011, chapter 7, solution looked up]", () => {
    expect(surfaceFactor("machined", MPa(68 * 6.894_757))).toBeCloseTo(0.883, 2);
  });

  it("S_ut 90 ksi, S_e 45 ksi: 1e4 cycles at 63.9 ksi with f = 0.9: a = 145.8 ksi, b = -0.0851 [budynas-nisbett-2011, eqs. 6-14, 6-15]", () => {
    const at = (cycles: number) => fatigueStrength(90 as Stress, 45 as Stress, cycles);
    expect(at(1e4)).toBeCloseTo(145.8 * 1e4 ** -0.0851, 1);
    expect(at(1e3)).toBeCloseTo(81, 6);
    expect(at(1e6)).toBeCloseTo(45, 6);
    expect(at(1e9)).toBe(45);
    expect(at(1)).toBe(90);
  });

  it("A 2920, B 2391 lbf in on 1.073 in, S_e 30, S_ut 100 ksi: factor 2 on Goodman's line [budynas-nisbett-2011, problem 7-1(d), solution looked up]", () => {
    const stress = (moment: number) => ((16 * moment) / (Math.PI * 1.073 ** 3)) as Stress;
    expect(goodmanFactor(stress(2920), stress(2391), 30e3 as Stress, 100e3 as Stress)).toBeCloseTo(2, 2);
  });

  it("a torque that turns round has no mean, one that comes and goes half of each", () => {
    const round = swing(MPa(100), MPa(-100), 1);
    expect([round.amplitude / 1e6, round.mean]).toEqual([100 * Math.sqrt(3), 0]);
    const pulsing = swing(MPa(100), MPa(0), 2);
    expect(pulsing.amplitude).toBeCloseTo(pulsing.mean, 3);
    expect(pulsing.amplitude / 1e6).toBeCloseTo(100 * Math.sqrt(3), 9);
  });

  it("more cycles never bear more, and more swing never has a greater factor", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 7, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 0.6, noNaN: true }),
        (decades, further, ratio) => {
          const at = (exponent: number) =>
            fatigueStrength(MPa(900), MPa(900 * ratio), 10 ** exponent) * (1 - 1e-12);
          expect(at(decades + further)).toBeLessThanOrEqual(at(decades) * (1 + 1e-9));
        },
      ),
    );
    expect(goodmanFactor(MPa(200), MPa(50), MPa(300), MPa(900))).toBeLessThan(
      goodmanFactor(MPa(100), MPa(50), MPa(300), MPa(900)),
    );
  });
});

describe("flaw", () => {
  it("a long flaw of 1 mm at 100 MPa: 1.12 x 100 x sqrt(pi 0.001) = 6.28 MPa sqrt(m) [anderson-2005, edge crack]", () => {
    const long = stressIntensity(MPa(100), { depth: mm(1), length: Number.POSITIVE_INFINITY as Length });
    expect(long / 1e6).toBeCloseTo(6.28, 2);
  });

  it("half a circle has 2/pi of it, to the 0.2 % of the shape factor [anderson-2005, sec. 2.6]", () => {
    const half = stressIntensity(MPa(100), { depth: mm(1), length: mm(2) });
    const long = stressIntensity(MPa(100), { depth: mm(1), length: Number.POSITIVE_INFINITY as Length });
    expect(half / long).toBeCloseTo(2 / Math.PI, 2);
    expect(stressIntensity(MPa(100), { depth: mm(1), length: mm(0.5) })).toBe(half);
  });
});
