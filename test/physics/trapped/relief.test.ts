import { expect, it } from "vitest";
import { gasReliefArea, liquidReliefArea, nozzleFunction } from "../../../src/physics/trapped/index.js";
import type { MassFlow, Pressure, Temperature, VolumeFlow } from "../../../src/quantity/index.js";

const psi = 6894.757293;
const inch2 = 0.0254 ** 2;
const gallonPerMinute = 3.785411784e-3 / 60;
const poundPerHour = 0.45359237 / 3600;
const gasConstant = 8.314462618;

it("API 520 Part I worked example, crude oil: 1800 gpm, G 0.9, 275 to 50 psig, Kd 0.65, Kw 0.97: 4.752 in2 [api-520-1-2014, 5.8; from memory]", () => {
  const area = liquidReliefArea(
    (1800 * gallonPerMinute) as VolumeFlow,
    // The standard's specific gravity counts from water at 60 degF.
    0.9 * 999.016,
    (275 * psi) as Pressure,
    (50 * psi) as Pressure,
    { Kd: 0.65, backPressure: 0.97 },
  );
  // Its constant 38 is rounded: 37.99 follows from the units.
  expect(area / inch2).toBeCloseTo(4.752, 2);
});

it("API 520 Part I worked example, hydrocarbon vapour: 53500 lb/h, M 51, 627 R, 97.2 psia, Z 0.9, k 1.11, Kd 0.975: 5.73 in2 [api-520-1-2014, 5.6; from memory]", () => {
  const area = gasReliefArea(
    (53_500 * poundPerHour) as MassFlow,
    {
      p1: (97.2 * psi) as Pressure,
      p2: (14.7 * psi) as Pressure,
      T: (627 / 1.8) as Temperature,
      specificGasConstant: gasConstant / 0.051,
      Z: 0.9,
      k: 1.11,
    },
    { Kd: 0.975 },
  );
  expect(area / inch2).toBeCloseTo(5.73, 2);
});

it("C = 328 for k = 1.11 in the units of API 520, 520 sqrt(...); 3.948 sqrt(...) in those of ISO 4126 [api-520-1-2014, 5.6; iso-4126-1-2013, gas; from memory]", () => {
  expect(520 * nozzleFunction(1.11, 0)).toBeCloseTo(328, 0);
  // kg/h, bar, mm2, K, kg/kmol: 3600 s/h * 1e5 Pa/bar * 1e-6 m2/mm2 * sqrt(1/(1000 R)).
  expect(3600 * 1e5 * 1e-6 * Math.sqrt(1 / (1000 * gasConstant))).toBeCloseTo(3.948, 3);
});

it("below critical flow the function is continuous and falls to nothing without a drop", () => {
  const critical = (2 / 2.4) ** (1.4 / 0.4);
  expect(nozzleFunction(1.4, critical + 1e-9)).toBeCloseTo(nozzleFunction(1.4, 0), 8);
  expect(nozzleFunction(1.4, 1)).toBe(0);
});
