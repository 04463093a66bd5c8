import { describe, expect, it } from "vitest";
import {
  type Contributor,
  coverageFactorFor,
  mean,
  numericalTolerance,
  pearson,
  propagate,
  propagateByMonteCarlo,
  secondOrderUncertainty,
  standardDeviation,
  straightLine,
} from "../../src/numerics/index.js";
import { refusalOf } from "../host/refusal.js";

/** Rows of the guides' worked examples, from memory; those of H.2 were recomputed from its data. */

describe("JCGM 100:2008, H.1, end gauge (figures from memory)", () => {
  // l = ls + d - ls (dalpha theta + alpha dtheta), nm and degC; 1e6 / degC.
  const contributors: readonly Contributor[] = [
    { name: "l_S", value: 50_000_623, standardUncertainty: 25, degreesOfFreedom: 18 },
    { name: "d", value: 215, standardUncertainty: 9.7, degreesOfFreedom: 25.6 },
    { name: "alpha_S", value: 11.5e-6, standardUncertainty: 1.2e-6 },
    { name: "theta", value: -0.1, standardUncertainty: 0.41 },
    { name: "delta alpha", value: 0, standardUncertainty: 0.58e-6, degreesOfFreedom: 50 },
    { name: "delta theta", value: 0, standardUncertainty: 0.029, degreesOfFreedom: 2 },
  ];
  const length = ([ls = 0, d = 0, alpha = 0, theta = 0, dAlpha = 0, dTheta = 0]: ArrayLike<number> &
    Iterable<number>) => ls + d - ls * (dAlpha * theta + alpha * dTheta);
  const result = propagate((x) => length(x), contributors);

  it("gives 50 000 838 nm with 32 nm", () => {
    expect(Math.round(result.value)).toBe(50_000_838);
    expect(Math.round(result.standardUncertainty)).toBe(32);
  });

  it.each([
    ["l_S", 25],
    ["d", 9.7],
    ["alpha_S", 0],
    ["theta", 0],
    ["delta alpha", 2.9],
    ["delta theta", 16.6],
  ])("contribution of %s: %d nm", (name, expected) => {
    const found = result.contributions.find((one) => one.name === name)?.uncertainty ?? Number.NaN;
    expect(Math.abs(found - expected)).toBeLessThan(0.1);
  });

  it("has 16 effective degrees of freedom and U99 = 93 nm with k = 2.92", () => {
    expect(Math.floor(result.degreesOfFreedom)).toBe(16);
    const k = coverageFactorFor(0.99, result.degreesOfFreedom);
    expect(k).toBeCloseTo(2.92, 2);
    expect(Math.round(k * 32)).toBe(93);
  });

  it("gives 34 nm with the terms of second order", () => {
    expect(Math.round(secondOrderUncertainty((x) => length(x), contributors))).toBe(34);
  });
});

describe("JCGM 100:2008, H.2, resistance and reactance from correlated readings", () => {
  const V = [5.007, 4.994, 5.005, 4.99, 4.999];
  const I = [19.663, 19.639, 19.64, 19.685, 19.678].map((mA) => mA * 1e-3);
  const phi = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const readings = [V, I, phi];
  const contributors = readings.map((values, i) => ({
    name: ["V", "I", "phi"][i] ?? "",
    value: mean(values),
    standardUncertainty: standardDeviation(values) / Math.sqrt(values.length),
  }));
  const r = (a: number, b: number) => pearson(readings[a] ?? [], readings[b] ?? []) ?? 0;
  const correlations = [
    { first: 0, second: 1, r: r(0, 1) },
    { first: 0, second: 2, r: r(0, 2) },
    { first: 1, second: 2, r: r(1, 2) },
  ];

  it("correlates -0.36, 0.86, -0.65", () => {
    expect(correlations.map((one) => Number(one.r.toFixed(2)))).toEqual([-0.36, 0.86, -0.65]);
  });

  it.each([
    ["R", (v: number, i: number, p: number) => (v / i) * Math.cos(p), 127.732, 0.071],
    ["X", (v: number, i: number, p: number) => (v / i) * Math.sin(p), 219.847, 0.295],
    ["Z", (v: number, i: number) => v / i, 254.26, 0.236],
  ] as const)("%s", (_, f, value, u) => {
    const found = propagate((x) => f(x[0] ?? 0, x[1] ?? 0, x[2] ?? 0), contributors, correlations);
    expect(Math.abs(found.value - value)).toBeLessThan(0.0006);
    expect(Math.abs(found.standardUncertainty - u)).toBeLessThan(0.0006);
    const drawn = propagateByMonteCarlo((x) => f(x[0] ?? 0, x[1] ?? 0, x[2] ?? 0), contributors, {
      trials: 50_000,
      seed: 9,
      coverage: 0.95,
      correlations,
    });
    // A deviation of 50 000 draws is known to 1 in 300.
    expect(Math.abs(drawn.standardUncertainty / u - 1)).toBeLessThan(0.02);
  });
});

