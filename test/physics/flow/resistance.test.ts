import fc from "fast-check";
import { describe, expect, it } from "vitest";
import friction from "../../../data/defaults/turbulent-friction.json" with { type: "json" };
import {
  boreVelocity,
  circleArea,
  darcyFrictionFactor,
  flowCoefficientOfLoss,
  lossOfFlowCoefficient,
  openBallLoss,
  pipeLoss,
  reducedBoreLoss,
  resistanceAtDensity,
  resistanceOfDrop,
  resistanceOfLoss,
} from "../../../src/physics/flow/index.js";
import {
  type Area,
  type Density,
  type FlowCoefficient,
  type Length,
  type MassFlow,
  type PressureDifference,
  parseQuantity,
  type VolumeFlow,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-flow.json" with { type: "json" };

const length = (text: string) => parseQuantity(text, "length") as Length;
const coefficient = (text: string) => parseQuantity(text, "flow coefficient") as FlowCoefficient;
const half = (d: Length) => (d / 2) as Length;
const off = (x: number, expected: number) => Math.abs(x / expected - 1);
const table = friction.rows.map((row) => ({ size: length(`${row.size} mm`), factor: row.factor }));

const balls = reference["full-bore balls"];
it.each(balls.rows)("full-bore ball $bore: K = 3 f_T gives $C (Crane TP-410 A-26 to A-30)", (row) => {
  const bore = length(row.bore);
  const K = openBallLoss(table, bore);
  expect(K).toBeCloseTo(3 * row.fT, 12);
  expect(off(flowCoefficientOfLoss(K, circleArea(half(bore))), coefficient(row.C))).toBeLessThan(
    balls.tolerance.relative,
  );
});

it.each(reference["weisbach 45"].rows)(
  "K 31.2 of a 40 mm bore is 11.45 Kv (Weisbach 1855, 45 deg)",
  (row) => {
    const C = flowCoefficientOfLoss(row.K, circleArea(half(length(row.bore))));
    expect(off(C, coefficient(row.C))).toBeLessThan(reference["weisbach 45"].tolerance.relative);
  },
);

it.each(reference.colebrook.rows)("Colebrook 1939: Re $Re, e/D $roughness", (row) => {
  expect(off(darcyFrictionFactor(row.Re, row.roughness), row.f)).toBeLessThan(
    reference.colebrook.tolerance.relative,
  );
});

it.each(reference.trade.rows)("$id: ordinary velocity and drop (common practice, no source)", (row) => {
  const bore = length(row.bore);
  const A = circleArea(half(bore));
  const Q = parseQuantity(row.Q, "volume flow") as VolumeFlow;
  const v = boreVelocity(Q, half(bore));
  const C = flowCoefficientOfLoss(openBallLoss(table, bore), A);
  const drop = row.rho * (Q / C) ** 2;
  const [low, high] = row.drop.map((text) => parseQuantity(text, "pressure difference"));
  expect(v).toBeCloseTo(row.velocity, 1);
  expect(drop).toBeGreaterThan(low ?? Number.NaN);
  expect(drop).toBeLessThan(high ?? Number.NaN);
});

describe("identities", () => {
  const positive = (max: number) => fc.double({ min: 1e-6, max, noNaN: true });
  it("K and C are each other's inverse", () => {
    fc.assert(
      fc.property(positive(500), positive(0.1), (K, A) => {
        expect(off(lossOfFlowCoefficient(flowCoefficientOfLoss(K, A as Area), A as Area), K)).toBeLessThan(
          1e-12,
        );
      }),
    );
  });
  it("a resistance by K gives the drop K rho v^2 / 2", () => {
    fc.assert(
      fc.property(positive(500), positive(0.1), positive(1300), positive(50), (K, A, rho, W) => {
        const drop = resistanceOfLoss(K, A as Area, rho as Density) * W * W;
        expect(off(drop, (K * rho * (W / (rho * A)) ** 2) / 2)).toBeLessThan(1e-12);
      }),
    );
  });
  it("a resistance by drop gives that drop at that flow, half of it at twice the density", () => {
    const R = resistanceOfDrop(4e4 as PressureDifference, 3.8 as MassFlow);
    expect(R * 3.8 ** 2).toBeCloseTo(4e4, 8);
    const denser = resistanceAtDensity(R, 800 as Density, 1600 as Density);
    expect(denser * 3.8 ** 2).toBeCloseTo(2e4, 8);
  });
  it("the friction factor solves Colebrook's equation, from 4000 to 1e9 and any roughness", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 3.7, max: 9, noNaN: true }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        (logRe, roughness) => {
          const Re = 10 ** logRe;
          const x = 1 / Math.sqrt(darcyFrictionFactor(Re, roughness));
          const residual = x + 2 * Math.log10(roughness / 3.7 + (2.51 * x) / Re);
          expect(Math.abs(residual)).toBeLessThan(1e-12 * x + 1e-13);
        },
      ),
      { numRuns: 1000 },
    );
  });
  it("laminar friction is 64/Re (Hagen-Poiseuille)", () => {
    expect(darcyFrictionFactor(1000, 0.001)).toBe(0.064);
    expect(pipeLoss(0.02, 10 as Length, 0.05 as Length)).toBeCloseTo(4, 12);
  });
  it("a bore of the pipe's size has the port's own loss", () => {
    expect(reducedBoreLoss(0.06, 1, 0.5)).toBe(0.06);
    expect(reducedBoreLoss(0.06, 0.8, 0.5)).toBeGreaterThan(0.06 / 0.8 ** 4);
  });
  it("what lies outside the tables is refused with its bounds", () => {
    expect(() => openBallLoss(table, length("500 mm"))).toThrow(/500 mm.*15 mm to 300 mm/);
    expect(() => reducedBoreLoss(0.06, 0.8, 1)).toThrow(/57.3 deg/);
    expect(() => reducedBoreLoss(0.06, 1.2, 0.5)).toThrow(/1.2/);
    expect(() => flowCoefficientOfLoss(0, 1 as Area)).toThrow(/loss coefficient/);
  });
});
