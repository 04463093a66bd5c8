import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/fault/index.js";
import {
  cavitationState,
  chokedDrop,
  combinedRecoveryFactor,
  concentricReducers,
  criticalPressureRatioFactor,
  gasFlow,
  type Liquid,
  liquidFlow,
  noFittings,
  pipingGeometryFactor,
  requiredFlowCoefficient,
  turbulenceNotices,
  valveReynoldsNumber,
} from "../../../src/physics/flow/index.js";
import {
  type Density,
  type FlowCoefficient,
  type KinematicViscosity,
  type Length,
  type Pressure,
  parseQuantity,
  type VolumeFlow,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-flow.json" with { type: "json" };

const pressure = (text: string) => parseQuantity(text, "pressure") as Pressure;
const coefficient = (text: string) => parseQuantity(text, "flow coefficient") as FlowCoefficient;
const volumeFlow = (text: string) => parseQuantity(text, "volume flow") as VolumeFlow;
const length = (text: string) => parseQuantity(text, "length") as Length;
/** |x/expected - 1|. */
const off = (x: number, expected: number) => Math.abs(x / expected - 1);

const annex = reference["iec-60534-2-1 annex E"];
const liquidOf = (row: { rho: number; pv: string; pc: string }): Liquid => ({
  density: row.rho as Density,
  vapourPressure: pressure(row.pv),
  criticalPressure: pressure(row.pc),
});

describe.each(annex.rows)("IEC 60534-2-1:2011 annex E, $id", (row) => {
  const liquid = liquidOf(row);
  const inlet = pressure(row.p1);
  const outlet = pressure(row.p2);
  const Q = volumeFlow(row.Q);
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);

  it("critical pressure ratio factor", () => {
    expect(off(FF, row.FF)).toBeLessThan(annex.tolerance.relative);
  });
  it("choked drop", () => {
    const expected = parseQuantity(row.chokedDrop, "pressure difference");
    expect(off(chokedDrop(row.FL, inlet, FF, liquid.vapourPressure), expected)).toBeLessThan(
      annex.tolerance.relative,
    );
  });
  it("required flow coefficient", () => {
    const C = requiredFlowCoefficient({ volumeFlow: Q, FL: row.FL, inlet, outlet, liquid });
    expect(off(C, coefficient(row.C))).toBeLessThan(annex.tolerance.relative);
  });
  it("flow through the printed flow coefficient", () => {
    const flow = liquidFlow({ C: coefficient(row.C), FL: row.FL, inlet, outlet, liquid });
    expect(off(flow.volumeFlow, Q)).toBeLessThan(annex.tolerance.relative);
    expect(flow.choked).toBe(row.id.endsWith(", choked"));
  });
});

it("IEC 60534-2-1:2011 annex E, example 1: valve Reynolds number", () => {
  const row = annex.rows[0];
  if (row?.Rev === undefined) throw new Error("the row is missing");
  const Re = valveReynoldsNumber(
    volumeFlow(row.Q),
    row.nu as KinematicViscosity,
    coefficient(row.C),
    row.FL,
    row.Fd,
    length(row.d),
  );
  expect(off(Re, row.Rev)).toBeLessThan(annex.tolerance.relative);
  expect(turbulenceNotices(Re)).toEqual([]);
  expect(turbulenceNotices(2000)[0]?.code).toBe("flow-not-turbulent");
});

it.each(reference.oxygen.rows)("sizing equation by hand: $id", (row) => {
  const flow = liquidFlow({
    C: coefficient(row.C),
    FL: row.FL,
    inlet: pressure(row.p1),
    outlet: pressure(row.p2),
    liquid: liquidOf(row),
  });
  const { relative } = reference.oxygen.tolerance;
  expect(off(flow.volumeFlow, volumeFlow(row.Q))).toBeLessThan(relative);
  expect(off(flow.massFlow, row.massFlow)).toBeLessThan(relative);
  expect(flow.choked).toBe(false);
});

it.each(reference.gas.rows)("IEC 60534-2-1:2011 clause 6 by hand: $id", (row) => {
  const flow = gasFlow({
    C: coefficient(row.C),
    xT: row.xT,
    isentropicExponent: row.gamma,
    inlet: pressure(row.p1),
    outlet: pressure(row.p2),
    inletDensity: row.rho as Density,
  });
  expect(off(flow.massFlow * 3600, row.massFlow_kg_h)).toBeLessThan(reference.gas.tolerance.relative);
  expect(flow.choked).toBe(false);
});