describe("JCGM 100:2008, H.3, calibration of a thermometer (data from memory)", () => {
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
  const line = straightLine(t, b, 20);

  it("y1 = -0.1712, s 0.0029; y2 = 0.00218, s 0.00067; r = -0.930; s = 0.0035", () => {
    expect(line.intercept).toBeCloseTo(-0.1712, 4);
    expect(line.interceptUncertainty).toBeCloseTo(0.0029, 4);
    expect(line.slope).toBeCloseTo(0.00218, 5);
    expect(line.slopeUncertainty).toBeCloseTo(0.00067, 5);
    expect(line.correlation).toBeCloseTo(-0.93, 3);
    expect(line.scatter).toBeCloseTo(0.0035, 4);
    expect(line.degreesOfFreedom).toBe(9);
  });

  it("the correction at 30 degC is -0.1494 degC with 0.0041 degC", () => {
    const found = propagate(
      (x) => (x[0] ?? 0) + (x[1] ?? 0) * (30 - 20),
      [
        { name: "y1", value: line.intercept, standardUncertainty: line.interceptUncertainty },
        { name: "y2", value: line.slope, standardUncertainty: line.slopeUncertainty },
      ],
      [{ first: 0, second: 1, r: line.correlation }],
    );
    expect(found.value).toBeCloseTo(-0.1494, 4);
    expect(found.standardUncertainty).toBeCloseTo(0.0041, 4);
  });
});

const sum = (x: Float64Array) => x.reduce((a, b) => a + b, 0);
const trials = 200_000;

describe("JCGM 101:2008, 9.2, additive model", () => {
  const four = (law: "normal" | "uniform", last = 1): readonly Contributor[] =>
    [1, 1, 1, last].map((u, i) => ({ name: `X${i + 1}`, value: 0, standardUncertainty: u, law }));

  it("four normal laws: u = 2.00, 95 % within 3.92", () => {
    const found = propagateByMonteCarlo(sum, four("normal"), { trials, seed: 1, coverage: 0.95 });
    // Two digits after the point as printed; the end of an interval scatters by some 0.01 at 2e5 draws.
    expect(Math.abs(found.standardUncertainty - 2)).toBeLessThan(0.015);
    for (const end of [...found.symmetric, ...found.shortest])
      expect(Math.abs(Math.abs(end) - 3.92)).toBeLessThan(0.06);
  });

  it("four uniform laws: 95 % within 2 sqrt(3) (2 - (3/5)^(1/4)) = 3.88", () => {
    const exact = 2 * Math.sqrt(3) * (2 - 0.6 ** 0.25);
    expect(exact).toBeCloseTo(3.88, 2);
    const found = propagateByMonteCarlo(sum, four("uniform"), { trials, seed: 2, coverage: 0.95 });
    for (const end of found.symmetric) expect(Math.abs(Math.abs(end) - exact)).toBeLessThan(0.03);
  });

  it("one uniform law ten times the others: GUM 19.9, Monte Carlo 17.0", () => {
    const contributors = four("uniform", 10);
    const first = propagate(sum, contributors);
    expect(first.standardUncertainty).toBeCloseTo(10.1, 1);
    expect(1.96 * first.standardUncertainty).toBeCloseTo(19.9, 1);
    const found = propagateByMonteCarlo(sum, contributors, { trials, seed: 3, coverage: 0.95 });
    for (const end of found.symmetric) expect(Math.abs(Math.abs(end) - 17)).toBeLessThan(0.1);
  });
});

