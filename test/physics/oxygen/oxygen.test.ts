import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { oxygenLimits, oxygenStanding } from "../../../src/dossier/index.js";
import {
  collarPressure,
  compressionTemperature,
  exemptionPressure,
  type Fact,
  fastestJet,
  idealCompressionTemperature,
  type Mechanism,
  meltedShare,
  pressureSpeed,
  screened,
  soundingSpeeds,
  usableAutoignition,
  velocityLimit,
} from "../../../src/physics/oxygen/index.js";
import {
  type AngularSpeed,
  type Force,
  type Length,
  type Mass,
  type Pressure,
  type Speed,
  type Temperature,
  zeroCelsius,
} from "../../../src/quantity/index.js";
import { fluid, stateAtPressureTemperature } from "../../../src/substance/index.js";
import reference from "../../reference/mechanics-oxygen.json" with { type: "json" };

const Pa = (p: number) => p as Pressure;
const K = (T: number) => T as Temperature;
const bar = 1e5;
const named = fluid(oxygenLimits.oxidiser);
const T1 = K(20 + zeroCelsius.value);

describe("compression", () => {
  const ideal = reference["compression, ideal gas"];
  it.each(ideal.rows)(
    "ideal gas from 20 degC to $p_MPa MPa: $T_degC degC [astm-g88-2021, table of final temperatures]",
    ({ ratio, T_degC }) => {
      const T2 = idealCompressionTemperature(T1, ratio, 1.4);
      expect(Math.abs(T2 - zeroCelsius.value - T_degC)).toBeLessThan(ideal.tolerance.absolute_K);
    },
  );

  it.each(ideal.rows)(
    "real gas to $p_MPa MPa stays below the ideal gas of constant heat",
    ({ p_MPa, T_degC }) => {
      const T2 = compressionTemperature(named, Pa(0.101325e6), T1, Pa(p_MPa * 1e6));
      expect(T2 - zeroCelsius.value).toBeLessThan(T_degC);
      expect(T2).toBeGreaterThan(T1);
    },
  );

  const table = reference["entropy of oxygen gas"];
  it.each([0.345, 1, 2.068, 3.447, 6.895])(
    "real gas to %s MPa as the entropies of the ideal gas have it [janaf-1998, oxygen; from memory]",
    (p_MPa) => {
      // S(T2) = S(T1) + R ln(p2/p1), straight lines between the rows.
      const gasConstant = 8.314462618;
      const entropyAt = (T: number) => between(T, "T_K", "S_J_mol_K");
      const start = 205.147 + 29.38 * Math.log(T1 / 298.15);
      const wanted = start + gasConstant * Math.log(p_MPa / 0.101325);
      const rows = table.rows;
      const k = rows.findIndex(({ S_J_mol_K }) => S_J_mol_K > wanted);
      const [low, high] = [rows[k - 1], rows[k]];
      const share =
        (wanted - (low?.S_J_mol_K ?? Number.NaN)) / ((high?.S_J_mol_K ?? Number.NaN) - (low?.S_J_mol_K ?? 0));
      const expected = (low?.T_K ?? Number.NaN) + share * ((high?.T_K ?? Number.NaN) - (low?.T_K ?? 0));
      expect(entropyAt(expected)).toBeCloseTo(wanted, 6);
      const T2 = compressionTemperature(named, Pa(0.101325e6), T1, Pa(p_MPa * 1e6));
      expect(Math.abs(T2 - expected)).toBeLessThan(table.tolerance.absolute_K);
    },
  );

  function between(T: number, x: "T_K", y: "S_J_mol_K"): number {
    const k = table.rows.findIndex((row) => row[x] >= T);
    const [low, high] = [table.rows[k - 1], table.rows[k]];
    if (low === undefined || high === undefined) return Number.NaN;
    return low[y] + ((T - low[x]) / (high[x] - low[x])) * (high[y] - low[y]);
  }

  it("warmer or more compressed gas ends hotter", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 200, max: 320, noNaN: true }),
        fc.double({ min: 2, max: 100, noNaN: true }),
        (T, ratio) => {
          const at = (start: number, times: number) =>
            compressionTemperature(named, Pa(bar), K(start), Pa(times * bar));
          expect(at(T + 5, ratio)).toBeGreaterThan(at(T, ratio));
          expect(at(T, ratio * 1.1)).toBeGreaterThan(at(T, ratio));
        },
      ),
      { numRuns: 20 },
    );
  });

  it("an autoignition temperature counts up to the pressure of its test alone", () => {
    const test = { T: K(700), p: Pa(103 * bar) };
    expect(usableAutoignition(test, Pa(28 * bar))).toBe(700);
    expect(usableAutoignition(test, Pa(103 * bar))).toBe(700);
    expect(usableAutoignition(test, Pa(104 * bar))).toBeUndefined();
  });
});