it("gas at the choked limit has the expansion factor 2/3, IEC 60534-2-1:2011 clause 6", () => {
  const state = {
    C: 1e-3 as FlowCoefficient,
    xT: 0.42,
    isentropicExponent: 1.4,
    inlet: 1e6 as Pressure,
    outlet: 1e5 as Pressure,
    inletDensity: 10 as Density,
  };
  const flow = gasFlow(state);
  expect(flow.choked).toBe(true);
  expect(flow.massFlow).toBeCloseTo(state.C * (2 / 3) * Math.sqrt(0.42 * 1e6 * 10), 12);
});

describe("printed numerical constants, IEC 60534-2-1:2011 table 1 (Kv)", () => {
  const Kv = 250;
  const d = length("80 mm");
  const pipe = length("150 mm");
  it("N2 = 0.0016 in the piping geometry factor: two printed digits", () => {
    const ratio = (80 / 150) ** 2;
    const zeta = 1.5 * (1 - ratio) ** 2;
    const printed = 1 / Math.sqrt(1 + (zeta / 0.0016) * (Kv / 80 ** 2) ** 2);
    const FP = pipingGeometryFactor(coefficient(`${Kv} Kv`), concentricReducers(d, pipe, pipe));
    expect(off(FP, printed)).toBeLessThan(0.002);
  });
  it("N2 in the combined factor", () => {
    const ratio = (80 / 150) ** 2;
    const inlet = 0.5 * (1 - ratio) ** 2 + 1 - ratio ** 2;
    const printed = 0.8 / Math.sqrt(1 + (0.64 / 0.0016) * inlet * (Kv / 80 ** 2) ** 2);
    const FLP = combinedRecoveryFactor(coefficient(`${Kv} Kv`), 0.8, concentricReducers(d, pipe, pipe));
    expect(off(FLP, printed)).toBeLessThan(0.002);
  });
  it("equal pipes have no fittings", () => {
    const none = concentricReducers(d, d, d);
    expect(none.lossPerArea).toBe(0);
    expect(none.inletLossPerArea).toBe(0);
  });
});

const anyCase = fc.record({
  C: fc.double({ min: 1e-6, max: 5e-3, noNaN: true }),
  FL: fc.double({ min: 0.3, max: 1, noNaN: true }),
  inlet: fc.double({ min: 6e5, max: 5e6, noNaN: true }),
  share: fc.double({ min: 0.01, max: 0.99, noNaN: true }),
  rho: fc.double({ min: 400, max: 1300, noNaN: true }),
  pv: fc.double({ min: 1e3, max: 5e5, noNaN: true }),
  pipe: fc.double({ min: 1, max: 2.5, noNaN: true }),
});