describe("JCGM 101:2008, 9.3, mass calibration (figures from memory)", () => {
  const uniform = (name: string, low: number, high: number): Contributor => ({
    name,
    value: (low + high) / 2,
    standardUncertainty: (high - low) / Math.sqrt(12),
    law: "uniform",
  });
  const contributors: readonly Contributor[] = [
    { name: "m_R,c", value: 100_000, standardUncertainty: 0.05 },
    { name: "delta m_R,c", value: 1.234, standardUncertainty: 0.02 },
    uniform("rho_a", 1.1, 1.3),
    uniform("rho_W", 7000, 9000),
    uniform("rho_R", 7950, 8050),
  ];
  const mass = (x: Float64Array) =>
    ((x[0] ?? 0) + (x[1] ?? 0)) * (1 + ((x[2] ?? 0) - 1.2) * (1 / (x[3] ?? 1) - 1 / (x[4] ?? 1))) - 100_000;

  it("first order: 1.2340 mg, u = 0.0539 mg", () => {
    const found = propagate(mass, contributors);
    expect(found.value).toBeCloseTo(1.234, 4);
    expect(found.standardUncertainty).toBeCloseTo(0.0539, 4);
  });

  it("second order: u = 0.0750 mg", () => {
    expect(Math.abs(secondOrderUncertainty(mass, contributors) - 0.075)).toBeLessThan(0.0003);
  });

  it("Monte Carlo: u = 0.0754 mg, shortest 95 % from 1.0834 to 1.3825 mg", () => {
    const found = propagateByMonteCarlo(mass, contributors, { trials, seed: 4, coverage: 0.95 });
    expect(Math.abs(found.mean - 1.234)).toBeLessThan(0.001);
    expect(Math.abs(found.standardUncertainty - 0.0754)).toBeLessThan(0.0004);
    // The shortest interval of a flat-topped law wanders: its ends by more than those of the symmetric one.
    expect(Math.abs(found.shortest[0] - 1.0834)).toBeLessThan(0.004);
    expect(Math.abs(found.shortest[1] - 1.3825)).toBeLessThan(0.004);
  });
});

describe("JCGM 101:2008, 9.4, comparison loss, r = 0 (figures from memory)", () => {
  const loss = (x: Float64Array) => (x[0] ?? 0) ** 2 + (x[1] ?? 0) ** 2;
  const at = (x1: number): readonly Contributor[] => [
    { name: "X1", value: x1, standardUncertainty: 0.005 },
    { name: "X2", value: 0, standardUncertainty: 0.005 },
  ];

  it.each([
    [0, 0, 50, 50, 0, 150],
    [0.01, 100, 150, 112, 0, 367],
    [0.05, 500, 2551, 502, 1590, 3543],
  ])("x1 = %d, in 1e-6", (x1, firstOrder, value, u, low, high) => {
    expect(propagate(loss, at(x1)).standardUncertainty * 1e6).toBeCloseTo(firstOrder, 0);
    const found = propagateByMonteCarlo(loss, at(x1), { trials, seed: 5, coverage: 0.95 });
    const reach = 0.01 * Math.max(value, u) + 1;
    expect(Math.abs(found.mean * 1e6 - value)).toBeLessThan(reach);
    expect(Math.abs(found.standardUncertainty * 1e6 - u)).toBeLessThan(reach);
    expect(Math.abs(found.shortest[0] * 1e6 - low)).toBeLessThan(reach + 0.04 * u);
    expect(Math.abs(found.shortest[1] * 1e6 - high)).toBeLessThan(reach + 0.04 * u);
  });
});

describe("a coverage factor", () => {
  it.each([
    [0.9545, Number.POSITIVE_INFINITY, 2],
    [0.95, Number.POSITIVE_INFINITY, 1.96],
    [0.95, 10, 2.23],
    [0.99, 5, 4.03],
    [0.6827, 3, 1.2],
  ])("JCGM 100:2008, table G.2 (from memory): p %d, nu %d", (p, nu, k) => {
    expect(Math.abs(coverageFactorFor(p, nu) - k)).toBeLessThan(0.006);
  });
});

it("numerical tolerance: JCGM 101:2008, 7.9.2, examples u = 0.000 35 g and 2 K (from memory)", () => {
  expect(numericalTolerance(0.00035, 2)).toBeCloseTo(0.000005, 12);
  expect(numericalTolerance(2, 1)).toBe(0.5);
});

it("a t law with few degrees of freedom spreads by sqrt(nu/(nu - 2)): JCGM 101:2008, 6.4.9.4", () => {
  const one: readonly Contributor[] = [{ name: "x", value: 0, standardUncertainty: 1, degreesOfFreedom: 10 }];
  const found = propagateByMonteCarlo((x) => x[0] ?? 0, one, { trials: 40_000, seed: 6, coverage: 0.95 });
  expect(found.standardUncertainty).toBeCloseTo(Math.sqrt(10 / 8), 1);
  expect(found.symmetric[1]).toBeCloseTo(2.23, 1);
});

it("too few draws are refused", async () => {
  const { code } = await refusalOf(() =>
    propagateByMonteCarlo(sum, [], { trials: 10, seed: 1, coverage: 0.95 }),
  );
  expect(code).toBe("monte-carlo-arguments");
});
