import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import type { Density, Pressure, SpecificEnergy, Temperature } from "../../src/quantity/index.js";
import {
  fluid,
  isochore,
  liquidAtPressureTemperature,
  pressureAt,
  saturationAtPressure,
  saturationAtTemperature,
  speedOfSound,
  stateAtPressureEnthalpy,
  stateAtPressureTemperature,
  stateAtTemperatureDensity,
  vapourPressure,
  viscosity,
} from "../../src/substance/index.js";

const K = (value: number) => value as Temperature;
const bar = (value: number) => (value * 1e5) as Pressure;
const kg = (value: number) => value as Density;
const oxygen = fluid("oxygen");
const water = fluid("water");

/** Code and text of the refusal, with the near name if there is one. */
function refusal(act: () => unknown): string {
  try {
    act();
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return error.faults
      .map((f) => `${f.code}: ${f.found}${f.near === undefined ? "" : ` (${f.near}?)`}`)
      .join("; ");
  }
  throw new Error("not refused");
}

describe("refusals say what was found and which bound it passed", () => {
  it.each<[string, () => unknown]>([
    [
      "not-liquid: liquid oxygen at 62 bar(a) and 165 K: above the critical temperature 154.6 K",
      () => liquidAtPressureTemperature(oxygen, bar(62), K(165)),
    ],
    [
      "not-liquid: liquid oxygen at 1 bar(a) and 95 K: a gas, below its vapour pressure of 1.631 bar(a)",
      () => liquidAtPressureTemperature(oxygen, bar(1), K(95)),
    ],
    [
      "fluid-below-triple-point: liquid oxygen at 10 bar(a) and 50 K: below the triple-point temperature 54.36 K",
      () => liquidAtPressureTemperature(oxygen, bar(10), K(50)),
    ],
    [
      "fluid-below-triple-point: oxygen at 1300 kg/m3 and 54.36 K: below the triple-point temperature 54.361 K",
      () => stateAtTemperatureDensity(oxygen, K(54.36), kg(1300)),
    ],
    [
      "no-saturation: boiling oxygen at 165 K: above the critical temperature 154.6 K",
      () => saturationAtTemperature(oxygen, K(165)),
    ],
    [
      "no-saturation: boiling oxygen at 50 K: below the triple-point temperature 54.36 K",
      () => vapourPressure(oxygen, K(50)),
    ],
    [
      "no-saturation: boiling oxygen at 60 bar(a): above the critical pressure 50.43 bar(a)",
      () => saturationAtPressure(oxygen, bar(60)),
    ],
    [
      "no-saturation: boiling oxygen at 1 mbar(a): below the triple-point pressure 1.463 mbar(a)",
      () => saturationAtPressure(oxygen, bar(0.001)),
    ],
    ["no-saturation: boiling oxygen at NaN: not a temperature", () => vapourPressure(oxygen, K(Number.NaN))],
    [
      "fluid-solid: oxygen at 700 bar(a) and 60 K: solid, above its melting pressure of 510 bar(a) there",
      () => stateAtPressureTemperature(oxygen, bar(700), K(60)),
    ],
    [
      "fluid-solid: water at 1 bar(a) and 270 K: solid, below its melting pressure of 393.1 bar(a) there",
      () => stateAtPressureTemperature(water, bar(1), K(270)),
    ],
    [
      "fluid-too-hot: oxygen at 10 bar(a) and 2500 K: above 2000 K",
      () => stateAtPressureTemperature(oxygen, bar(10), K(2500)),
    ],
    [
      "fluid-pressure-too-high: oxygen at 6000 bar(a) and 300 K: above 5000 bar(a)",
      () => stateAtPressureTemperature(oxygen, bar(6000), K(300)),
    ],
    ["impossible-state: oxygen at 0 Pa", () => stateAtPressureTemperature(oxygen, bar(0), K(90))],
    ["impossible-state: oxygen at NaN K", () => stateAtPressureTemperature(oxygen, bar(1), K(Number.NaN))],
    ["impossible-state: oxygen at -5 K", () => pressureAt(oxygen, K(-5), kg(1100))],
    ["impossible-state: oxygen at -1 kg/m3", () => pressureAt(oxygen, K(90), kg(-1))],
    ["impossible-state: oxygen at Infinity kg/m3", () => isochore(oxygen, kg(Number.POSITIVE_INFINITY))],
    [
      "fluid-out-of-reach: oxygen at 10 bar(a) with an enthalpy of 90000000 J/kg: hotter than its range",
      () => stateAtPressureEnthalpy(oxygen, bar(10), 9e7 as SpecificEnergy),
    ],
    [
      "impossible-state: oxygen at 10 bar(a) with an enthalpy of NaN J/kg",
      () => stateAtPressureEnthalpy(oxygen, bar(10), Number.NaN as SpecificEnergy),
    ],
    [
      "two-phase: oxygen at 90 K and 500 kg/m3: 0.4952 % of its mass is vapour",
      () => speedOfSound(oxygen, K(90), kg(500)),
    ],
    [
      "two-phase: viscosity of oxygen at 90 K and 500 kg/m3: a mixture of liquid and vapour",
      () => viscosity(oxygen, K(90), kg(500)),
    ],
    ['unknown-fluid: "oxigen" is not a fluid on file (oxygen?)', () => fluid("oxigen")],
    ['unknown-fluid: "xenon" is not a fluid on file', () => fluid("xenon")],
  ])("%s", (expected, act) => expect(refusal(act)).toBe(expected));
});

describe("notices say by how much", () => {
  const texts = (state: { readonly notices: readonly { readonly code: string; readonly text: string }[] }) =>
    state.notices.map(({ code, text }) => `${code}: ${text}`);

  it("inside the published range there is none", () => {
    expect(texts(stateAtPressureTemperature(oxygen, bar(30), K(90)))).toEqual([]);
  });

  it("temperature and pressure beyond the published range", () => {
    expect(texts(stateAtPressureTemperature(oxygen, bar(3580), K(330)))).toEqual([
      "fluid-extrapolated: oxygen at 330 K: 30 K above the range of its equation of state, which ends at 300 K; followed to 2000 K",
      "fluid-extrapolated: oxygen at 3580 bar(a): 4.475 times the highest pressure of its equation of state, 800 bar(a); followed to 5000 bar(a)",
    ]);
  });

  it("near the critical point", () => {
    expect(texts(stateAtTemperatureDensity(oxygen, K(154.6), kg(440)))).toEqual([
      "near-critical-point: oxygen at 154.6 K and 440 kg/m3 is close to its critical point (154.6 K, 436.1 kg/m3), where heat capacities and speed of sound from the equation of state are uncertain",
    ]);
  });

  it("on the boiling line", () => {
    const p = vapourPressure(oxygen, K(90));
    const state = stateAtPressureTemperature(oxygen, p, K(90));
    expect(state.phase).toBe("liquid");
    expect(texts(state)).toEqual([
      "on-boiling-line: oxygen at 0.9935 bar(a) and 90 K lies on the boiling line; pressure and temperature do not tell how much of it is vapour, and it is taken as liquid",
    ]);
  });
});

it("names and aliases of a fluid, in any case", () => {
  expect(fluid("LOX")).toBe(oxygen);
  expect(fluid(" o2 ")).toBe(oxygen);
  expect(fluid("Water")).toBe(water);
});
