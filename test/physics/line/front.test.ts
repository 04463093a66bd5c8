/** Waves ahead of the valve while the line behind it fills, against the rigid column and the front's closed forms. */
import { describe, expect, it } from "vitest";
import {
  areaOf,
  type EmptyLine,
  fill,
  impedance,
  type LineNetwork,
  type LinePipe,
  lineGrid,
  pipeResistance,
  runLine,
} from "../../../src/physics/line/index.js";
import type { Density, Length, Pressure, Speed } from "../../../src/quantity/index.js";

const rho = 1000;
const bore = 0.03;
const area = areaOf(bore as Length);

interface Given {
  readonly supply: number;
  readonly back: number;
  readonly ahead: number;
  readonly behind: number;
  readonly friction: number;
  readonly outlet: number;
  readonly exponent: number;
  readonly pv?: number;
}

function lineOf(given: Given) {
  const pipe = (from: number, length: number): LinePipe => ({
    from,
    to: from + 1,
    length: length as Length,
    bore: bore as Length,
    waveSpeed: 1000 as Speed,
    frictionFactor: given.friction,
    unsteady: 0,
  });
  const pv = (given.pv ?? -1e12) as Pressure;
  const network: LineNetwork = {
    pipes: [pipe(0, given.ahead), pipe(2, given.behind / 2), pipe(3, given.behind / 2)],
    fittings: [
      { kind: "pressure", pressure: given.supply as Pressure, resistance: 0 },
      { kind: "none" },
      { kind: "none" },
      { kind: "none" },
      { kind: "pressure", pressure: given.back as Pressure, resistance: given.outlet },
    ],
    losses: [],
    valve: { from: 1, to: 2 },
    liquid: { density: rho as Density, vapourPressure: pv, chokingPressure: pv },
  };
  const line: EmptyLine = {
    pipes: network.pipes.slice(1).map((one) => ({
      length: one.length,
      area,
      resistance: pipeResistance(one, rho as Density),
    })),
    gas: {
      pressure: given.back as Pressure,
      gasConstant: 297,
      temperature: 290,
      exponent: given.exponent,
      heatRatio: 1.4,
    },
    backPressure: given.back as Pressure,
    outletResistance: given.outlet,
    density: rho as Density,
  };
  return { network, line };
}

function openInto(given: Given, C: (t: number) => number, until: number) {
  const { network, line } = lineOf(given);
  const grid = lineGrid(network.pipes, 60);
  const steps = Math.round(until / grid.step);
  const coefficient = Float64Array.from({ length: steps + 1 }, (_, n) => C(n * grid.step));
  const recovery = new Float64Array(steps + 1).fill(1);
  const run = runLine(network, grid, {
    valve: { coefficient, recovery },
    cavities: { kind: "vapour" },
    records: true,
    empty: { line, path: [1, 2] },
  });
  const rigid = fill(
    {
      ...line,
      supplyPressure: given.supply as Pressure,
      inertance: given.ahead / area,
      resistance: pipeResistance(network.pipes[0] as LinePipe, rho as Density),
      chokingPressure: -1e12 as Pressure,
      opening: (t) => ({ coefficient: C(t), recovery: 1 }),
      impedance: impedance(network.pipes[2] as LinePipe),
    },
    until,
  );
  return { run, rigid, grid };
}

const typical: Given = {
  supply: 8e5,
  back: 1e5,
  ahead: 3,
  behind: 2,
  friction: 0.02,
  outlet: 2e5,
  exponent: 1.2,
};
const slowly = (t: number) => 4e-4 * Math.min(t / 0.3, 1);

