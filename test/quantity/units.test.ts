import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import {
  type Dimension,
  dimensions,
  type Pressure,
  parseQuantity,
  referenceWaterDensity,
  standardAtmosphere,
  unitDimensions,
  unitNames,
  units,
} from "../../src/quantity/index.js";
import table from "../reference/units.json" with { type: "json" };

const names = Object.keys(dimensions) as Dimension[];

function dimensionOf(name: string): Dimension {
  const found = names.find((dimension) => dimension === name);
  if (found === undefined) throw new Error(`no dimension ${name}`);
  return found;
}

describe("NIST SP 811 (2008), appendix B.8", () => {
  // Tolerance: half a unit of the last printed digit; for exact factors the rounding of a few products.
  for (const { typed, dimension, si, digits, entry } of table.rows) {
    it(`${typed}: ${entry}`, () => {
      const exponent = Math.floor(Math.log10(Math.abs(si)));
      const tolerance =
        typeof digits === "number" ? 0.5001 * 10 ** (exponent + 1 - digits) : 4e-16 * Math.abs(si);
      expect(Math.abs(parseQuantity(typed, dimensionOf(dimension)) - si)).toBeLessThanOrEqual(tolerance);
    });
  }
});

describe("fracture toughness", () => {
  it("1 ksi sqrt(in) is 1.099 MPa sqrt(m) [budynas-nisbett-2011, sec. 5-12]", () => {
    for (const typed of ["1 ksi√in", "1 ksi sqrt(in)", "1 ksi in^0.5"])
      expect(parseQuantity(typed, "fracture toughness") / 1e6).toBeCloseTo(1.099, 3);
    expect(parseQuantity("50 MPa√m", "fracture toughness")).toBe(50e6);
    expect(parseQuantity("50 MPa m^0.5", "fracture toughness")).toBe(50e6);
  });

  it("is no stress", () => {
    expect(() => parseQuantity("50 MPa√m", "stress")).toThrow();
    expect(() => parseQuantity("50 MPa", "fracture toughness")).toThrow();
  });
});

describe("flow coefficient", () => {
  it("IEC 60534-2-1, eq. 1 with N1 = 1: Kv 1 passes 1 m3/h of water at 1 bar", () => {
    const flow = parseQuantity("1 Kv", "flow coefficient") * Math.sqrt(1e5 / referenceWaterDensity.value);
    expect(flow).toBeCloseTo(parseQuantity("1 m3/h", "volume flow"), 15);
  });
  it("IEC 60534-2-1, table 1: Kv = 0.865 Cv", () => {
    const ratio = parseQuantity("1 Cv", "flow coefficient") / parseQuantity("1 Kv", "flow coefficient");
    expect(ratio).toBeCloseTo(0.865, 12);
  });
  it("Cv 1 passes 1 gpm of water at 1 psi, within the rounding of 0.865 (0.06 %)", () => {
    const drop = parseQuantity("1 psi", "pressure difference");
    const flow = parseQuantity("1 Cv", "flow coefficient") * Math.sqrt(drop / referenceWaterDensity.value);
    expect(flow / parseQuantity("1 gpm", "volume flow")).toBeCloseTo(1, 3);
  });
  it("is also read with its name first", () => {
    expect(parseQuantity("Kv 40", "flow coefficient")).toBe(parseQuantity("40 Kv", "flow coefficient"));
    expect(parseQuantity("Cv = 46", "flow coefficient")).toBe(parseQuantity("46 Cv", "flow coefficient"));
  });
});

