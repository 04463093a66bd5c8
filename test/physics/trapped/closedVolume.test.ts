import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type ClosedVolume,
  timeToPressure,
  trappedFluid,
  trappedStateAt,
  warmedPressure,
} from "../../../src/physics/trapped/index.js";
import type { Density, Power, Pressure, Temperature, Volume } from "../../../src/quantity/index.js";
import { fluid, homogeneousPressure, stateAtTemperatureDensity } from "../../../src/substance/index.js";

const oxygen = fluid("oxygen");
const closed = (changes: Partial<ClosedVolume> = {}): ClosedVolume => ({
  fluid: oxygen,
  volume: 30e-6 as Volume,
  pressure: 3.3e6 as Pressure,
  temperature: 90 as Temperature,
  fill: 1,
  wallStiffness: undefined,
  ...changes,
});

describe("oxygen filled at 90 K and 3.3 MPa, heated at constant volume (table computed from the equation of state [schmidt-wagner-1985] with an independent evaluator)", () => {
  it.each([
    [91, 5.5673],
    [92, 7.8214],
    [95, 14.507],
    [100, 25.416],
    [110, 46.48],
  ])("%d K: %d MPa", (T, p) => {
    const state = trappedStateAt(trappedFluid(closed()), (p * 1e6) as Pressure);
    // The table's last digit is worth 0.1 mK and more.
    expect(state?.T).toBeCloseTo(T, 3);
  });

  it("filled at 1.1 bar and taken to 293 K: 359.2 MPa, told to be beyond the published range", () => {
    const warm = warmedPressure(trappedFluid(closed({ pressure: 1.1e5 as Pressure })), 293 as Temperature);
    expect(warm.p / 1e6).toBeCloseTo(359.2, 0);
    expect(warm.isBeyond).toBe(true);
  });
});

it("rises as dp/dt = (beta q / (rho cp V)) / (kappa_s + 1/K), the differential form of the clock", () => {
  for (const wallStiffness of [undefined, 4e9]) {
    const trapped = trappedFluid(closed({ wallStiffness }));
    const dp = 1000;
    const state = trappedStateAt(trapped, (3.3e6 + dp) as Pressure);
    const density = (trapped.mass / 30e-6) as Density;
    const liquid = stateAtTemperatureDensity(oxygen, 90 as Temperature, density);
    if (liquid.phase === "two-phase") throw new Error("the cavity is full of liquid");
    const { rho, cp, w } = liquid;
    const slopes = homogeneousPressure(oxygen, 90 as Temperature, density);
    const beta = slopes.dpdT / (rho * slopes.dpdrho);
    const kappa = 1 / (rho * w * w) + (wallStiffness === undefined ? 0 : 1 / wallStiffness);
    const perHeat = beta / (rho * cp * 30e-6) / kappa;
    expect(dp / (state?.heat ?? Number.NaN) / perHeat).toBeCloseTo(1, 2);
  }
});

it("a volume half full ends as gas at the pressure of an ideal gas within its compressibility (common practice, no source: liquid oxygen grows some 800 times at ambient conditions)", () => {
  // Filled to 1/800 by volume of liquid, it is oxygen gas of about one atmosphere when warm.
  const warm = warmedPressure(
    trappedFluid(closed({ fill: 1 / 800, temperature: 90.2 as Temperature })),
    293 as Temperature,
  );
  // Liquid 1141/800 and vapour 4.5 kg/m3 over 1.33 kg/m3 at one atmosphere.
  expect(warm.p).toBeCloseTo((((1141.2 / 800 + 4.47) * 8.314462618) / 0.0319988) * 293, -4);
});

describe("properties", () => {
  const p = fc.double({ min: 34e5, max: 300e5, noNaN: true });
  const q = fc.double({ min: 0.1, max: 500, noNaN: true });
  it("more heat never means more time to a pressure", () => {
    const trapped = trappedFluid(closed({ wallStiffness: 5e9 }));
    fc.assert(
      fc.property(p, q, q, (to, one, other) => {
        const time = (heat: number) =>
          timeToPressure(trapped, to as Pressure, heat as Power, 293 as Temperature) ??
          Number.POSITIVE_INFINITY;
        expect(time(Math.max(one, other))).toBeLessThanOrEqual(time(Math.min(one, other)));
      }),
      { numRuns: 60 },
    );
  });

  it("a softer wall never means less time, a higher pressure never less", () => {
    fc.assert(
      fc.property(p, p, fc.double({ min: 1e9, max: 1e11, noNaN: true }), (one, other, K) => {
        const soft = trappedFluid(closed({ wallStiffness: K }));
        const rigid = trappedFluid(closed());
        const time = (of: typeof soft, to: number) =>
          timeToPressure(of, to as Pressure, 5 as Power, 400 as Temperature) ?? Number.POSITIVE_INFINITY;
        expect(time(soft, one)).toBeGreaterThanOrEqual(time(rigid, one) * (1 - 1e-9));
        expect(time(soft, Math.max(one, other))).toBeGreaterThanOrEqual(time(soft, Math.min(one, other)));
      }),
      { numRuns: 60 },
    );
  });

  it("the first law closes: heat equals the rise of internal energy plus the work on the wall", () => {
    fc.assert(
      fc.property(p, fc.double({ min: 2e9, max: 1e11, noNaN: true }), (to, K) => {
        const trapped = trappedFluid(closed({ wallStiffness: K }));
        const state = trappedStateAt(trapped, to as Pressure);
        // Work by a sum over 2000 steps of p dV, dV = V0 dp / K.
        const n = 2000;
        let work = 0;
        for (let j = 0; j < n; j++)
          work += (3.3e6 + ((j + 0.5) / n) * (to - 3.3e6)) * (30e-6 / K) * ((to - 3.3e6) / n);
        const rho = (trapped.mass / (30e-6 * (1 + (to - 3.3e6) / K))) as Density;
        const { u } = stateAtTemperatureDensity(oxygen, state?.T ?? (0 as Temperature), rho);
        expect((trapped.mass * (u - trapped.u0) + work) / (state?.heat ?? Number.NaN)).toBeCloseTo(1, 6);
      }),
      { numRuns: 25 },
    );
  });
});

it("refuses to shut in as liquid what is a gas", () => {
  expect(() =>
    trappedFluid(closed({ pressure: 1e5 as Pressure, temperature: 120 as Temperature })),
  ).toThrow();
});
