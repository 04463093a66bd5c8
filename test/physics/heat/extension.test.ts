import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type ExtensionDesign,
  type ExtensionState,
  extensionAfter,
  pairAfter,
  steadyExtension,
  steadyPair,
  TemperatureCurve,
} from "../../../src/physics/heat/index.js";
import type {
  HeatCapacity,
  Length,
  Power,
  Temperature,
  ThermalResistance,
  Time,
} from "../../../src/quantity/index.js";
import { solid, solidIntegral, solidProperty } from "../../../src/substance/index.js";

const K = (T: number) => T as Temperature;
const open = 1e9 as ThermalResistance;
const none = { value: 0, slope: 0 };
const along = (ambient: number, conductance: number) => (T: number) => ({
  value: conductance * (ambient - T),
  slope: -conductance,
});

/** A tube alone: the stem is a hair, and nothing goes across to it but what a hair takes. */
const plain: ExtensionDesign = {
  cold: K(90),
  length: 0.2 as Length,
  tubeOuterDiameter: 0.03 as Length,
  tubeWall: 0.002 as Length,
  stemDiameter: 1e-6 as Length,
  tubeConductivity: () => 14,
  stemConductivity: () => 14,
  tubeToGearbox: 0 as ThermalResistance,
  stemToGearbox: 0 as ThermalResistance,
  sideHeat: () => none,
  gearboxHeat: () => none,
  heater: 0 as Power,
  gearboxToMotor: open,
  motorToAir: open,
  ambient: K(293),
};
const area = Math.PI * 0.002 * 0.028;
/** A gearbox held at the temperature of the air. */
const held = { gearboxHeat: along(293, 1e6) };

describe("a fin of constant conductivity", () => {
  const hP = 0.8;
  const m = Math.sqrt(hP / (14 * area));
  const M = Math.sqrt(hP * 14 * area) * (293 - 90);

  it("with an end that takes no heat: q = M tanh mL, theta_L = theta_b / cosh mL [incropera-2007, table 3.4, case B]", () => {
    const fin = steadyExtension({ ...plain, sideHeat: along(293, hP), cells: 160 });
    expect(fin.toValve / (M * Math.tanh(m * 0.2))).toBeCloseTo(1, 3);
    expect(293 - fin.gearbox).toBeCloseTo((293 - 90) / Math.cosh(m * 0.2), 1);
  });

  it("very long: q = M [incropera-2007, table 3.4, case D]", () => {
    const fin = steadyExtension({ ...plain, length: 2 as Length, sideHeat: along(293, hP), cells: 600 });
    expect(fin.toValve / M).toBeCloseTo(1, 3);
    expect(fin.gearbox).toBeCloseTo(293, 4);
  });

  it("with a held end: theta = theta_b sinh m(L - x) / sinh mL [incropera-2007, table 3.4, case C]", () => {
    const fin = steadyExtension({ ...plain, ...held, sideHeat: along(293, hP), cells: 160 });
    const [x, T] = [fin.x[80] ?? 0, fin.tube[80] ?? 0];
    expect(293 - T).toBeCloseTo((203 * Math.sinh(m * (0.2 - x))) / Math.sinh(m * 0.2), 1);
  });

  it("half the cells, a quarter of the error", () => {
    const exact = M * Math.tanh(m * 0.2);
    const error = (cells: number) =>
      Math.abs(steadyExtension({ ...plain, sideHeat: along(293, hP), cells }).toValve - exact);
    expect(error(10) / error(20)).toBeGreaterThan(3.6);
    expect(error(20) / error(40)).toBeGreaterThan(3.6);
  });
});