describe("velocity", () => {
  it.each(reference["velocity where gas strikes"].rows)(
    "limit where gas strikes at $p_bar bar: $v_m_s m/s [eiga-13-2012, impingement velocity curve; from memory]",
    ({ p_bar, v_m_s }) => {
      expect(velocityLimit(oxygenLimits.impingement, Pa(p_bar * bar))).toBeCloseTo(v_m_s, 3);
    },
  );

  it.each(reference["velocity in straight pipe"].rows)(
    "limit in straight pipe at $p_bar bar: $v_m_s m/s [eiga-13-2012, non-impingement velocity curve; from memory]",
    ({ p_bar, v_m_s }) => {
      expect(velocityLimit(oxygenLimits.straight, Pa(p_bar * bar))).toBeCloseTo(v_m_s, 3);
    },
  );

  it("beyond 200 bar there is none", () => {
    expect(velocityLimit(oxygenLimits.impingement, Pa(201 * bar))).toBeUndefined();
  });

  it("gas into near vacuum comes to sqrt(2 cp T), that of an ideal gas, within what cp falls on the way", () => {
    // cp 918 J/(kg K) at 293 K [stewart-1991, tables]; expansion 28:1 leaves (1/28)^(2/7) of T.
    const state = stateAtPressureTemperature(named, Pa(28 * bar), T1);
    const expected = Math.sqrt(2 * 918 * T1 * (1 - 28 ** (-2 / 7)));
    const jet = fastestJet(named, state, Pa(bar));
    expect(Math.abs(jet.speed / expected - 1)).toBeLessThan(0.04);
    expect(jet.gas).toBe(1);
  });

  it("cold liquid comes to the speed of Bernoulli and stays liquid above its boiling pressure", () => {
    const state = stateAtPressureTemperature(named, Pa(28 * bar), K(91));
    const jet = fastestJet(named, state, Pa(18 * bar));
    expect(jet.speed / Math.sqrt((2 * 10 * bar) / state.rho)).toBeCloseTo(1, 3);
    expect(jet.gas).toBe(0);
    expect(fastestJet(named, state, Pa(0.5 * bar)).gas).toBeGreaterThan(0);
  });

  it("exempt metals: copper and nickel-copper alloys to 206.8 bar, stainless 316 by its thickness [eiga-13-2012; from memory]", () => {
    const upTo = (name: string, mm: number) =>
      exemptionPressure(oxygenStanding("metal", name)?.exemptions ?? [], (mm / 1000) as Length);
    expect(upTo("copper", 0.1)).toBeCloseTo(20.68e6, -3);
    expect(upTo("alloy-400", 1)).toBeCloseTo(20.68e6, -3);
    expect(upTo("alloy-400", 0.5)).toBeUndefined();
    expect(upTo("316L", 2)).toBeUndefined();
    expect(upTo("316L", 4)).toBeCloseTo(1.38e6, -3);
    expect(upTo("316L", 7)).toBeCloseTo(2.58e6, -3);
    expect(upTo("Ti-6Al-4V", 50)).toBeUndefined();
    expect(upTo("6061-T6", 50)).toBeUndefined();
    expect(() => exemptionPressure([], 0 as Length)).toThrow();
  });
});