describe("one quantity, many spellings", () => {
  const spellings: readonly (readonly [Dimension, string, readonly string[]])[] = [
    [
      "torque",
      "12 N m",
      [
        "12 N*m",
        "12 N·m",
        "12 N⋅m",
        "12 Nm",
        "12 N.m",
        "12N m",
        "12 N-m",
        "12000 mN m",
        "12000 mNm",
        "1200 N cm",
        "1200 Ncm",
      ],
    ],
    [
      "torque",
      "8 lbf in",
      [
        "8 lbf*in",
        "8 lbf·in",
        "8 in-lbf",
        "8 in lbf",
        "8 lb in",
        "8 in-lb",
        "8 lb-in",
        "128 ozf in",
        "128 oz-in",
      ],
    ],
    ["torque", "3 ft lbf", ["3 ft-lbf", "3 lbf ft", "3 ft-lb", "36 lbf in"]],
    ["torque", "5 kgf cm", ["5 kgf·cm", "50 kgf mm", "0.05 kgf m"]],
    [
      "pressure",
      "28 bar(a)",
      [
        "28 bar (a)",
        "28 bara",
        "28 bar abs",
        "28 bar(abs)",
        "28 bar absolute",
        "2800 kPa(a)",
        "2.8 MPa(a)",
        "2800000 Pa(a)",
        "2.8 MPaa",
      ],
    ],
    ["pressure", "28 bar(g)", ["28 barg", "28 bar gauge", "28 bar (G)", "2800 kPa(g)", "2800 kPag"]],
    ["pressure", "400 psig", ["400 PSIG", "400 psi(g)", "400 psi gauge"]],
    ["pressure difference", "0.5 bar", ["500 mbar", "50 kPa", "0.5 bar(d)", "500 hPa"]],
    ["angle", "90 deg", ["90 °", "90°", "90 degrees", "0.25 rev", "5400 arcmin", "90 degree"]],
    [
      "angular speed",
      "3000 rpm",
      ["3 krpm", "3000 rev/min", "3000 min-1", "3000 1/min", "3000 r/min", "50 rev/s", "18000 deg/s"],
    ],
    ["temperature", "-183 degC", ["-183 °C", "-183 deg C", "−183 °C"]],
    ["resistance", "80 mohm", ["80 mOhm", "80 mΩ", "80 mΩ", "0.08 Ω", "0.08 ohms"]],
    ["inductance", "300 µH", ["300 uH", "300 μH", "0.3 mH"]],
    ["length", "5 mil", ["5 mils", "5 thou", "0.005 in", "127 µm", "127 um", '0.005"']],
    [
      "inertia",
      "65 g cm2",
      ["65 g·cm2", "65 g cm²", "65 g*cm^2", "65 g cm**2", "65e-7 kg m2", "0.065 kg cm2"],
    ],
    ["volume flow", "90 m3/h", ["25 L/s", "1500 L/min", "1500 lpm", "90 m³/h", "25 l/s", "90 m^3/h"]],
    [
      "torque constant",
      "0.05 N m/A",
      ["50 mN m/A", "50 mNm/A", "0.05 V s/rad", "0.05 V/(rad/s)", "20 rad/(V s)"],
    ],
    ["angular stiffness", "900 N m/rad", ["0.9 kN m/rad", "900 Nm/rad"]],
    [
      "temperature coefficient",
      "0.00393 1/K",
      ["0.00393 /K", "0.393 %/K", "0.00393/K", "0.00393 1/degC", "0.00393 K-1", "0.00393 K^-1"],
    ],
    ["time", "800 ms", ["0.8 s", "800 ms", "0.8 sec"]],
    ["ratio", "0.78", ["78 %", "78%", "78 percent", "39:50"]],
    ["number", "50", ["50:1", "+50", "5e1"]],
  ];
  for (const [dimension, plain, others] of spellings) {
    it.each(others)(`${plain} = %s`, (other) => {
      const wanted = parseQuantity(plain, dimension);
      // Different factors meet in the last bits only.
      expect(Math.abs(parseQuantity(other, dimension) / wanted - 1)).toBeLessThan(1e-14);
    });
  }
  it("a speed constant is the reciprocal of a torque constant", () => {
    expect(parseQuantity("100 rpm/V", "torque constant")).toBeCloseTo(60 / (2 * Math.PI * 100), 15);
    expect(parseQuantity("1 V/krpm", "torque constant")).toBeCloseTo(60 / (2 * Math.PI * 1000), 15);
  });
});

describe("the table of units", () => {
  it("every name reads as its own dimension and as nothing unknown", () => {
    for (const row of units) {
      const mark = row.dimension === "pressure" ? "(a)" : "";
      for (const name of [row.symbol, ...row.aliases]) {
        expect(unitDimensions(`${name}${mark}`), name).toContain(row.dimension);
        expect(parseQuantity(`2 ${name}${mark}`, row.dimension), name).toBeCloseTo(
          2 * row.factor + (row.offset ?? 0),
          9,
        );
      }
    }
  });
  it("no name stands for two units", () => {
    expect(new Set(unitNames()).size).toBe(units.flatMap((row) => [row.symbol, ...row.aliases]).length);
  });
  it("every example and display unit of a dimension reads as that dimension", () => {
    for (const dimension of names) {
      const { example, display, si } = dimensions[dimension];
      expect(Number.isFinite(parseQuantity(example, dimension)), dimension).toBe(true);
      expect(parseQuantity(`1 ${si}`, dimension), dimension).toBe(1);
      for (const { unit } of display) {
        expect(Number.isFinite(parseQuantity(`1 ${unit}`, dimension)), unit).toBe(true);
      }
    }
  });
  it("tells what a column head could be", () => {
    expect(unitDimensions("bar(a)")).toEqual(["pressure"]);
    expect(unitDimensions("bar")).toEqual(["pressure difference", "stress"]);
    expect(unitDimensions("N m")).toEqual(["torque", "energy"]);
    expect(unitDimensions("deg")).toEqual(["angle"]);
    expect(unitDimensions("degC")).toEqual(["temperature"]);
    expect(unitDimensions("mV")).toEqual(["voltage"]);
    expect(unitDimensions("furlong")).toEqual([]);
    expect(unitDimensions("")).toEqual([]);
  });
});

describe("gauge pressure", () => {
  it("counts from the standard atmosphere, or from the ambient given", () => {
    expect(parseQuantity("0 bar(g)", "pressure")).toBe(standardAtmosphere.value);
    expect(parseQuantity("1 bar(g)", "pressure", { ambientPressure: 90_000 as Pressure })).toBe(190_000);
  });
});

