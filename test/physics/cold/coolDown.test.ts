import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  asPublished,
  type CoolDownCase,
  type CoolingPart,
  coolantAt,
  coolDown,
  SolidHeat,
} from "../../../src/physics/cold/index.js";
import type {
  Area,
  Length,
  Mass,
  MassFlow,
  Pressure,
  SpecificEnergy,
  Temperature,
} from "../../../src/quantity/index.js";
import {
  fluid,
  saturationAtPressure,
  solid,
  solidIntegral,
  solidProperty,
} from "../../../src/substance/index.js";

const T = (kelvin: number) => kelvin as Temperature;
const heatOf = (name: string) =>
  new SolidHeat((at) => solidProperty(solid(name), "specific_heat", at).value, T(75), T(300));
const heats = { "stainless-304": heatOf("304"), "aluminium-6061-t6": heatOf("6061"), ptfe: heatOf("ptfe") };
const constant = new SolidHeat(() => 400, T(80), T(300));
const oxygen = coolantAt(fluid("oxygen"), 2e5 as Pressure, T(300));

const part = (changes: Partial<CoolingPart> & { readonly area?: number } = {}): CoolingPart => {
  const { area, ...rest } = changes;
  return {
    mass: 1 as Mass,
    heat: constant,
    heatFactor: 1,
    toSurroundings: 1e12,
    ...(area === undefined ? {} : { wetted: { area: area as Area, passage: 0.03 as Length } }),
    ...rest,
  };
};
const cooling = (changes: Partial<CoolDownCase> = {}): CoolDownCase => ({
  parts: [part({ area: 0.01 })],
  links: [],
  start: T(290),
  surroundings: T(290),
  coolant: oxygen,
  flow: 0.05 as MassFlow,
  admitted: oxygen.liquidEnthalpy,
  factors: asPublished,
  ...changes,
});

/** Temperatures of the first part at every step, with the times. */
function historyOf(given: CoolDownCase, stepError?: number) {
  const history: { readonly t: number; readonly T: readonly number[] }[] = [];
  const end = coolDown(
    given,
    ({ time, temperatures }) => {
      history.push({ t: time, T: [...temperatures] });
    },
    stepError,
  );
  return { history, end };
}

/** First time at which a part is at or below a temperature; straight between steps. */
function timeTo(given: CoolDownCase, below: number, j = 0, stepError?: number): number {
  const { history } = historyOf(given, stepError);
  const after = history.findIndex(({ T: at }) => (at[j] ?? Number.NaN) <= below);
  const [first, second] = [history[after - 1], history[after]];
  if (first === undefined || second === undefined) return Number.POSITIVE_INFINITY;
  const [a, b] = [first.T[j] ?? Number.NaN, second.T[j] ?? Number.NaN];
  return first.t + ((second.t - first.t) * (a - below)) / (a - b);
}

describe("heat content of a solid", () => {
  it.each([
    ["stainless-304", 80_340],
    ["aluminium-6061-t6", 157_130],
    ["ptfe", 142_340],
  ] as const)(
    "%s from 90 to 293 K: %d J/kg, integral of the fit [nist-cryogenics-2010]",
    (name, expected) => {
      const heat = heats[name];
      // Straight pieces of 8 K.
      expect((heat.enthalpy(T(293)) - heat.enthalpy(T(90))) / expected).toBeCloseTo(1, 3);
    },
  );

  it("temperature and enthalpy are each other's inverse, beyond the ends of the table too", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...Object.values(heats)),
        fc.double({ min: 60, max: 330, noNaN: true }),
        (heat, at) => {
          expect(heat.temperature(heat.enthalpy(T(at)))).toBeCloseTo(at, 9);
        },
      ),
    );
  });

  it("specific heat is the slope of the enthalpy", () => {
    for (const at of [81, 120.3, 250]) {
      const slope = (heats.ptfe.enthalpy(T(at + 1e-3)) - heats.ptfe.enthalpy(T(at - 1e-3))) / 2e-3;
      expect(heats.ptfe.specificHeat(T(at)) / slope).toBeCloseTo(1, 6);
    }
  });

  it.each([
    ["304", 0.53],
    ["6061", 1.01],
    ["copper", 0.46],
  ])(
    "%s from 300 to 77 K boils %d L of nitrogen per kg by latent heat alone [ekin-2006, cryogen consumption; values from memory]",
    (name, litres) => {
      const { latentHeat, liquid } = saturationAtPressure(fluid("nitrogen"), 101_325 as Pressure);
      const heat = solidIntegral(solid(name), "specific_heat", T(77.36), T(300)).value;
      // Rounded to two digits, of metals alike but not the same.
      expect(((heat / latentHeat / liquid.rho) * 1000) / litres).toBeGreaterThan(0.95);
      expect(((heat / latentHeat / liquid.rho) * 1000) / litres).toBeLessThan(1.05);
    },
  );
});