describe("a valve that opens into an empty line", () => {
  it("passes no more than its drop to the gas lets through, and dips less than the instant opening's rho a dv [wylie-streeter-1993, ch. 3]", () => {
    const { run, grid } = openInto(typical, slowly, 0.15);
    const flow = run.history?.valveFlow ?? new Float64Array(0);
    flow.forEach((W, n) => {
      expect(W).toBeLessThanOrEqual(slowly(n * grid.step) * Math.sqrt(rho * 7e5) + 1e-9);
    });
    expect(Math.min(...(run.history?.pressure[1] ?? []))).toBeLessThan(8e5);
  });

  it("has taken from the tank what stands behind the front and what the pressure ahead has given up", () => {
    const { run, grid } = openInto(typical, slowly, 0.25);
    expect(run.filled?.isFull).toBe(false);
    const tank = run.history?.fittingFlow[0] ?? new Float64Array(0);
    let entered = 0;
    for (let n = 1; n < tank.length; n++) entered -= 0.5 * grid.step * ((tank[n - 1] ?? 0) + (tank[n] ?? 0));
    const behind = rho * (run.filled?.volume ?? Number.NaN);
    expect(behind).toBeGreaterThan(0.1);
    expect(Math.abs(entered - behind - run.stored)).toBeLessThan(0.005 * behind);
  });

  it("is filled when the rigid column has filled it, and the stop is the wave of the last pipe, p_g + B (W - W_out)", () => {
    const { run, rigid, grid } = openInto(typical, slowly, 0.6);
    expect(run.filled?.isFull).toBe(true);
    const end = run.history?.pressure[4] ?? new Float64Array(0);
    const passed = run.history?.fittingFlow[4] ?? new Float64Array(0);
    const arrival = passed.findIndex((W) => W > 0.1) * grid.step;
    expect(arrival / (rigid.time ?? Number.NaN)).toBeCloseTo(1, 1);
    expect(Math.max(...end)).toBeGreaterThan(0.8 * rigid.stopPressure);
    expect(Math.max(...end)).toBeLessThan(1.25 * rigid.stopPressure);
  });

  it("settles at the steady flow of the full line", () => {
    const { run } = openInto(typical, slowly, 2);
    const W = run.history?.valveFlow.at(-1) ?? Number.NaN;
    const { network } = lineOf(typical);
    const R =
      network.pipes.reduce((sum, one) => sum + pipeResistance(one, rho as Density), 0) +
      typical.outlet +
      1 / (rho * 4e-4 ** 2);
    expect(W).toBeCloseTo(Math.sqrt(7e5 / R), 2);
  });

  it("without losses, into next to nothing: v^2 = 2 dp/rho x/(L + x) as it comes to the end [wylie-streeter-1993, ch. 6]", () => {
    const bare: Given = {
      supply: 1e6,
      back: 10,
      ahead: 1,
      behind: 2,
      friction: 0,
      outlet: 1e12,
      exponent: 1e-9,
    };
    const { run } = openInto(bare, () => 1e3, 0.2);
    const W = Math.max(...(run.history?.valveFlow ?? []));
    expect(W / (rho * area * Math.sqrt(((2 * 1e6) / rho) * (2 / 3)))).toBeGreaterThan(0.95);
    expect(W / (rho * area * Math.sqrt(((2 * 1e6) / rho) * (2 / 3)))).toBeLessThan(1.05);
    // A dead end sees rho a v at least.
    const most = Math.max(...(run.history?.pressure[4] ?? []));
    expect(most / (W * (1000 / area))).toBeGreaterThan(0.95);
  });

  it("what is torn is what is full: gas below the vapour pressure behind the valve makes no cavity there", () => {
    const thin: Given = { ...typical, supply: 3e5, back: 1e5, pv: 1.2e5 };
    const { run } = openInto(thin, (t) => 2e-5 * Math.min(t / 0.1, 1), 0.3);
    expect(run.filled?.isFull).toBe(false);
    expect(run.cavity).toBe(0);
    expect(Math.min(...(run.low[0] ?? []))).toBeGreaterThan(1.2e5);
    expect(Math.min(...(run.low[1] ?? []))).toBeCloseTo(1e5, 3);
  });
});
