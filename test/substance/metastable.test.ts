import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import type { Pressure, Temperature } from "../../src/quantity/index.js";
import {
  fluid,
  fluidNames,
  homogeneousPressure,
  isentropicExpansion,
  liquidEvenSuperheated,
  liquidSpinodal,
  saturationAtTemperature,
  stateAtPressureTemperature,
  vapourPressure,
} from "../../src/substance/index.js";
import { plainBoilingPoint, share } from "./arbitraryState.js";

const K = (value: number) => value as Temperature;
const Pa = (value: number) => value as Pressure;
const code = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof Refusal) return error.faults.map((fault) => `${fault.code}: ${fault.found}`).join();
    throw error;
  }
  return "not refused";
};

describe("superheated liquid", () => {
  it("oxygen at 95 K let down to 1 bar stays liquid for a moment, flagged, lighter than boiling liquid", () => {
    const oxygen = fluid("oxygen");
    const state = liquidEvenSuperheated(oxygen, Pa(1e5), K(95));
    expect(state.isMetastable).toBe(true);
    expect(state.rho).toBeLessThan(saturationAtTemperature(oxygen, K(95)).liquid.rho);
    expect(state.notices.map(({ text }) => text)).toEqual([
      "liquid oxygen at 1 bar(a) and 95 K is superheated: below its vapour pressure 1.631 bar(a), 4.938 K above its boiling temperature 90.06 K; it lasts for moments only, and boils at the first bubble",
    ]);
  });

  it("above its vapour pressure it is the plain liquid, without a flag", () => {
    const state = liquidEvenSuperheated(fluid("oxygen"), Pa(30e5), K(95));
    expect(state.isMetastable).toBe(false);
    expect(state.notices).toEqual([]);
    expect(state.rho).toBe(stateAtPressureTemperature(fluid("oxygen"), Pa(30e5), K(95)).rho);
  });

  it("below the spinodal there is none, and the refusal names its pressure", () => {
    expect(code(() => liquidEvenSuperheated(fluid("oxygen"), Pa(1e5), K(150)))).toMatch(
      /^beyond-spinodal: superheated liquid oxygen at 1 bar\(a\) and 150 K: below the \d+\.\d+ bar\(a\) at which it falls apart by itself$/,
    );
  });

  it.each(fluidNames)(
    "%s: at no pressure the limit lies above 27/32 of T_c (van der Waals) and below T_c",
    (name) => {
      // Corresponding states: a van der Waals liquid reaches its spinodal at p = 0 at 27/32 T_c; real ones later.
      const substance = fluid(name);
      const at = (reduced: number) => liquidSpinodal(substance, K(reduced * substance.critical.T)).p;
      // Helium, which hardly holds together, gives out at a lower share.
      expect(at(name === "helium" ? 0.7 : 27 / 32)).toBeLessThan(0);
      expect(at(0.97)).toBeGreaterThan(0);
    },
  );

  it("its density gives its pressure back, dp/drho is positive, and it meets the boiling liquid", () => {
    fc.assert(
      fc.property(plainBoilingPoint, share, ({ name, T }, depth) => {
        const substance = fluid(name);
        const spinodal = liquidSpinodal(substance, T);
        const boiling = vapourPressure(substance, T);
        const floor = Math.max(spinodal.p, 0);
        const p = Pa(boiling + (floor - boiling) * (0.001 + 0.99 * depth));
        fc.pre(p > 1e-6 * boiling && boiling > 100);
        const state = liquidEvenSuperheated(substance, p, T);
        const back = homogeneousPressure(substance, T, state.rho);
        expect(Math.abs(back.p - p)).toBeLessThan(1e-9 * p + 1e-11 * state.rho * state.w ** 2);
        expect(back.dpdrho).toBeGreaterThan(0);
        expect(state.rho).toBeGreaterThan(spinodal.rho);
        expect(state.rho).toBeLessThanOrEqual(saturationAtTemperature(substance, T).liquid.rho);
      }),
      { numRuns: 200 },
    );
  });
});

describe("isentropic expansion", () => {
  it("a gas nearly ideal follows w^2 = 2 cp T1 (1 - (p2/p1)^(R/cp)): helium from 300 K, 2 bar to 1 bar within 0.1 %", () => {
    const helium = fluid("helium");
    const from = stateAtPressureTemperature(helium, Pa(2e5), K(300));
    const { speed } = isentropicExpansion(helium, from, Pa(1e5));
    const cp = 2.5 * helium.specificGasConstant;
    expect(speed / Math.sqrt(2 * cp * 300 * (1 - 0.5 ** 0.4))).toBeCloseTo(1, 3);
  });

  it("its largest flux is the choked one of an ideal gas, p1 sqrt(k/(R T)) (2/(k+1))^((k+1)/(2(k-1)))", () => {
    const helium = fluid("helium");
    const from = stateAtPressureTemperature(helium, Pa(2e5), K(300));
    let most = 0;
    for (let ratio = 0.4; ratio < 0.6; ratio += 0.001) {
      most = Math.max(most, isentropicExpansion(helium, from, Pa(ratio * 2e5)).massFlux);
    }
    const k = 5 / 3;
    const R = helium.specificGasConstant;
    const choked = 2e5 * Math.sqrt(k / (R * 300)) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1)));
    expect(most / choked).toBeCloseTo(1, 2.5);
  });

  it("boiling oxygen let down to 1 bar ends two-phase at the entropy it began with", () => {
    const oxygen = fluid("oxygen");
    const { liquid } = saturationAtTemperature(oxygen, K(110));
    const { state, speed } = isentropicExpansion(oxygen, liquid, Pa(1e5));
    expect(state.phase).toBe("two-phase");
    expect(state.s).toBeCloseTo(liquid.s, 6);
    expect(liquid.h - state.h).toBeCloseTo(speed ** 2 / 2, 4);
  });

  it("does not expand to a higher pressure", () => {
    const from = stateAtPressureTemperature(fluid("nitrogen"), Pa(1e5), K(300));
    expect(code(() => isentropicExpansion(fluid("nitrogen"), from, Pa(2e5)))).toBe(
      "no-expansion: nitrogen at 1 bar(a) does not expand to 2 bar(a)",
    );
  });
});
