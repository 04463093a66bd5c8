/** What stands between and at the ends of pipes, each against its closed form; and momentum in the inner loop. */
import { describe, expect, it } from "vitest";
import {
  areaOf,
  type Fitting,
  type LineLoss,
  type LineNetwork,
  type LinePipe,
  lineGrid,
  pipeResistance,
  runLine,
  steadyLine,
  sweep,
} from "../../../src/physics/line/index.js";
import type { Density, Length, Pressure, Speed, Volume } from "../../../src/quantity/index.js";

const rho = 1000;
const none: Fitting = { kind: "none" };
const held = (pressure: number): Fitting => ({
  kind: "pressure",
  pressure: pressure as Pressure,
  resistance: 0,
});

function pipe(from: number, to: number, length: number, bore: number, a = 1000, friction = 0): LinePipe {
  return {
    from,
    to,
    length: length as Length,
    bore: bore as Length,
    waveSpeed: a as Speed,
    frictionFactor: friction,
    unsteady: 0,
  };
}

function network(
  pipes: readonly LinePipe[],
  fittings: readonly Fitting[],
  valve: { readonly from: number; readonly to: number },
  losses: readonly LineLoss[] = [],
): LineNetwork {
  return {
    pipes,
    fittings,
    losses,
    valve,
    liquid: {
      density: rho as Density,
      vapourPressure: -1e12 as Pressure,
      chokingPressure: -1e12 as Pressure,
    },
  };
}

/** An instant closing of a valve that stood at C. */
function shut(line: LineNetwork, reaches: number, C: number, until: number) {
  const grid = lineGrid(line.pipes, reaches);
  const steps = Math.round(until / grid.step);
  const coefficient = new Float64Array(steps + 1);
  coefficient[0] = C;
  const run = runLine(line, grid, {
    valve: { coefficient, recovery: new Float64Array(steps + 1).fill(1) },
    cavities: { kind: "vapour" },
    records: true,
  });
  const at = (j: number, t: number) => run.history?.pressure[j]?.[Math.round(t / grid.step)] ?? Number.NaN;
  return { run, grid, at };
}

describe("pipes in series", () => {
  it.each([
    ["a softer wall, a 1000 and 500 m/s", 0.1, 500],
    ["a wider bore", 0.2, 1000],
    ["both", 0.05, 1250],
  ])("pass 2 (A1/a1) / sum(A/a) of a wave: %s [wylie-streeter-1993, ch. 3]", (_, bore, a) => {
    const far = pipe(0, 1, a / 10, bore, a);
    const line = network(
      [far, pipe(1, 2, 100, 0.1), pipe(3, 4, 100, 10)],
      [held(1e6), none, none, none, held(0.5e6)],
      { from: 2, to: 3 },
    );
    const { at } = shut(line, 60, 1e-4, 0.14);
    const near = areaOf(0.1 as Length) / 1000;
    const other = areaOf(bore as Length) / a;
    const rise = (j: number, t: number) => at(j, t) - at(j, 0);
    expect(rise(1, 0.12) / rise(2, 0.05)).toBeCloseTo((2 * near) / (near + other), 5);
  });
});

describe("a filter or a bend as a loss", () => {
  const R = 5e5;
  const line = network(
    [pipe(0, 1, 100, 0.1), pipe(2, 3, 100, 0.1), pipe(4, 5, 100, 10)],
    [held(1e6), none, none, none, none, held(0.5e6)],
    { from: 3, to: 4 },
    [{ from: 1, to: 2, resistance: R }],
  );

  it("takes R W^2 of the steady pressure [Darcy's form of a local loss]", () => {
    const { pressure, valveFlow: W } = steadyLine(line, 2e-3, 1);
    expect((pressure[1] ?? 0) - (pressure[2] ?? 0)).toBeCloseTo(R * W * W, 0);
    expect(W).toBeCloseTo(Math.sqrt(0.5e6 / (R + 1 / (rho * 4e-6))), 4);
  });

  it("lets of a wave through what satisfies R W|W| + 2 B W = R W0^2, pipes alike on both sides [wylie-streeter-1993, ch. 3]", () => {
    const { at, run } = shut(line, 60, 2e-3, 0.15);
    const B = 1000 / areaOf(0.1 as Length);
    const W0 = run.steady.valveFlow;
    const W = (R * W0 * W0) / (B + Math.sqrt(B * B + R * R * W0 * W0));
    const behind = at(2, 0) + B * W0;
    expect(at(2, 0.12)).toBeCloseTo(behind + B * W, -1);
    expect(at(1, 0.12)).toBeCloseTo(at(1, 0) + B * W0 - B * W, -1);
  });
});

describe("a gas cushion", () => {
  it("stops a column with what work its gas takes: p0 V0/(n-1) ((V0/V)^(n-1) - 1) = rho A L v^2/2 + p_s (V0 - V) [wylie-streeter-1993, ch. 6]", () => {
    const p0 = 5e5;
    const V0 = 0.02;
    const n = 1.2;
    const area = areaOf(0.1 as Length);
    const line = network(
      [pipe(0, 1, 100, 0.1), pipe(1, 2, 0.5, 0.1), pipe(3, 4, 10, 10), pipe(1, 5, 0.5, 0.1)],
      [
        held(p0),
        none,
        none,
        none,
        held(0.4e6),
        { kind: "accumulator", gasVolume: V0 as Volume, exponent: n, resistance: 0 },
      ],
      { from: 2, to: 3 },
    );
    const { run } = shut(line, 250, 1.2e-3, 4);
    const v = run.steady.valveFlow / (rho * area);
    expect(v).toBeGreaterThan(1);
    const energy = 0.5 * rho * area * 100 * v * v;
    let low = 0.05 * V0;
    let high = V0;
    for (let k = 0; k < 60; k++) {
      const V = 0.5 * (low + high);
      const left = ((p0 * V0) / (n - 1)) * ((V0 / V) ** (n - 1) - 1) - p0 * (V0 - V) - energy;
      if (left > 0) low = V;
      else high = V;
    }
    const highest = p0 * (V0 / low) ** n;
    expect(highest).toBeGreaterThan(1.5 * p0);
    const peak = Math.max(...(run.history?.pressure[5] ?? []));
    expect(peak / highest).toBeGreaterThan(0.97);
    expect(peak / highest).toBeLessThan(1.03);
    // Far below the rise of the closing without it.
    expect(peak - p0).toBeLessThan(0.8 * rho * 1000 * v);
  });
});