describe("identities of liquid flow", () => {
  it("the required flow coefficient is the inverse of the flow, with and without fittings", () => {
    fc.assert(
      fc.property(anyCase, (at) => {
        const inlet = at.inlet as Pressure;
        const outlet = (at.inlet * (1 - at.share)) as Pressure;
        const liquid = liquidOf({ rho: at.rho, pv: `${at.pv} Pa(a)`, pc: "5.043 MPa(a)" });
        const d = 0.04 as Length;
        const fittings = concentricReducers(d, (d * at.pipe) as Length, (d * at.pipe) as Length);
        const C = at.C as FlowCoefficient;
        const flow = liquidFlow({ C, FL: at.FL, inlet, outlet, liquid, fittings });
        const wanted = { volumeFlow: flow.volumeFlow, FL: at.FL, inlet, outlet, liquid, fittings };
        expect(off(requiredFlowCoefficient(wanted), C)).toBeLessThan(1e-6);
      }),
      { numRuns: 500 },
    );
  });
  it("flow rises with the drop up to choking and stays there, and reverses with the pressures", () => {
    fc.assert(
      fc.property(anyCase, (at) => {
        const inlet = at.inlet as Pressure;
        const liquid = liquidOf({ rho: at.rho, pv: `${at.pv} Pa(a)`, pc: "5.043 MPa(a)" });
        const at2 = (share: number) =>
          liquidFlow({
            C: at.C as FlowCoefficient,
            FL: at.FL,
            inlet,
            outlet: (inlet * (1 - share)) as Pressure,
            liquid,
          });
        const here = at2(at.share);
        const further = at2(Math.min(1, at.share * 1.2));
        expect(further.massFlow).toBeGreaterThanOrEqual(here.massFlow);
        if (here.choked) expect(further.massFlow).toBe(here.massFlow);
        const back = liquidFlow({
          C: at.C as FlowCoefficient,
          FL: at.FL,
          inlet: (inlet * (1 - at.share)) as Pressure,
          outlet: inlet,
          liquid,
        });
        expect(back.massFlow).toBe(-here.massFlow);
      }),
      { numRuns: 500 },
    );
  });
  it("no fittings change nothing", () => {
    expect(pipingGeometryFactor(1e-3 as FlowCoefficient, noFittings)).toBe(1);
    expect(combinedRecoveryFactor(1e-3 as FlowCoefficient, 0.7, noFittings)).toBe(0.7);
  });
  it("choking is at x_F = FL^2 (p1 - FF pv)/(p1 - pv), IEC 60534-8-4", () => {
    const [p1, pv, pc, FL] = [3.3e6, 2e5, 5.043e6, 0.57];
    const FF = criticalPressureRatioFactor(pv as Pressure, pc as Pressure);
    const drop = chokedDrop(FL, p1 as Pressure, FF, pv as Pressure);
    const state = cavitationState(p1 as Pressure, (p1 - drop) as Pressure, pv as Pressure);
    expect(state.ratio).toBeCloseTo((FL * FL * (p1 - FF * pv)) / (p1 - pv), 12);
    expect((state.ratio ?? 0) * (state.sigma ?? 0)).toBeCloseTo(1, 12);
    expect(cavitationState(p1 as Pressure, p1 as Pressure, pv as Pressure).sigma).toBeUndefined();
    expect(cavitationState(1e5 as Pressure, 0 as Pressure, pv as Pressure).ratio).toBeUndefined();
  });
});

describe("refusals", () => {
  const liquid = liquidOf({ rho: 1142, pv: "0.99 bar(a)", pc: "50.43 bar(a)" });
  const good = {
    C: 1e-3 as FlowCoefficient,
    FL: 0.8,
    inlet: 3e6 as Pressure,
    outlet: 2e6 as Pressure,
    liquid,
  };
  const codeOf = (act: () => unknown): string | undefined => {
    try {
      act();
    } catch (error) {
      if (error instanceof Refusal) return error.faults[0]?.code;
      throw error;
    }
    return undefined;
  };
  it.each([
    [
      "negative flow coefficient",
      () => liquidFlow({ ...good, C: -1 as FlowCoefficient }),
      "impossible-value",
    ],
    ["no number", () => liquidFlow({ ...good, C: Number.NaN as FlowCoefficient }), "impossible-value"],
    ["F_L above 1", () => liquidFlow({ ...good, FL: 1.2 }), "impossible-value"],
    [
      "vapour at the inlet",
      () => liquidFlow({ ...good, inlet: 5e4 as Pressure, outlet: 4e4 as Pressure }),
      "not-a-liquid",
    ],
    [
      "supercritical vapour pressure",
      () => criticalPressureRatioFactor(6e6 as Pressure, 5e6 as Pressure),
      "not-a-liquid",
    ],
    [
      "no drop",
      () => requiredFlowCoefficient({ ...good, volumeFlow: 1e-3 as VolumeFlow, outlet: 3e6 as Pressure }),
      "no-drop",
    ],
    [
      "more than the fittings pass",
      () =>
        requiredFlowCoefficient({
          ...good,
          volumeFlow: 1 as VolumeFlow,
          fittings: concentricReducers(0.04 as Length, 0.1 as Length, 0.1 as Length),
        }),
      "fittings-too-tight",
    ],
  ])("%s", (_, act, code) => expect(codeOf(act)).toBe(code));
  it("says the pressures with their unit", () => {
    expect(() => liquidFlow({ ...good, inlet: 5e4 as Pressure, outlet: 4e4 as Pressure })).toThrow(
      /0.5 bar\(a\)/,
    );
  });
  it("an inlet just below the vapour pressure passes with a notice", () => {
    const flow = liquidFlow({ ...good, inlet: 9.5e4 as Pressure, outlet: 9e4 as Pressure });
    expect(flow.notices.map((notice) => notice.code)).toEqual(["flashing-at-inlet"]);
  });
});
