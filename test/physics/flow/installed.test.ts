import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findRoot } from "../../../src/numerics/index.js";
import {
  criticalPressureRatioFactor,
  flowStep,
  geometricCharacteristic,
  type InstalledSystem,
  installedFlow,
  installedFlowOverAngles,
  installedFlowSlope,
  installedMassFlow,
  type Liquid,
  liquidFlow,
  type MassFlowResistance,
  recoveryCurve,
  withRisingBackPressure,
} from "../../../src/physics/flow/index.js";
import type { Angle, Density, FlowCoefficient, Length, Pressure } from "../../../src/quantity/index.js";

const off = (x: number, expected: number) => Math.abs(x / expected - 1);
/** Liquid oxygen near 90 K, rounded. */
const liquid: Liquid = {
  density: 1147 as Density,
  vapourPressure: 9.94e4 as Pressure,
  criticalPressure: 5.043e6 as Pressure,
};
const base: InstalledSystem = {
  supplyPressure: 2.8e6 as Pressure,
  backPressure: 1.8e6 as Pressure,
  upstream: 4000 as MassFlowResistance,
  downstream: 55_000 as MassFlowResistance,
  liquid,
  outlet: "flowing",
};

const anySystem = fc
  .record({
    ps: fc.double({ min: 2e5, max: 6e6, noNaN: true }),
    pb: fc.double({ min: 0, max: 6e6, noNaN: true }),
    up: fc.double({ min: 0, max: 1e6, noNaN: true }),
    down: fc.double({ min: 0, max: 1e6, noNaN: true }),
    C: fc.double({ min: 1e-6, max: 6e-3, noNaN: true }),
    FL: fc.double({ min: 0.4, max: 1, noNaN: true }),
  })
  .map((at) => {
    const system: InstalledSystem = {
      ...base,
      supplyPressure: at.ps as Pressure,
      backPressure: at.pb as Pressure,
      upstream: at.up as MassFlowResistance,
      downstream: at.down as MassFlowResistance,
    };
    return { system, C: at.C as FlowCoefficient, FL: at.FL };
  });

describe("installed flow against a root of the sizing equation", () => {
  it("closed form and iteration agree, choked or not, forward or reverse", () => {
    fc.assert(
      fc.property(anySystem, ({ system, C, FL }) => {
        const found = installedFlow(system, C, FL);
        const forward = system.supplyPressure >= system.backPressure;
        const [high, low] = forward
          ? [system.supplyPressure, system.backPressure]
          : [system.backPressure, system.supplyPressure];
        const [before, after] = forward
          ? [system.upstream, system.downstream]
          : [system.downstream, system.upstream];
        const boiling =
          criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure) * liquid.vapourPressure;
        // Flow that the valve passes between the pressures which flow W leaves it, less W.
        const surplus = (W: number) => {
          const inlet = high - before * W * W;
          const outlet = low + after * W * W;
          if (inlet <= boiling || outlet >= inlet) return -W;
          return (
            liquidFlow({ C, FL, inlet: inlet as Pressure, outlet: outlet as Pressure, liquid }).massFlow - W
          );
        };
        const most = C * Math.sqrt(liquid.density * high) * 1.01;
        if (high - low < 1) return;
        const W = findRoot(surplus, 0, most);
        expect(Math.abs(Math.abs(found.massFlow) - W)).toBeLessThan(1e-6 * most);
      }),
      { numRuns: 300 },
    );
  });
});