describe("closed forms of lumped bodies with constant properties", () => {
  it("one body towards its surroundings: T = T_a + (T_0 - T_a) exp(-t / (R C)) [incropera-2007, eq. 5.6]", () => {
    const R = 3;
    const given = cooling({
      parts: [part({ toSurroundings: R })],
      surroundings: T(100),
    });
    const { history } = historyOf(given, 0.01);
    for (const { t, T: at } of history) expect(at[0]).toBeCloseTo(100 + 190 * Math.exp(-t / (R * 400)), 1);
    expect(history.at(-1)?.T[0]).toBeLessThan(101);
  });

  it("one body in a stream of vapour: T = T_v + (T_0 - T_v) exp(-flow cp_v (1 - exp(-NTU)) t / C)", () => {
    const given = cooling({ admitted: (oxygen.vapourEnthalpy + 1) as SpecificEnergy });
    const { history } = historyOf(given, 0.01);
    const bulk = oxygen.saturation + 1 / oxygen.vapourHeat;
    const rate = -Math.log(((history[3]?.T[0] ?? 0) - bulk) / (290 - bulk)) / (history[3]?.t ?? 0);
    for (const { t, T: at } of history)
      expect(at[0]).toBeCloseTo(bulk + (290 - bulk) * Math.exp(-rate * t), 1);
  });

  it("a body linked to one that is held at 150 K: T = 150 K + (T_0 - 150 K) exp(-t / (R C))", () => {
    // The first body is held at 150 K by its surroundings, the second reaches it through the link alone.
    const held = cooling({
      parts: [part({ toSurroundings: 1e-6 }), part()],
      links: [{ first: 0, second: 1, resistance: 2 }],
      surroundings: T(150),
    });
    const { history } = historyOf(held, 0.01);
    for (const { t, T: at } of history.slice(5))
      expect(Math.abs((at[1] ?? Number.NaN) - (150 + 140 * Math.exp(-t / (2 * 400))))).toBeLessThan(0.3);
  });

  it("a part that is hardly linked comes to rest where it will, however long that takes", () => {
    const { end } = historyOf(
      cooling({
        parts: [part({ area: 0.01 }), part({ toSurroundings: 3e6 })],
        links: [{ first: 0, second: 1, resistance: 1e6 }],
      }),
    );
    // Three quarters of the way from the surroundings to the coolant.
    expect(end.temperatures[1]).toBeCloseTo(290 - 0.75 * (290 - oxygen.saturation), 0);
    expect(end.time).toBeGreaterThan(1e8);
  });

  it("one body in boiling liquid: at the end it is at the temperature of the coolant", () => {
    const { end } = historyOf(cooling());
    expect(end.isSettled).toBe(true);
    expect(end.temperatures[0]).toBeCloseTo(oxygen.saturation, 0);
  });
});

/** Random valves of three parts. */
const valves = fc
  .record({
    areas: fc.array(fc.double({ min: 1e-4, max: 0.05, noNaN: true }), { minLength: 3, maxLength: 3 }),
    masses: fc.array(fc.double({ min: 0.05, max: 5, noNaN: true }), { minLength: 3, maxLength: 3 }),
    leaks: fc.array(fc.double({ min: 20, max: 1e6, noNaN: true }), { minLength: 3, maxLength: 3 }),
    resistance: fc.double({ min: 0.5, max: 100, noNaN: true }),
    flow: fc.double({ min: 1e-3, max: 0.5, noNaN: true }),
    x: fc.double({ min: -0.1, max: 0.9, noNaN: true }),
  })
  .map(({ areas, masses, leaks, resistance, flow, x }) =>
    cooling({
      parts: Object.values(heats).map((heat, j) =>
        part({
          heat,
          mass: (masses[j] ?? 1) as Mass,
          toSurroundings: leaks[j] ?? 1e6,
          ...(j === 2 ? {} : { area: areas[j] ?? 0.01 }),
        }),
      ),
      links: [
        { first: 0, second: 1, resistance },
        { first: 1, second: 2, resistance },
      ],
      flow: flow as MassFlow,
      admitted: (oxygen.liquidEnthalpy +
        x * (oxygen.vapourEnthalpy - oxygen.liquidEnthalpy)) as SpecificEnergy,
    }),
  );

