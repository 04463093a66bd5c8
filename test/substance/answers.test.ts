import { describe, expect, it } from "vitest";
import type { Density, Pressure, Temperature } from "../../src/quantity/index.js";
import {
  fluid,
  fluidAnswer,
  fluidNames,
  isFluidName,
  isSolidName,
  type SubstanceAnswer,
  solid,
  solidAnswer,
  solidNames,
} from "../../src/substance/index.js";

const K = (value: number) => value as Temperature;
const bar = (value: number) => (value * 1e5) as Pressure;
const rowOf = ({ groups }: SubstanceAnswer, group: string, id: string) =>
  groups.find(({ title }) => title === group)?.rows.find((row) => row.id === id);

it("liquid oxygen at 90 K and 30 bar: every row finite, with its source", () => {
  const answer = fluidAnswer(fluid("LOX"), { T: K(90), p: bar(30), isSuperheated: false });
  expect(answer.state).toBe("liquid");
  expect(answer.groups[0]?.rows.map(({ id }) => id)).toEqual(
    "density enthalpy entropy internal_energy cp cv speed_of_sound viscosity conductivity".split(" "),
  );
  for (const row of answer.groups.flatMap(({ rows }) => rows)) {
    expect(Number.isFinite(row.value)).toBe(true);
    expect(row.sources.length).toBeGreaterThan(0);
  }
  expect(answer.notices).toEqual([]);
});

it("boiling nitrogen at one atmosphere: latent heat 199.2 kJ/kg, common practice", () => {
  const answer = fluidAnswer(fluid("nitrogen"), { p: bar(1.01325), isSuperheated: false });
  expect(answer.groups.map(({ title }) => title)).toEqual(["liquid", "vapour", "boiling"]);
  expect(rowOf(answer, "boiling", "latent_heat")?.value).toBeCloseTo(199_200, -2);
});

it.each([
  // Common practice, no source: several hundredfold, oxygen 842 (eight hundred and more), nitrogen 680 to 700, methane 600 and more.
  ["oxygen", 842, 10],
  ["nitrogen", 682, 15],
  ["methane", 622, 15],
] as const)(
  "boiling %s at one atmosphere becomes some %d times as much gas at 15 degC",
  (name, times, within) => {
    const answer = fluidAnswer(fluid(name), { p: bar(1.01325), isSuperheated: false });
    const found = rowOf(answer, "boiling", "volumes_as_gas")?.value ?? Number.NaN;
    expect(Math.abs(found - times)).toBeLessThan(within);
  },
);

it("water is no gas at ambient conditions", () => {
  const answer = fluidAnswer(fluid("water"), { p: bar(1.01325), isSuperheated: false });
  expect(rowOf(answer, "boiling", "volumes_as_gas")).toBeUndefined();
});

it("a filling at (T, rho) inside the dome says how much of it is vapour", () => {
  const answer = fluidAnswer(fluid("oxygen"), { T: K(90), rho: 500 as Density, isSuperheated: false });
  expect(answer.state).toBe("two-phase");
  expect(rowOf(answer, "mixture", "quality")?.value).toBeCloseTo(0.004_952, 6);
});

it("a superheated liquid is called so, and has a liquid's viscosity", () => {
  const answer = fluidAnswer(fluid("oxygen"), { T: K(95), p: bar(1), isSuperheated: true });
  expect(answer.state).toBe("superheated liquid");
  const boiling = fluidAnswer(fluid("oxygen"), { T: K(95), isSuperheated: false });
  const eta = rowOf(answer, "superheated liquid", "viscosity")?.value ?? 0;
  expect(eta / (rowOf(boiling, "liquid", "viscosity")?.value ?? 1)).toBeCloseTo(1, 2);
  expect(answer.notices.map(({ code }) => code)).toEqual(["superheated-liquid"]);
});

it("what is not on file is listed with the reason, and hides nothing else", () => {
  const gas = fluidAnswer(fluid("N2O"), { T: K(320), p: bar(100), isSuperheated: false });
  expect(gas.groups[0]?.missing.map(({ id }) => id)).toEqual(["viscosity", "conductivity"]);
  expect(rowOf(gas, "supercritical", "density")?.value).toBeCloseTo(598.7308, 3);
  const bar400 = solidAnswer(solid("alloy-400"), K(90), K(293));
  expect(bar400.groups.flatMap(({ missing }) => missing.map(({ id }) => id))).toEqual([
    "conductivity",
    "specific_heat",
    "fracture_toughness",
    "mean_conductivity",
    "mean_specific_heat",
    "heat_content",
  ]);
});

it("a brittle steel says so at its temperature", () => {
  const cold = solidAnswer(solid("carbon-steel"), K(90), K(293));
  expect(cold.remarks[0]).toMatch(
    /^Brittle risk at this temperature, below 293.1 K, upper end of its transition/,
  );
  const warm = solidAnswer(solid("carbon-steel"), K(300), K(293));
  expect(warm.remarks[0]).toMatch(/^Brittle risk, below 293.1 K/);
});

describe("names", () => {
  it("of fluids and solids do not meet", () => {
    for (const name of fluidNames) expect([isFluidName(name), isSolidName(name)]).toEqual([true, false]);
    for (const name of solidNames) expect([isFluidName(name), isSolidName(name)]).toEqual([false, true]);
  });
});

it("one temperature for both ends: no contraction, no mean", () => {
  const answer = solidAnswer(solid("ptfe"), K(293), K(293));
  expect(rowOf(answer, "from 293 K to 293 K", "contraction")?.value).toBe(0);
  expect(answer.groups[1]?.rows).toHaveLength(1);
});
