import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Dimension,
  dimensions,
  formatNumber,
  formatQuantity,
  formatUncertain,
  fromSi,
  parseQuantity,
  preferredUnit,
  readUnit,
  toSi,
} from "../../src/quantity/index.js";

const names = Object.keys(dimensions) as Dimension[];

describe("a number without uncertainty has four digits and no idle zeros", () => {
  const cases: readonly (readonly [number, string])[] = [
    [0, "0"],
    [-0, "0"],
    [1, "1"],
    [0.5, "0.5"],
    [101.325, "101.3"],
    [0.123456, "0.1235"],
    [-12.3456, "-12.35"],
    [123_456, "123500"],
    [1_234_567, "1.235e6"],
    [0.000_123_456, "0.0001235"],
    [0.000_012_345_6, "1.235e-5"],
    [9.9999e5, "1e6"],
    [Number.POSITIVE_INFINITY, "infinite"],
    [Number.NEGATIVE_INFINITY, "-infinite"],
  ];
  it.each(cases)("%d prints as %s", (value, text) => expect(formatNumber(value)).toBe(text));
  it("or as many as asked", () => {
    expect(formatNumber(Math.PI, { digits: 7 })).toBe("3.141593");
    expect(formatNumber(0.1 + 0.2, { digits: "all" })).toBe("0.30000000000000004");
    expect(formatNumber(1e21, { digits: "all" })).toBe("1e21");
  });
  it("not a number is a defect", () => expect(() => formatNumber(Number.NaN)).toThrow(RangeError));
});

describe("digits follow the uncertainty: two of it [gum-2008, 7.2.6]", () => {
  const cases: readonly (readonly [number, number, string])[] = [
    // GUM 7.2.6 example: y = 10.057 62 ohm with u = 27 mohm is rounded to 10.058 ohm.
    [10.057_62, 0.027, "10.058"],
    [0.8312, 0.042, "0.831"],
    [100.021_47, 0.000_35, "100.02147"],
    [28.019, 0.5, "28.02"],
    [1234.5, 730, "1230"],
    [-0.0001, 0.5, "0.00"],
    [0.0996, 0.0996, "0.10"],
    [5, 9.96, "5"],
    [1_234_567, 2300, "1.2346e6"],
    [1.234_567e-9, 2.3e-11, "1.235e-9"],
    [0, 0.02, "0.000"],
    [3, 0, "3"],
  ];
  it.each(cases)("%d with %d prints as %s", (value, uncertainty, text) =>
    expect(formatNumber(value, { uncertainty })).toBe(text),
  );
});

describe("a quantity is printed in the unit an engineer would take", () => {
  const cases: readonly (readonly [number, Dimension, string])[] = [
    [0.8, "time", "800 ms"],
    [1.25, "time", "1.25 s"],
    [Math.PI / 2, "angle", "90 deg"],
    [12.34, "torque", "12.34 N m"],
    [2.8e6, "pressure", "28 bar(a)"],
    [950, "pressure difference", "9.5 mbar"],
    [90.15, "temperature", "90.15 K"],
    [6, "current", "6 A"],
    [24, "voltage", "24 V"],
    [0.08, "resistance", "80 mohm"],
    [6.5e-6, "inertia", "65 g cm2"],
    [0.032, "length", "32 mm"],
    [0.025, "volume flow", "25 L/s"],
    [0.78, "ratio", "0.78"],
    [0.0011105554165971787, "flow coefficient", "40 Kv"],
  ];
  it.each(cases)("%d as %s prints as %s", (si, dimension, text) =>
    expect(formatQuantity(si, dimension)).toBe(text),
  );
  it("or in the unit asked, with the uncertainty's digits", () => {
    expect(formatQuantity(2.8e6, "pressure", { unit: "psia" })).toBe("406.1 psia");
    expect(formatQuantity(90.15, "temperature", { unit: "degC" })).toBe("-183 degC");
    expect(formatQuantity(0.831_234, "time", { uncertainty: 0.042 })).toBe("831 ms");
    expect(formatUncertain(0.831_234, 0.042, "time")).toBe("831 +/- 42 ms");
    expect(formatUncertain(2.8019e6, 5e4, "pressure")).toBe("28.02 +/- 0.50 bar(a)");
    expect(formatUncertain(0.0954929658551372, 0.00477, "torque constant", { unit: "rpm/V" })).toBe(
      "100.0 +/- 5.0 rpm/V",
    );
    expect(formatUncertain(12, 0, "torque")).toBe("12 N m");
  });
});

describe("parse(print(x)) = x", () => {
  // Below 1e-200 a conversion underflows, and no quantity is so small.
  const number = fc
    .double({ min: -1e9, max: 1e9, noNaN: true })
    .filter((x) => x === 0 || Math.abs(x) > 1e-200);
  it("in every display unit of every dimension, to the rounding of two conversions", () => {
    fc.assert(
      fc.property(fc.constantFrom(...names), number, fc.nat(), (dimension, raw, choice) => {
        const { display } = dimensions[dimension];
        const unit = display[choice % display.length]?.unit ?? "";
        const x = dimension === "pressure" || dimension === "temperature" ? Math.abs(raw) + 1e-3 : raw;
        const back = parseQuantity(formatQuantity(x, dimension, { unit, digits: "all" }), dimension);
        expect(Math.abs(back - x)).toBeLessThanOrEqual(4e-16 * Math.abs(x));
      }),
      { numRuns: 2000 },
    );
  });
  it("on scales with another zero, to the rounding of the zero", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("degC", "degF"),
        fc.double({ min: 0.01, max: 2000, noNaN: true }),
        (unit, x) => {
          const text = formatQuantity(x, "temperature", { unit, digits: "all" });
          expect(Math.abs(parseQuantity(text, "temperature") - x)).toBeLessThanOrEqual(
            4e-16 * (Math.abs(x) + 500),
          );
        },
      ),
    );
  });
  it("and four digits are right to half a unit of the fourth", () => {
    fc.assert(
      fc.property(number, (x) => {
        expect(Math.abs(Number(formatNumber(x)) - x)).toBeLessThanOrEqual(0.5001e-3 * Math.abs(x));
      }),
    );
  });
  it("a column converts there and back", () => {
    const psi = readUnit("psig", "pressure");
    fc.assert(
      fc.property(fc.double({ min: -14, max: 5000, noNaN: true }), (x) => {
        expect(Math.abs(fromSi(psi, toSi(psi, x)) - x)).toBeLessThanOrEqual(1e-12 * (Math.abs(x) + 15));
      }),
    );
  });
});

it("the preferred unit of a column follows its largest value", () => {
  expect(preferredUnit(0.4, "time")).toBe("ms");
  expect(preferredUnit(-3, "time")).toBe("s");
  expect(preferredUnit(0, "time")).toBe("ms");
  expect(preferredUnit(0, "pressure")).toBe("bar(a)");
  expect(preferredUnit(Number.POSITIVE_INFINITY, "length")).toBe("m");
});