describe("properties", () => {
  it("energy closes: what the coolant took is what the parts lost and the surroundings gave", () => {
    fc.assert(
      fc.property(valves, (given) => {
        const { taken, given: leaked, lost, isSettled } = coolDown(given);
        expect(isSettled).toBe(true);
        expect(Math.abs(taken - leaked - lost)).toBeLessThan(1e-9 * taken);
      }),
      { numRuns: 40 },
    );
  });

  it("no coolant takes more than it can, its vapour as warm as the valve was: the least propellant is a bound", () => {
    fc.assert(
      fc.property(valves, (given) => {
        const most = oxygen.vapourEnthalpy + oxygen.vapourHeat * (290 - oxygen.saturation) - given.admitted;
        let before = { t: 0, taken: 0 };
        coolDown(given, ({ time, taken }) => {
          expect(taken - before.taken).toBeLessThanOrEqual(
            // The second stage of a step overshoots by the error that it lets pass.
            given.flow * most * (time - before.t) * 1.05 + 100,
          );
          before = { t: time, taken };
        });
        expect(before.taken).toBeLessThanOrEqual(given.flow * most * before.t * (1 + 1e-3));
      }),
      { numRuns: 40 },
    );
  });

  it("more wall in the coolant, more flow, less mass and a tighter film never make one body slower", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 0.03, noNaN: true }),
        fc.double({ min: 5e-3, max: 0.2, noNaN: true }),
        fc.double({ min: 1.1, max: 3, noNaN: true }),
        (area, flow, more) => {
          const time = (changes: Partial<CoolDownCase>) =>
            timeTo(
              cooling({
                parts: [part({ area, heat: heats["stainless-304"] })],
                flow: flow as MassFlow,
                ...changes,
              }),
              oxygen.saturation + 15,
            );
          const base = time({}) * 1.002;
          expect(time({ parts: [part({ area: area * more, heat: heats["stainless-304"] })] })).toBeLessThan(
            base,
          );
          expect(time({ flow: (flow * more) as MassFlow })).toBeLessThan(base);
          expect(
            time({ parts: [part({ area, heat: heats["stainless-304"], mass: (1 / more) as Mass })] }),
          ).toBeLessThan(base);
          expect(time({ factors: { ...asPublished, film: more } })).toBeLessThan(base);
        },
      ),
      { numRuns: 30 },
    );
  });

  it("the usual step agrees with one of a hundredth of its error to half a percent of the time", () => {
    fc.assert(
      fc.property(valves, (given) => {
        // A wall so small that heat from outside holds it near the foot of the film may linger there for ever.
        fc.pre(given.parts.every(({ wetted }) => wetted === undefined || wetted.area > 3e-3));
        const below = oxygen.saturation + 30;
        const fine = timeTo(given, below, 0, 0.005);
        fc.pre(Number.isFinite(fine));
        expect(Math.abs(timeTo(given, below) / fine - 1)).toBeLessThan(0.005);
      }),
      { numRuns: 15 },
    );
  });

  it("leaves no part colder than coolant and surroundings allow", () => {
    fc.assert(
      fc.property(valves, (given) => {
        const coldest =
          Math.min(given.admitted - oxygen.liquidEnthalpy, 0) / oxygen.liquidHeat + oxygen.saturation;
        for (const at of coolDown(given).temperatures) {
          expect(at).toBeGreaterThan(coldest - 1);
          expect(at).toBeLessThan(291);
        }
      }),
      { numRuns: 40 },
    );
  });
});