describe("without heat from the air", () => {
  const curve = (name: string) => {
    const of = new TemperatureCurve((T) => solidProperty(solid(name), "conductivity", K(T)).value);
    return (T: number) => of.value(T);
  };
  const leak = (name: string, cold: number) =>
    steadyExtension({ ...plain, ...held, cold: K(cold), tubeConductivity: curve(name) }).toValve;

  it("the leak of a stainless tube from 77 to 300 K is A/L times 2740 W/m within 4 % [barron-1985; from memory, +/- 3 %]", () => {
    const warm = { gearboxHeat: along(300, 1e6), ambient: K(300), cold: K(77) };
    const found = steadyExtension({ ...plain, ...warm, tubeConductivity: curve("304") }).toValve;
    expect(Math.abs(found / ((area / 0.2) * 2740) - 1)).toBeLessThan(0.04);
  });

  it.each([
    ["304", 77, 2598.2],
    ["304", 90, 2490.0],
    ["6061-T6", 77, 27_600],
    ["invar-36", 90, 2280.2],
    ["alloy-718", 90, 1728.9],
    ["ti-6al-4v", 77, 1160.3],
  ])(
    "the leak of a tube of %s from %s to 293 K is A/L times %s W/m, integral of the fit [nist-cryogenics-2010]",
    (name, cold, integral) => {
      expect(leak(name, cold) / ((area / 0.2) * integral)).toBeCloseTo(1, 3);
    },
  );

  it("tube and stem carry beside each other", () => {
    const stem = {
      stemDiameter: 0.014 as Length,
      tubeConductivity: curve("304"),
      stemConductivity: curve("alloy-718"),
    };
    const both = steadyExtension({ ...plain, ...held, ...stem }).toValve;
    const integral = (name: string) => solidIntegral(solid(name), "conductivity", K(90), K(293)).value;
    const sum = (area * integral("304") + (Math.PI / 4) * 0.014 ** 2 * integral("alloy-718")) / 0.2;
    expect(both / sum).toBeCloseTo(1, 2);
  });

  it("a resistance to the gearbox stands in series", () => {
    const R = 20 as ThermalResistance;
    const found = steadyExtension({ ...plain, ...held, tubeToGearbox: R, stemToGearbox: open }).toValve;
    expect(found).toBeCloseTo(203 / (0.2 / (14 * area) + R), 6);
  });
});

describe("a drive that cools", () => {
  const capacities = [1500 as HeatCapacity, 300 as HeatCapacity] as const;

  it("a body alone: T = T_a + (T_0 - T_a) e^(-t/RC) [incropera-2007, eq. 5.6]", () => {
    const nodes = { a11: 0.5, a12: -1e-12, a22: 1, b1: 0.5 * 250, b2: 1 * 250 };
    const [T] = pairAfter(nodes, capacities, [K(293), K(293)], 3000 as Time);
    expect(T).toBeCloseTo(250 + 43 * Math.exp(-1), 6);
  });

  it("a thermocouple of 1 s from 25 degC in gas of 200 degC reads 199 degC after 5.2 s [incropera-2007, example 5.1; from memory]", () => {
    const nodes = { a11: 1, a12: -1e-12, a22: 1, b1: 473.15, b2: 473.15 };
    const one = [1 as HeatCapacity, 1 as HeatCapacity] as const;
    const at = (t: number) => pairAfter(nodes, one, [K(298.15), K(298.15)], t as Time)[0] - 273.15;
    expect(at(5.1)).toBeLessThan(199);
    expect(at(5.2)).toBeGreaterThan(199);
  });

  it("two bodies follow their equations: closed form against small steps", () => {
    const nodes = { a11: 2, a12: -0.8, a22: 1.1, b1: 400, b2: 120 };
    const [C1, C2] = capacities;
    let [T, S] = [293, 280];
    const dt = 0.05;
    for (let t = 0; t < 900; t += dt) {
      const dT = (nodes.b1 - nodes.a11 * T - nodes.a12 * S) / C1;
      const dS = (nodes.b2 - nodes.a12 * T - nodes.a22 * S) / C2;
      [T, S] = [T + dT * dt, S + dS * dt];
    }
    const found = pairAfter(nodes, capacities, [K(293), K(280)], 900 as Time);
    expect(found[0]).toBeCloseTo(T, 2);
    expect(found[1]).toBeCloseTo(S, 2);
    const late = pairAfter(nodes, capacities, [K(293), K(280)], 1e7 as Time);
    expect(late[0]).toBeCloseTo(steadyPair(nodes)[0], 9);
  });

  const design: ExtensionDesign = {
    ...plain,
    stemDiameter: 0.014 as Length,
    gearboxHeat: along(293, 0.3),
    sideHeat: along(293, 0.7),
    gearboxToMotor: 1 as ThermalResistance,
    motorToAir: 5 as ThermalResistance,
  };

  it("by an extension of constant conductivity is exact: its steps are one", () => {
    const fin = steadyExtension(design);
    const start = extensionAfter(design, capacities, 0 as Time);
    expect([start.gearbox, start.motor]).toEqual([293, 293]);
    const later = (t: number) => extensionAfter(design, capacities, t as Time);
    expect(later(1e6).gearbox).toBeCloseTo(fin.gearbox, 6);
    // Heat lost by the drive over the time is what it gave to its surroundings, by Simpson's rule.
    const flows = (t: number) => {
      const { toValve, toTube, toGearbox, toMotor } = later(t);
      return toValve - toTube - toGearbox - toMotor;
    };
    const span = 1200;
    const n = 60;
    let given = 0;
    for (let j = 0; j <= n; j++)
      given += (j === 0 || j === n ? 1 : j % 2 === 1 ? 4 : 2) * flows((span * j) / n);
    given *= span / n / 3;
    const { gearbox, motor } = later(span);
    const lost = capacities[0] * (293 - gearbox) + capacities[1] * (293 - motor);
    expect(given / lost).toBeCloseTo(1, 3);
  });

  it("never warms on the way", () => {
    let before = 294;
    for (const t of [0, 60, 600, 3600, 36_000]) {
      const { gearbox } = extensionAfter(design, capacities, t as Time);
      expect(gearbox).toBeLessThanOrEqual(before);
      before = gearbox;
    }
  });
});

