import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import type { Pressure, Temperature } from "../../src/quantity/index.js";
import {
  type FluidTable,
  fluid,
  fluidTable,
  stateAtPressureTemperature,
  type TableRange,
  vapourPressure,
} from "../../src/substance/index.js";
import { Isotherm } from "../../src/substance/isotherm.js";
import { share } from "./arbitraryState.js";

const range = (
  region: TableRange["region"],
  TMin: number,
  TMax: number,
  pMin: number,
  pMax: number,
): TableRange => ({
  region,
  TMin: TMin as Temperature,
  TMax: TMax as Temperature,
  pMin: pMin as Pressure,
  pMax: pMax as Pressure,
});

/** On the boiling line itself the equation of state answers with the liquid. */
const offLine = 1 - 3e-7;

const cases = [
  ["oxygen", range("liquid", 60, 130, 1, 100e5), 2e-6],
  ["nitrogen", range("liquid", 68, 115, 1, 100e5), 2e-6],
  ["methane", range("liquid", 95, 165, 1, 100e5), 2e-6],
  ["oxygen", range("vapour", 70, 140, 100, 1), 2e-6],
  ["helium", range("gas", 200, 350, 1e4, 300e5), 1e-8],
  ["nitrogen", range("gas", 200, 350, 1e4, 300e5), 1e-6],
] as const;

describe.each(cases)("%s, %o", (name, wanted, stated) => {
  const substance = fluid(name);
  let table: FluidTable;
  beforeAll(() => {
    table = fluidTable(substance, wanted);
  });

  /** A state of the patch, by shares along both axes. */
  const stateOf = (along: number, up: number) => {
    const T = wanted.TMin + (wanted.TMax - wanted.TMin) * along;
    const boiling = wanted.region === "gas" ? wanted.pMax : vapourPressure(substance, T as Temperature);
    const p =
      wanted.region === "liquid"
        ? boiling + (wanted.pMax - boiling) * up
        : wanted.pMin + (boiling * offLine - wanted.pMin) * up;
    return { T, p };
  };

  it("states its error, and the error is as small as it should be", () => {
    expect(table.densityError).toBeLessThan(stated);
    expect(table.densityError).toBeGreaterThan(0);
  });

  it("density and enthalpy lie within the stated error of the equation of state", () => {
    fc.assert(
      fc.property(share, share, (along, up) => {
        const { T, p } = stateOf(along, up);
        const exact = stateAtPressureTemperature(substance, p as Pressure, T as Temperature);
        table.evaluate(p, T);
        expect(Math.abs(table.rho / exact.rho - 1)).toBeLessThan(table.densityError + 1e-9);
        const scale = substance.specificGasConstant * T;
        expect(Math.abs(table.h - exact.h) / scale).toBeLessThan(table.enthalpyError + 1e-8);
      }),
      { numRuns: 300 },
    );
  });

  it("its derivatives are those of the equation of state within 0.2 %", () => {
    fc.assert(
      fc.property(share, share, (along, up) => {
        const { T, p } = stateOf(0.01 + 0.98 * along, 0.01 + 0.98 * up);
        const { rho } = stateAtPressureTemperature(substance, p as Pressure, T as Temperature);
        const isotherm = new Isotherm(substance).setTemperature(T);
        isotherm.pressure(rho);
        table.evaluate(p, T);
        expect(table.drhodp * isotherm.dpdrho).toBeCloseTo(1, 2.4);
        expect((-table.drhodT * isotherm.dpdrho) / isotherm.dpdT).toBeCloseTo(1, 2.4);
      }),
      { numRuns: 200 },
    );
  });

  it("value and slopes do not jump from cell to cell (C1)", () => {
    const [nT, nP] = [48, 32];
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: nT - 1 }),
        fc.integer({ min: 1, max: nP - 1 }),
        share,
        (i, j, off) => {
          const step = 1e-9;
          for (const [along, up, dAlong, dUp] of [
            [i / nT, 0.02 + 0.96 * off, step, 0],
            [0.02 + 0.96 * off, j / nP, 0, step],
          ] as const) {
            const before = stateOf(along - dAlong, up - dUp);
            const after = stateOf(along + dAlong, up + dUp);
            table.evaluate(before.p, before.T);
            const { rho, drhodp, drhodT, h } = table;
            table.evaluate(after.p, after.T);
            expect(Math.abs(table.rho / rho - 1)).toBeLessThan(1e-7);
            expect(Math.abs(table.drhodp / drhodp - 1)).toBeLessThan(1e-6);
            expect(Math.abs(table.drhodT / drhodT - 1)).toBeLessThan(1e-6);
            expect(Math.abs(table.h - h)).toBeLessThan(1e-6 * substance.specificGasConstant * after.T);
          }
        },
      ),
      { numRuns: 100 },
    );
  });

  it("knows what it covers, and refuses the rest", () => {
    const { T, p } = stateOf(0.5, 0.5);
    expect(table.covers(p, T)).toBe(true);
    expect(table.covers(p, wanted.TMax + 1)).toBe(false);
    expect(() => table.evaluate(p, wanted.TMax + 1)).toThrow(Refusal);
    const far = wanted.region === "liquid" ? wanted.pMax * 1.01 : wanted.pMin * 0.99;
    expect(table.covers(far, T)).toBe(false);
    expect(() => table.evaluate(far, T)).toThrow(Refusal);
  });
});

it("halving the cells divides the error by about sixteen: order four", () => {
  const oxygen = fluid("oxygen");
  const wanted = cases[0][1];
  const coarse = fluidTable(oxygen, { ...wanted, cells: [12, 8] }).densityError;
  const fine = fluidTable(oxygen, { ...wanted, cells: [24, 16] }).densityError;
  expect(Math.log2(coarse / fine)).toBeGreaterThan(3.3);
});

it.each([
  ["the temperatures do not rise", range("liquid", 100, 90, 1, 1e7)],
  [
    "boiling fluid is tabled up to 149.9 K, 0.97 of its critical temperature",
    range("liquid", 90, 152, 1, 1e7),
  ],
  ["the highest pressure lies below the vapour pressure at 140 K", range("liquid", 90, 140, 1, 1e6)],
  ["the lowest pressure does not lie below the vapour pressure at 90 K", range("vapour", 90, 140, 1e6, 1)],
  ["the rectangle reaches into the boiling region", range("gas", 90, 300, 1e3, 1e6)],
])("a table is refused: %s", (reason, wanted) => {
  try {
    fluidTable(fluid("oxygen"), wanted);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    expect(error.faults[0]?.code).toBe("fluid-table-range");
    expect(error.faults[0]?.found).toContain(reason);
    return;
  }
  throw new Error("not refused");
});
