import { describe, expect, it } from "vitest";
import { flowIntoChamber, type InstalledSystem, installedFlow } from "../../../src/physics/flow/index.js";
import { flowAtOpening, openingForFlow } from "../../../src/physics/schedule/index.js";
import type { FlowCoefficient } from "../../../src/quantity/index.js";

/** Water at 20 degC [iapws-r6-95], and a line of round numbers. */
const system = {
  supplyPressure: 11e5,
  backPressure: 1e5,
  upstream: 2e3,
  downstream: 8e3,
  liquid: { density: 998.2, vapourPressure: 2339, criticalPressure: 220.64e5 },
  outlet: "flowing",
} as InstalledSystem;

/** Kv 1 m3/h at 1 bar and 1000 kg/m3 as an area: 1/3600 / sqrt(1e5/1000) [iec60534-2-1, clause 5.1]. */
const perKv = 1 / 3600 / Math.sqrt(1e5 / 1000);

describe("flow to opening", () => {
  it("turns an installed characteristic round, by hand", () => {
    // [iec60534-2-1, clause 5.1]: W = rho C sqrt(dp/rho). In series p_s - p_b = W^2 (1/(rho C^2) + R): of 10 bar,
    // 5 kg/s lose 25 x 1e4 = 2.5 bar in the line, and the valve the other 7.5: C = 5 / sqrt(998.2 x 7.5e5).
    const C = 5 / Math.sqrt(998.2 * 7.5e5);
    expect(C / perKv).toBeCloseTo(6.58, 2);
    expect(flowIntoChamber(system, 0, C, 0.95)).toBeCloseTo(5, 9);
    // C that rises in proportion to the opening, 8 Kv at a right angle.
    const angle = Float64Array.from({ length: 361 }, (_, j) => (j / 360) * (Math.PI / 2));
    const perAngle = (8 * perKv) / (Math.PI / 2);
    const flow = angle.map((at) => flowIntoChamber(system, 0, perAngle * at, 0.95));
    const opening = openingForFlow({ angle, flow }, 5);
    expect(opening).toBeCloseTo(C / perAngle, 4);
    expect(flowAtOpening({ angle, flow }, opening ?? Number.NaN)).toBeCloseTo(5, 9);
    expect(openingForFlow({ angle, flow }, 0)).toBe(0);
    expect(openingForFlow({ angle, flow }, 1e3)).toBeUndefined();
  });

  it("is the installed flow where the back pressure stands", () => {
    for (const kv of [0.5, 3, 20])
      for (const FL of [0.5, 0.9])
        expect(flowIntoChamber(system, 0, kv * perKv, FL)).toBeCloseTo(
          installedFlow(system, (kv * perKv) as FlowCoefficient, FL).massFlow,
          9,
        );
  });

  it("passes the flow that balances a chamber in proportion to it", () => {
    // p_b = s W with s = 2e5 Pa s/kg; 4 kg/s: 8 bar in the chamber, 1.6 bar in the line, of 11 bar 1.4 are left.
    const C = 4 / Math.sqrt(998.2 * 1.4e5);
    expect(flowIntoChamber({ ...system, backPressure: 0 as never }, 2e5, C, 0.95)).toBeCloseTo(4, 9);
  });
});