describe("balances of the installed valve", () => {
  it("drops along the line add up to supply less back pressure", () => {
    fc.assert(
      fc.property(anySystem, ({ system, C, FL }) => {
        const flow = installedFlow(system, C, FL);
        const W2 = flow.massFlow * Math.abs(flow.massFlow);
        const sum = (system.upstream + system.downstream) * W2 + flow.valveDrop;
        const difference = system.supplyPressure - system.backPressure;
        expect(Math.abs(sum - difference)).toBeLessThan(1e-6 * (Math.abs(difference) + 1));
        expect(Math.sign(flow.massFlow) * Math.sign(flow.valveDrop)).toBeGreaterThanOrEqual(0);
        expect(Number.isFinite(flow.massFlow + flow.valveDrop + flow.inletPressure)).toBe(true);
      }),
      { numRuns: 500 },
    );
  });
  it("choked exactly where the drop exceeds the choked drop", () => {
    fc.assert(
      fc.property(anySystem, ({ system, C, FL }) => {
        const flow = installedFlow(system, C, FL);
        const over = Math.abs(flow.valveDrop) / flow.chokedDrop - 1;
        if (Math.abs(over) > 1e-9) expect(flow.choked).toBe(over > 0);
      }),
      { numRuns: 500 },
    );
  });
  it("flow never falls with opening, with supply or with less back pressure", () => {
    fc.assert(
      fc.property(anySystem, fc.double({ min: 1, max: 2, noNaN: true }), ({ system, C, FL }, more) => {
        const here = installedFlow(system, C, FL).massFlow;
        const wider = installedFlow(system, (C * more) as FlowCoefficient, FL).massFlow;
        expect(Math.abs(wider)).toBeGreaterThanOrEqual(Math.abs(here) * (1 - 1e-12));
        const supply = (system.supplyPressure * more) as Pressure;
        expect(installedFlow({ ...system, supplyPressure: supply }, C, FL).massFlow).toBeGreaterThanOrEqual(
          here - 1e-9 * Math.abs(here),
        );
      }),
      { numRuns: 300 },
    );
  });
  it("reverse flow is forward flow with the sides exchanged", () => {
    fc.assert(
      fc.property(anySystem, ({ system, C, FL }) => {
        const turned: InstalledSystem = {
          ...system,
          supplyPressure: system.backPressure,
          backPressure: system.supplyPressure,
          upstream: system.downstream,
          downstream: system.upstream,
        };
        const there = installedFlow(system, C, FL);
        const back = installedFlow(turned, C, FL);
        expect(back.massFlow + there.massFlow).toBeCloseTo(0, 9);
        expect(back.inletPressure).toBeCloseTo(there.inletPressure, 3);
      }),
    );
  });
});

describe("limits", () => {
  it("a shut valve holds the whole difference", () => {
    const flow = installedFlow(base, 0 as FlowCoefficient, 0.9);
    expect(flow).toMatchObject({
      massFlow: 0,
      valveDrop: 1e6,
      inletPressure: 2.8e6,
      outletPressure: 1.8e6,
      choked: false,
    });
  });
  it("equal pressures give no flow and no drop", () => {
    const flow = installedFlow({ ...base, backPressure: base.supplyPressure }, 1e-3 as FlowCoefficient, 0.9);
    expect(flow).toMatchObject({
      massFlow: 0,
      valveDrop: 0,
      choked: false,
      cavitationRatio: 0,
      sigma: undefined,
    });
  });
  it("a huge valve leaves the flow to the line", () => {
    const flow = installedFlow(base, 10 as FlowCoefficient, 0.9);
    expect(off(flow.massFlow, Math.sqrt(1e6 / 59_000))).toBeLessThan(1e-5);
  });
  it("without line resistance it is the valve alone", () => {
    const none = 0 as MassFlowResistance;
    const system = { ...base, upstream: none, downstream: none };
    const state = {
      C: 1e-3 as FlowCoefficient,
      FL: 0.6,
      inlet: base.supplyPressure,
      outlet: base.backPressure,
      liquid,
    };
    expect(installedFlow(system, state.C, state.FL).massFlow).toBeCloseTo(liquidFlow(state).massFlow, 10);
  });
  it("choked flow does not depend on the back pressure, and says so", () => {
    const low = { ...base, downstream: 0 as MassFlowResistance, backPressure: 2e5 as Pressure };
    const lower = { ...low, backPressure: 1e5 as Pressure };
    const flow = installedFlow(low, 1e-4 as FlowCoefficient, 0.6);
    expect(flow.choked).toBe(true);
    expect(flow.notices.map((notice) => notice.code)).toContain("choked");
    expect(installedFlow(lower, 1e-4 as FlowCoefficient, 0.6).massFlow).toBe(flow.massFlow);
    expect(installedFlow(lower, 1e-4 as FlowCoefficient, 0.6).valveDrop).toBeCloseTo(flow.valveDrop + 1e5, 6);
  });
  it("a dead end has the full drop while shut and none once open", () => {
    const blocked: InstalledSystem = { ...base, outlet: "dead-ended" };
    expect(installedFlow(blocked, 0 as FlowCoefficient, 0.9)).toMatchObject({ massFlow: 0, valveDrop: 1e6 });
    expect(installedFlow(blocked, 1e-6 as FlowCoefficient, 0.9)).toMatchObject({ massFlow: 0, valveDrop: 0 });
  });
  it("a source below the vapour pressure is refused with both pressures", () => {
    const system = { ...base, supplyPressure: 9e4 as Pressure, backPressure: 5e4 as Pressure };
    expect(() => installedFlow(system, 1e-3 as FlowCoefficient, 0.9)).toThrow(/0.9 bar\(a\).*0.994 bar\(a\)/);
  });
});