describe("any extension", () => {
  const of = new TemperatureCurve((T) => solidProperty(solid("316"), "conductivity", K(T)).value);
  const steel = (T: number) => of.value(T);
  const designs = fc
    .record({
      cold: fc.double({ min: 77, max: 290, noNaN: true }),
      length: fc.double({ min: 0.05, max: 0.6, noNaN: true }),
      wall: fc.double({ min: 0.001, max: 0.006, noNaN: true }),
      stem: fc.double({ min: 0.005, max: 0.02, noNaN: true }),
      ambient: fc.double({ min: 260, max: 310, noNaN: true }),
      side: fc.double({ min: 0, max: 3, noNaN: true }),
      box: fc.double({ min: 0.02, max: 2, noNaN: true }),
      joint: fc.double({ min: 0, max: 20, noNaN: true }),
      motor: fc.double({ min: 0.5, max: 10, noNaN: true }),
      heater: fc.double({ min: 0, max: 1, noNaN: true }),
    })
    .map(
      ({ cold, length, wall, stem, ambient, side, box, joint, motor, heater }): ExtensionDesign => ({
        cold: K(cold),
        length: length as Length,
        tubeOuterDiameter: 0.035 as Length,
        tubeWall: wall as Length,
        stemDiameter: stem as Length,
        tubeConductivity: steel,
        stemConductivity: steel,
        tubeToGearbox: joint as ThermalResistance,
        stemToGearbox: (2 * joint) as ThermalResistance,
        sideHeat: along(ambient, side),
        gearboxHeat: along(ambient, box),
        heater: heater as Power,
        gearboxToMotor: motor as ThermalResistance,
        motorToAir: 5 as ThermalResistance,
        ambient: K(ambient),
      }),
    );
  const balance = ({ toValve, toTube, toGearbox, toMotor }: ExtensionState, heater: number) =>
    toTube + toGearbox + toMotor + heater - toValve;

  it("closes its balance: what goes into the valve has come from air and heater", () => {
    fc.assert(
      fc.property(designs, (design) => {
        const state = steadyExtension(design);
        const scale = Math.max(Math.abs(state.toValve), design.heater, 0.01);
        expect(Math.abs(balance(state, design.heater)) / scale).toBeLessThan(1e-4);
      }),
    );
  });

  it("longer never leaks more, nor keeps the gearbox colder", () => {
    fc.assert(
      fc.property(designs, fc.double({ min: 1, max: 3, noNaN: true }), (design, more) => {
        const cold = { ...design, heater: 0 as Power, sideHeat: () => none };
        const short = steadyExtension(cold);
        const long = steadyExtension({ ...cold, length: (design.length * more) as Length });
        const ours = design.cold <= design.ambient ? 1 : -1;
        expect(ours * (long.toValve - short.toValve)).toBeLessThan(1e-6);
        expect(ours * (short.gearbox - long.gearbox)).toBeLessThan(1e-6);
      }),
    );
  });

  it("a heater never cools the gearbox, a colder valve never warms it", () => {
    fc.assert(
      fc.property(designs, fc.double({ min: 0, max: 1, noNaN: true }), (design, more) => {
        const { gearbox } = steadyExtension(design);
        const heated = steadyExtension({ ...design, heater: (design.heater + more) as Power });
        expect(heated.gearbox).toBeGreaterThan(gearbox - 1e-6);
        const colder = steadyExtension({ ...design, cold: K(Math.max(design.cold - 10 * more, 75)) });
        expect(colder.gearbox).toBeLessThan(gearbox + 1e-5);
      }),
    );
  });
});
