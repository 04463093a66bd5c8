import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import type { Pressure, Temperature } from "../../src/quantity/index.js";
import {
  correlatedLiquid,
  fluid,
  fluidNames,
  inletLiquid,
  inletNames,
  liquidAnswer,
  liquidAtPressureTemperature,
  liquidNames,
  readLiquidFile,
  vapourPressure,
} from "../../src/substance/index.js";

const K = (value: number) => value as Temperature;
const Pa = (value: number) => value as Pressure;
const folder = new URL("../../data/liquids/", import.meta.url);
const names = readdirSync(folder).filter((name) => name.endsWith(".json"));

it("every data file is in the list of liquids, under its own name, and keeps the form", () => {
  expect(names.map((name) => name.replace(".json", "")).sort()).toEqual([...liquidNames].sort());
  for (const name of names) {
    const file = readLiquidFile(JSON.parse(readFileSync(new URL(name, folder), "utf8")));
    expect(`${file.id}.json`).toBe(name);
  }
});

describe("2-propanol against handbook values, from memory", () => {
  const propanol = correlatedLiquid("IPA");
  if (propanol === undefined) throw new Error("2-propanol is not on file");
  const at = (T: number) => liquidAnswer(propanol, K(T), Pa(101_325)).groups[0]?.rows ?? [];
  it.each([
    [293.15, "density", 785.1, 0.003],
    [293.15, "viscosity", 0.00237, 0.03],
    [298.15, "density", 780.9, 0.003],
    [298.15, "viscosity", 0.00204, 0.03],
    [298.15, "vapour_pressure", 6020, 0.02],
    [298.15, "cp", 2604, 0.02],
    [298.15, "conductivity", 0.135, 0.02],
    [298.15, "surface_tension", 0.0209, 0.02],
  ])("at %d K %s is %d", (T, id, value, tolerance) => {
    // Densities of two handbooks differ by 0.2 %; the other tolerances are those stated with the values.
    const found = at(T).find((row) => row.id === id);
    expect(Math.abs((found?.value ?? 0) / value - 1)).toBeLessThan(tolerance);
    expect(found?.sources.length).toBeGreaterThan(0);
  });

  it("boils at 355.4 K at one atmosphere, within 3 % of the pressure", () => {
    expect(Math.abs(propanol.vapourPressure(K(355.4)) / 101_325 - 1)).toBeLessThan(0.03);
  });

  it("its compressibility holds sound to the handbook's 1139 m/s: kappa_T = 1/(rho w^2) + T alpha^2/(rho cp)", () => {
    const rho = propanol.density(Pa(101_325), K(298.15));
    const alpha = Math.log(propanol.density(Pa(101_325), K(297)) / propanol.density(Pa(101_325), K(299))) / 2;
    const kappa = 1 / (rho * 1139 ** 2) + (298.15 * alpha ** 2) / (rho * 2604);
    const { low_1_Pa, high_1_Pa } = propanol.file.compressibility;
    expect(kappa).toBeGreaterThan(low_1_Pa);
    expect(kappa).toBeLessThan(high_1_Pa);
    const squeezed = propanol.density(Pa(50e5), K(298.15)) / rho;
    expect(Math.log(squeezed) / 48.98675e5).toBeCloseTo((low_1_Pa + high_1_Pa) / 2, 15);
  });
});

describe("one face for every fluid of a valve", () => {
  it("names: those with an equation of state first", () => {
    expect(inletNames).toEqual([...fluidNames, ...liquidNames]);
  });

  it("with an equation of state it is the state's own", () => {
    const oxygen = inletLiquid("LOX");
    expect(oxygen.liquidAt(Pa(30e5), K(90)).rho).toBe(
      liquidAtPressureTemperature(fluid("oxygen"), Pa(30e5), K(90)).rho,
    );
    expect(oxygen.vapourPressure(K(90))).toBe(vapourPressure(fluid("oxygen"), K(90)));
  });

  it.each<[string, () => unknown]>([
    [
      "not-liquid: liquid 2-propanol at 1 bar(a) and 370 K: a gas, below its vapour pressure of 1.796 bar(a)",
      () => inletLiquid("2-propanol").at(Pa(1e5), K(370)),
    ],
    [
      "liquid-out-of-range: 2-propanol at 150 K: it freezes at 184.7 K",
      () => inletLiquid("2-propanol").at(Pa(1e5), K(150)),
    ],
    [
      "liquid-out-of-range: 2-propanol at 200 bar(a) and 300 K: above 100 bar(a)",
      () => inletLiquid("2-propanol").at(Pa(200e5), K(300)),
    ],
    [
      "liquid-out-of-range: 2-propanol at 450 K: hotter than its correlation",
      () => inletLiquid("2-propanol").vapourPressure(K(450)),
    ],
    [
      "not-liquid: liquid propane at 62 bar(a) and 400 K: above the critical temperature 369.9 K",
      () => inletLiquid("propane").liquidAt(Pa(62e5), K(400)),
    ],
    ['unknown-fluid: "2-propanole" is not a fluid on file', () => inletLiquid("2-propanole")],
  ])("%s", (expected, act) => {
    try {
      act();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      expect(error.faults.map((fault) => `${fault.code}: ${fault.found}`)).toEqual([expected]);
      return;
    }
    throw new Error("not refused");
  });
});