describe("a back pressure that rises with the square of the flow", () => {
  const C = 3.9e-3 as FlowCoefficient;
  const p0 = 1.013e5 as Pressure;
  const rising = withRisingBackPressure(base, p0, C, 0.6);
  it("holds the shut valve against the pressure at the start, and leaves the open one as it is", () => {
    expect(installedFlow(rising, 0 as FlowCoefficient, 0.9).valveDrop).toBeCloseTo(2.8e6 - 1.013e5, 6);
    const [open, steady] = [rising, base].map((system) => installedFlow(system, C, 0.6));
    expect(off(open?.massFlow ?? 0, steady?.massFlow ?? 1)).toBeLessThan(1e-12);
    expect(off(open?.valveDrop ?? 0, steady?.valveDrop ?? 1)).toBeLessThan(1e-9);
  });
  it("at part openings the flow is the root of the balance with p_b = p_0 + (p_b - p_0)(W/W_open)^2, found by iteration", () => {
    const open = installedFlow(base, C, 0.6).massFlow;
    for (const share of [0.02, 0.1, 0.3, 0.7]) {
      const c = share * C;
      const balance = (W: number) => {
        const end = p0 + (base.backPressure - p0) * (W / open) ** 2;
        return (
          base.supplyPressure - end - W * W * (base.upstream + base.downstream + 1 / (liquid.density * c * c))
        );
      };
      const W = findRoot(balance, 0, 2 * open);
      const found = installedFlow(rising, c as FlowCoefficient, 0.95);
      expect(found.choked).toBe(false);
      expect(off(found.massFlow, W)).toBeLessThan(1e-9);
    }
  });
});

describe("over a grid", () => {
  const count = 50;
  const valve = geometricCharacteristic({
    ballRadius: 0.024 as Length,
    boreRadius: 0.016 as Length,
    wideOpen: 4.5e-3 as FlowCoefficient,
    contraction: 0.63,
  });
  const C = Float64Array.from({ length: count }, (_, i) =>
    valve(((i / (count - 1)) * Math.PI * 0.5) as Angle),
  );
  const FL = new Float64Array(count).fill(0.8);
  const out = () => [new Float64Array(count), new Float64Array(count), new Float64Array(count)] as const;
  it("is the same as one opening at a time", () => {
    const [W, drop, inlet] = out();
    const choked = new Uint8Array(count);
    installedFlowOverAngles(base, C, FL, W, drop, inlet, choked);
    for (let i = 0; i < count; i++) {
      const single = installedFlow(base, (C[i] ?? 0) as FlowCoefficient, 0.8);
      expect([W[i], drop[i], inlet[i], choked[i]]).toEqual([
        single.massFlow,
        single.valveDrop,
        single.inletPressure,
        single.choked ? 1 : 0,
      ]);
    }
  });
});

describe("controllability", () => {
  const installed = {
    system: base,
    characteristic: geometricCharacteristic({
      ballRadius: 0.024 as Length,
      boreRadius: 0.016 as Length,
      wideOpen: 4.5e-3 as FlowCoefficient,
      contraction: 0.63,
    }),
    recovery: recoveryCurve([{ angle: 0 as Angle, factor: 0.9 }]),
  };
  it("the slope is that of the closed form dW/dC = W / (C (1 + g R))", () => {
    const opening = 0.7 as Angle;
    const h = 1e-6;
    const C = installed.characteristic(opening);
    const dC =
      (installed.characteristic((opening + h) as Angle) - installed.characteristic((opening - h) as Angle)) /
      (2 * h);
    const g = liquid.density * C * C;
    const W = installedMassFlow(installed, opening);
    const expected = (W / (C * (1 + g * (base.upstream + base.downstream)))) * dC;
    expect(installedFlow(base, C, 0.9).choked).toBe(false);
    expect(off(installedFlowSlope(installed, opening), expected)).toBeLessThan(1e-5);
  });
  it("a small angle step makes a flow step of slope times step, a dead band none", () => {
    const step = 1e-4 as Angle;
    const opening = 0.7 as Angle;
    const expected = installedFlowSlope(installed, opening) * step;
    // The larger of both sides exceeds the mean by half the curvature times the step.
    expect(off(flowStep(installed, opening, step), expected)).toBeLessThan(2e-3);
    expect(flowStep(installed, 0.05 as Angle, step)).toBe(0);
  });
});