describe("the other severities", () => {
  it("a collar of 20 on 10 mm under 1 kN: 4.244 MPa; at 10 rad/s and 10 mm 424.4 kW/m2, on paper", () => {
    const p = collarPressure(1000 as Force, 0.02 as Length, 0.01 as Length);
    expect(p).toBeCloseTo(4.2441e6, -2);
    expect(pressureSpeed(p, -10 as AngularSpeed, 0.01 as Length)).toBeCloseTo(424_413, 0);
  });

  it("24 g of PTFE at 7.1 MJ/kg hold 170.4 kJ: as much as melts 162 g at 1.05 MJ/kg, on paper", () => {
    const share = meltedShare([{ mass: 0.024 as Mass, heat: 7.1e6 }], 0.42 as Mass, 1.05e6);
    expect(share).toBeCloseTo(170.4e3 / (0.42 * 1.05e6), 9);
  });

  it("a passage of 50 mm and 10 mm mouth at 330 m/s sounds at 1650 Hz: from 33 to 55 m/s, on paper", () => {
    const speeds = soundingSpeeds(330 as Speed, 0.05 as Length, 0.01 as Length, { low: 0.3, high: 0.5 });
    expect(speeds.low).toBeCloseTo(33, 6);
    expect(speeds.high).toBeCloseTo(55, 6);
  });

  it("polymers rank by autoignition as in [astm-g63-2015; from memory]", () => {
    const rank = reference["rank of polymers"].rows
      .map((name) => ({ name, T: oxygenStanding("polymer", name)?.autoignition?.T ?? 0 }))
      .toSorted((a, b) => b.T - a.T)
      .map(({ name }) => name);
    expect(rank).toEqual(reference["rank of polymers"].rows);
  });
});

describe("the screen", () => {
  const mechanism: Mechanism<"a" | "b" | "c"> = {
    id: "m",
    name: "mechanism",
    conditions: [
      { id: "a", words: "a" },
      { id: "b", words: "b" },
      { id: "c", words: "c" },
    ],
    source: "astm-g88-2021",
  };
  const fact = fc.oneof(
    fc.constant<Fact>({ state: "present", words: "is" }),
    fc.constant<Fact>({ state: "absent", words: "is not", word: "somebody" }),
    fc.constant<Fact>({ state: "open", needs: ["field"] }),
  );

  it("counts a mechanism only where all conditions are present, and rules it out only where one is absent [astm-g88-2021]", () => {
    fc.assert(
      fc.property(fact, fact, fact, (a, b, c) => {
        const states = [a, b, c].map(({ state }) => state);
        const { kind } = screened(mechanism, { a, b, c });
        expect(kind === "credible").toBe(states.every((state) => state === "present"));
        expect(kind === "not credible").toBe(states.includes("absent"));
        expect(kind === "open").toBe(!states.includes("absent") && states.includes("open"));
      }),
    );
  });

  it("says which condition is absent and on whose word, and what an open one needs", () => {
    const absent: Fact = { state: "absent", words: "nothing strikes it", word: "design, 2031-03-02" };
    const open: Fact = { state: "open", needs: ["oxygen.parts[0].impinged"] };
    const present: Fact = { state: "present", words: "is" };
    expect(screened(mechanism, { a: present, b: open, c: absent })).toEqual({
      kind: "not credible",
      absent: [{ condition: "c", words: "nothing strikes it", word: "design, 2031-03-02" }],
    });
    expect(screened(mechanism, { a: present, b: open, c: present })).toEqual({
      kind: "open",
      open: ["b"],
      needs: ["oxygen.parts[0].impinged"],
    });
  });
});