describe("refused, with the mend", () => {
  const cases: readonly (readonly [string, Dimension, string, string])[] = [
    ["28 bar", "pressure", "pressure-reference-missing", 'Write "28 bar(a)" or "28 bar(g)".'],
    ["400 psi", "pressure", "pressure-reference-missing", 'Write "400 psi(a)" or "400 psi(g)".'],
    ["28 psid", "pressure", "pressure-reference-missing", 'Write "28 psi(a)" or "28 psi(g)".'],
    ["0.5 bar(g)", "pressure difference", "pressure-reference-unwanted", 'Write "0.5 bar".'],
    ["0.5 psia", "pressure difference", "pressure-reference-unwanted", 'Write "0.5 psi".'],
    ["25 MPa(a)", "stress", "pressure-reference-unwanted", 'Write "25 MPa".'],
    ["5 degC", "temperature difference", "temperature-not-difference", 'Write "5 K".'],
    ["9 degF", "temperature difference", "temperature-not-difference", 'Write "5 K".'],
    ["0,08", "ratio", "decimal-comma", "Write 0.08."],
    ["1,000 N", "force", "decimal-comma", "Write 1.000 N or 1000 N, whichever is meant."],
    ["1,000.5 N", "force", "decimal-comma", "Write 1000.5 N."],
    ["0,000 N", "force", "decimal-comma", "Write 0.000 N."],
    ["10 000 N", "force", "number-unreadable", "Write 10000 N."],
    ["fast", "speed", "number-unreadable", 'Write, for example, 0.08, 3e-6 kg m2 or "28 bar(a)".'],
    ["5:0", "ratio", "number-unreadable", 'Write, for example, "50:1".'],
    ["32", "length", "unit-missing", 'Write the unit after it, for example "32 mm".'],
    ["5 W/m K", "conductivity", "unit-ambiguous", 'Write "5 W/(m K)" if both are meant to be below.'],
    ["5 kg", "force", "unit-wrong-dimension", 'Write, for example, "5 kgf".'],
    ["5 J", "torque", "unit-wrong-dimension", 'Write, for example, "12 N m".'],
    ["5 N m", "angular stiffness", "unit-wrong-dimension", 'Write, for example, "900 N m/rad".'],
    ["5 1/s", "angular speed", "unit-wrong-dimension", 'Write, for example, "3000 rpm".'],
    ["5 Hz", "rate", "unit-wrong-dimension", 'Write, for example, "50 1/s".'],
    ["5 V/Hz", "torque constant", "unit-unknown", 'Write, for example, "42 mN m/A".'],
    ["5 m3/h", "flow coefficient", "unit-wrong-dimension", 'Write, for example, "40 Kv".'],
    ["5 Kv", "area", "unit-wrong-dimension", 'Write, for example, "804 mm2".'],
    ["5 mm(a)", "length", "unit-wrong-dimension", 'Write, for example, "32 mm".'],
    ["-300 degC", "temperature", "out-of-bounds", 'Write a value above -273.15 degC, for example "90 K".'],
    ["0 K", "temperature", "out-of-bounds", 'Write a value above 0 K, for example "90 K".'],
    [
      "-2 bar(g)",
      "pressure",
      "out-of-bounds",
      'Write a value of at least -1.01325 bar(g), for example "28 bar(a)".',
    ],
    ["0 rpm/V", "torque constant", "out-of-bounds", 'Write, for example, "42 mN m/A".'],
    ["1e200 m", "length", "out-of-bounds", 'Write, for example, "32 mm".'],
  ];
  it.each(cases)("%s as %s: %s", (text, dimension, code, mend) => {
    const fault = refusalOf(() => parseQuantity(text, dimension));
    expect(fault?.code).toBe(code);
    expect(fault?.mend).toBe(mend);
    expect(fault?.found).toContain(text);
  });
  const near: readonly (readonly [string, Dimension, string])[] = [
    ["5 NM", "torque", "N m"],
    ["20 C", "temperature", "°C"],
    ["90 degs", "angle", "deg"],
    ["5 kPA", "pressure difference", "kPa"],
    ["6 Amper", "current", "ampere"],
    ["5 KV", "flow coefficient", "Kv"],
    // Factors without a space between them: the factors as typed, not the nearest other unit.
    ["2.5 kgcm^2", "inertia", "kg cm^2"],
    ["2.5 kgcm²", "inertia", "kg cm2"],
    ["6e-6 kgm2", "inertia", "kg m2"],
    ["0.02 ozin2", "inertia", "oz in2"],
    ["40 inlbf", "torque", "in lbf"],
  ];
  it.each(near)("%s as %s: did you mean %s", (text, dimension, wanted) => {
    expect(refusalOf(() => parseQuantity(text, dimension))?.near).toBe(wanted);
  });
});

function refusalOf(act: () => unknown) {
  try {
    act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults[0];
    throw thrown;
  }
  return undefined;
}
