import { describe, expect, it } from "vitest";
import type { Density, Pressure, SpecificEntropy, Temperature } from "../../src/quantity/index.js";
import {
  fluid,
  isochore,
  saturationAtTemperature,
  stateAtPressureEnthalpy,
  stateAtPressureEntropy,
  stateAtPressureTemperature,
  stateAtTemperatureDensity,
  vapourPressure,
} from "../../src/substance/index.js";

const K = (value: number) => value as Temperature;
const Pa = (value: number) => value as Pressure;

describe("phases", () => {
  it.each([
    ["oxygen", 3e6, 90, "liquid"],
    ["oxygen", 6e6, 150, "liquid"],
    ["oxygen", 6e6, 165, "supercritical"],
    ["oxygen", 1e5, 165, "gas"],
    ["oxygen", 1e5, 95, "gas"],
    ["nitrogen", 1e5, 77, "liquid"],
    ["methane", 1e6, 300, "gas"],
    ["water", 1e5, 300, "liquid"],
    ["water", 1e5, 380, "gas"],
    ["water", 1e8, 265, "liquid"],
  ] as const)("%s at %d Pa and %d K is %s", (name, p, T, phase) => {
    expect(stateAtPressureTemperature(fluid(name), Pa(p), K(T)).phase).toBe(phase);
  });

  it("a tank half full of liquid oxygen at 90 K is two-phase with little vapour by mass", () => {
    const oxygen = fluid("oxygen");
    const { p, liquid, vapour } = saturationAtTemperature(oxygen, K(90));
    const rho = ((liquid.rho + vapour.rho) / 2) as Density;
    const state = stateAtTemperatureDensity(oxygen, K(90), rho);
    expect(state.phase).toBe("two-phase");
    expect(state.p).toBe(p);
    expect(state.rho).toBe(rho);
    if (state.phase !== "two-phase") return;
    expect(state.quality).toBeCloseTo(vapour.rho / (liquid.rho + vapour.rho), 12);
    expect(state.h - state.u).toBeCloseTo(p / rho, 6);
  });
});

describe("changes of state", () => {
  it("liquid oxygen throttled from 30 bar and 95 K to 1 bar flashes at the boiling temperature", () => {
    const oxygen = fluid("oxygen");
    const before = stateAtPressureTemperature(oxygen, Pa(3e6), K(95));
    const after = stateAtPressureEnthalpy(oxygen, Pa(1e5), before.h);
    expect(after.phase).toBe("two-phase");
    expect(after.h).toBeCloseTo(before.h, 6);
    expect(vapourPressure(oxygen, after.T)).toBeCloseTo(1e5, 3);
    expect(after.s).toBeGreaterThan(before.s);
  });

  it("nitrogen gas compressed without loss follows T ~ p^(R/cp) at low pressure, to 0.2 %", () => {
    const nitrogen = fluid("nitrogen");
    const before = stateAtPressureTemperature(nitrogen, Pa(1e4), K(300));
    const after = stateAtPressureEntropy(nitrogen, Pa(2e4), before.s);
    // Diatomic gas at 300 K: cp = 3.5 R within 0.2 %.
    expect(after.T / (300 * 2 ** (1 / 3.5))).toBeCloseTo(1, 2.5);
  });

  it("oxygen compressed from 1 bar and 293 K to 200 bar comes out hotter than 1000 K, with a notice", () => {
    const oxygen = fluid("oxygen");
    const before = stateAtPressureTemperature(oxygen, Pa(1e5), K(293));
    const after = stateAtPressureEntropy(oxygen, Pa(2e7), before.s);
    // Constant cp = 3.5 R would give 1331 K; the rise of cp with temperature takes some of it.
    expect(after.T).toBeGreaterThan(1000);
    expect(after.T).toBeLessThan(1331);
    expect(after.notices.map((notice) => notice.code)).toEqual(["fluid-extrapolated"]);
  });

  it("at 250 bar there is no boiling: from (p, s) one state on each side of the critical temperature", () => {
    const methane = fluid("methane");
    for (const T of [120, 190, 191, 300]) {
      const state = stateAtPressureTemperature(methane, Pa(2.5e7), K(T));
      expect(stateAtPressureEntropy(methane, Pa(2.5e7), state.s).T).toBeCloseTo(T, 7);
    }
  });

  it("below the triple-point pressure only gas is left", () => {
    const oxygen = fluid("oxygen");
    const state = stateAtPressureTemperature(oxygen, Pa(50), K(70));
    expect(state.phase).toBe("gas");
    expect(stateAtPressureEntropy(oxygen, Pa(50), state.s as SpecificEntropy).T).toBeCloseTo(70, 8);
  });

  it("supercooled water lies beyond the dome: 265 K and 100 MPa from its entropy", () => {
    const water = fluid("water");
    const state = stateAtPressureTemperature(water, Pa(1e8), K(265));
    expect(stateAtPressureEntropy(water, Pa(1e8), state.s).T).toBeCloseTo(265, 8);
  });
});

describe("isochore", () => {
  const oxygen = fluid("oxygen");
  const filled = saturationAtTemperature(oxygen, K(90));
  const rho = (0.9 * filled.liquid.rho) as Density;
  const line = isochore(oxygen, rho);

  it("follows the boiling line while vapour is left, then rises steeply", () => {
    const fullAt = line.fullAt ?? K(0);
    const below = line.at(K(fullAt - 0.01));
    const above = line.at(K(fullAt + 0.01));
    expect(below.isTwoPhase).toBe(true);
    expect(above.isTwoPhase).toBe(false);
    expect(below.p).toBeCloseTo(vapourPressure(oxygen, below.T), 6);
    expect(above.p).toBeGreaterThan(below.p);
    expect(above.dpdT).toBeGreaterThan(20 * below.dpdT);
  });

  it("its slope is that of its pressure, on both sides", () => {
    for (const T of [100, 110, 112, 130, 200]) {
      const h = 1e-3;
      const slope = (line.at(K(T + h)).p - line.at(K(T - h)).p) / (2 * h);
      expect(line.at(K(T)).dpdT / slope).toBeCloseTo(1, 6);
    }
  });

  it("a thin filling turns to vapour at a temperature where its density is that of saturated vapour", () => {
    const thin = isochore(oxygen, 20 as Density);
    const fullAt = thin.fullAt ?? K(0);
    expect(saturationAtTemperature(oxygen, fullAt).vapour.rho).toBeCloseTo(20, 8);
    expect(thin.at(K(fullAt + 1)).isTwoPhase).toBe(false);
  });

  it("liquid denser than at its triple point is never two-phase", () => {
    expect(isochore(oxygen, (oxygen.triple.rhoLiquid * 1.001) as Density).fullAt).toBeUndefined();
  });

  it("water that fills its volume at 1 degC becomes two-phase at 4 degC and full again at 7 degC", () => {
    const water = fluid("water");
    const cold = saturationAtTemperature(water, K(274.15)).liquid.rho;
    const around = isochore(water, cold);
    expect(around.at(K(277)).isTwoPhase).toBe(true);
    expect(around.fullAt).toBeGreaterThan(279);
    expect(around.fullAt).toBeLessThan(281.5);
    expect(around.at(K(282)).isTwoPhase).toBe(false);
  });

  it("carries the notice of extrapolation: a locked-in liquid taken to ambient", () => {
    const locked = isochore(oxygen, filled.liquid.rho);
    const point = locked.at(K(293.15));
    expect(point.p).toBeGreaterThan(3e8);
    expect(point.notices.map((notice) => notice.code)).toEqual(["fluid-extrapolated"]);
  });
});