describe("grid", () => {
  it("a smooth closing with friction settles with the first power of the step or better, from grid to grid", () => {
    const line = network(
      [pipe(0, 1, 600, 0.5, 1200, 0.03), pipe(2, 3, 600, 500, 1200)],
      [held(2e6), none, none, held(0.5e6)],
      { from: 1, to: 2 },
    );
    const at = (reaches: number) => {
      const grid = {
        step: (0.5 / reaches) as ReturnType<typeof lineGrid>["step"],
        reaches: [reaches, reaches],
        worst: 0,
      };
      const steps = 12 * reaches;
      const coefficient = Float64Array.from(
        { length: steps + 1 },
        (_, n) => 8e-3 * Math.cos((Math.PI / 2) * Math.min(n / (8 * reaches), 1)) ** 2,
      );
      const { history } = runLine(line, grid, {
        valve: { coefficient, recovery: new Float64Array(steps + 1).fill(1) },
        cavities: { kind: "vapour" },
        records: true,
      });
      // After 3 s, within the motion.
      return history?.pressure[1]?.[6 * reaches] ?? Number.NaN;
    };
    const found = [8, 16, 32, 64].map(at);
    const steps = found.slice(1).map((p, k) => Math.abs(p - (found[k] ?? 0)));
    for (let k = 1; k < steps.length; k++)
      expect(Math.log2((steps[k - 1] ?? 0) / (steps[k] ?? 1))).toBeGreaterThan(0.9);
  });
});

describe("momentum", () => {
  it("of a pipe changes by the impulse of its ends less that of its friction: L dW = A (p_0 - p_L - sum R W|W|) dt, to the first power of the step [Newton]", () => {
    const off = (reaches: number) => {
      const B = 1e6;
      const R = 4000 / reaches;
      const dt = 0.05 / reaches;
      const p0 = 2e6;
      const F = new Float64Array(reaches + 1);
      const G = new Float64Array(reaches + 1);
      for (let i = 0; i <= reaches; i++) {
        F[i] = p0 - R * i + B;
        G[i] = p0 - R * i - B;
      }
      const high = new Float64Array(reaches + 1).fill(9e9);
      const low = new Float64Array(reaches + 1);
      // In terms of B and the travel time T, L/A = B T, so that the column's momentum over A is B T times the mean flow.
      const flow = (i: number) => ((F[i] ?? 0) - (G[i] ?? 0)) / (2 * B);
      const half = (i: number) => (i === 0 || i === reaches ? 0.5 : 1);
      const mean = () => {
        let sum = 0;
        for (let i = 0; i <= reaches; i++) sum += half(i) * flow(i);
        return sum / reaches;
      };
      const lost = () => {
        let sum = 0;
        for (let i = 0; i <= reaches; i++) sum += half(i) * R * flow(i) * Math.abs(flow(i));
        return sum;
      };
      const driving = () => p0 - ((F[reaches] ?? 0) + (G[reaches] ?? 0)) / 2 - lost();
      const before = mean();
      let impulse = 0;
      for (let n = 1; n <= 7 * reaches; n++) {
        const then = driving();
        sweep(F, G, high, low, 0, reaches, R / (4 * B * B));
        F[0] = 2 * p0 - (G[0] ?? 0);
        // The end is stopped over three travel times.
        const W = Math.max(1 - n / (3 * reaches), 0);
        G[reaches] = (F[reaches] ?? 0) - 2 * B * W;
        impulse += 0.5 * dt * (then + driving());
      }
      return Math.abs(impulse - B * 0.05 * (mean() - before)) / (B * 0.05);
    };
    expect(off(40)).toBeLessThan(0.01);
    expect(off(160)).toBeLessThan(0.3 * off(40) + 1e-9);
  });
});

describe("losses of the pipes themselves", () => {
  it("stand in the steady state as f L/(2 D rho A^2) W^2, branch by branch: a loop splits by 1/sqrt(R) [Kirchhoff's rules]", () => {
    const line = network(
      [
        pipe(0, 1, 10, 0.1, 1000, 0.02),
        pipe(1, 2, 50, 0.05, 1000, 0.02),
        pipe(1, 2, 100, 0.08, 1000, 0.03),
        pipe(3, 4, 10, 0.1, 1000, 0.02),
      ],
      [held(1e6), none, none, none, held(0.2e6)],
      { from: 2, to: 3 },
    );
    const { flow, valveFlow } = steadyLine(line, 1e-3, 1);
    const [, one, two] = line.pipes.map((each) => pipeResistance(each, rho as Density));
    expect((flow[1] ?? 0) / (flow[2] ?? 1)).toBeCloseTo(Math.sqrt((two ?? 0) / (one ?? 1)), 5);
    expect((flow[1] ?? 0) + (flow[2] ?? 0)).toBeCloseTo(valveFlow, 5);
  });
});
