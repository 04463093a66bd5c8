import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import {
  type Bounds,
  type Declared,
  type Dimension,
  dimensions,
  formatUncertain,
  isKnown,
  lawInterval,
  type Pressure,
  parseDeclared,
  standardAtmosphere,
} from "../../src/quantity/index.js";

const share: Bounds = { min: 0, max: 1, because: "An efficiency is the share of power passed on." };
const names = Object.keys(dimensions) as Dimension[];

function normal(declared: Declared) {
  if (declared.law.kind !== "normal") throw new Error(`the law is ${declared.law.kind}`);
  return declared.law;
}

function faultsOf(raw: unknown, dimension: Dimension, bounds: Bounds = {}) {
  try {
    parseDeclared(raw, dimension, bounds);
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults;
    throw thrown;
  }
  return [];
}

describe("one value", () => {
  it("is exact and assumed, and keeps its text and unit", () => {
    expect(parseDeclared("28 bar(a)", "pressure")).toEqual({
      value: 2.8e6,
      law: { kind: "exact" },
      dimension: "pressure",
      unit: "bar(a)",
      text: "28 bar(a)",
      readAs: "28 bar(a), no spread declared",
      origin: "assumed",
    });
  });
  it("may be a number where the field has no unit", () => {
    expect(parseDeclared(0.08, "ratio").value).toBe(0.08);
    expect(parseDeclared(4, "number").value).toBe(4);
    expect(faultsOf(4, "length")[0]?.code).toBe("unit-missing");
  });
  it("of gauge pressure says which ambient it counts from", () => {
    const standard = parseDeclared("28 bar(g)", "pressure");
    expect(standard.value).toBe(2.8e6 + standardAtmosphere.value);
    expect(standard.readAs).toContain("above the standard atmosphere of 1.01325 bar(a)");
    const high = parseDeclared("28 bar(g)", "pressure", {}, { ambientPressure: 85_000 as Pressure });
    expect(high.value).toBe(2.885e6);
    expect(high.readAs).toContain("above the declared ambient of 0.85 bar(a)");
  });
  it("takes the default origin given", () => {
    expect(parseDeclared("0.1", "ratio", {}, { origin: "default" }).origin).toBe("default");
    expect(
      parseDeclared({ value: "0.1", origin: "measured" }, "ratio", {}, { origin: "default" }).origin,
    ).toBe("measured");
  });
});

describe("+/-", () => {
  const spellings = [
    "0.08 +/- 0.02",
    "0.08 ± 0.02",
    "0.08 +- 0.02",
    "0.08±0.02",
    "(0.08 ± 0.02)",
    "0.08 +/- 0.04 (k=2)",
    "0.08 +/- 0.04 k = 2",
    "8 % +/- 2 %",
    "0.08 +/- 25 %",
    "0.08 +/- 25%",
  ];
  it.each(spellings)("%s is a normal law with standard uncertainty 0.02, cut at the bounds", (text) => {
    const declared = parseDeclared(text, "ratio", share);
    const law = normal(declared);
    expect(declared.value).toBe(0.08);
    expect(law.mean).toBe(0.08);
    expect(law.deviation).toBeCloseTo(0.02, 15);
    expect([law.low, law.high]).toEqual([0, 1]);
    expect(declared.readAs).toMatch(/standard uncertainty (0\.02|2 %).*, cut at 0 %? ?and 1/);
  });
  const withUnits: readonly (readonly [string, Dimension, number, number])[] = [
    ["5 N m +/- 10 %", "torque", 5, 0.5],
    ["5 N m +/- 0.2", "torque", 5, 0.2],
    ["5 +/- 0.2 N m", "torque", 5, 0.2],
    ["(5.0 ± 0.2) N·m", "torque", 5, 0.2],
    ["5 N m +/- 200 mN m", "torque", 5, 0.2],
    ["28 bar(a) +/- 0.5 bar", "pressure", 2.8e6, 5e4],
    ["28 bar(a) +/- 0.5 bar(a)", "pressure", 2.8e6, 5e4],
    ["28 +/- 0.5 bar(a)", "pressure", 2.8e6, 5e4],
    ["28 bar(a) +/- 1 bar (k=2)", "pressure", 2.8e6, 5e4],
    ["28 bar(g) +/- 10 %", "pressure", 2.8e6 + 101_325, 2.8e5],
    ["-183 degC +/- 2 degC", "temperature", 90.15, 2],
    ["-183 degC +/- 2 K", "temperature", 90.15, 2],
    ["-183 +/- 2 °C", "temperature", 90.15, 2],
    ["90 K +/- 3.6 degR", "temperature", 90, 2],
    ["Kv 40 +/- 2", "flow coefficient", 40 * 2.776388541492947e-5, 2 * 2.776388541492947e-5],
    // d(1/x) = dx/x^2: 5 % of the reciprocal too, to first order.
    ["100 rpm/V +/- 5 rpm/V", "torque constant", 0.0954929658551372, 0.0954929658551372 * 0.05],
    ["100 rpm/V +/- 5 %", "torque constant", 0.0954929658551372, 0.0954929658551372 * 0.05],
  ];
  it.each(withUnits)("%s as %s", (text, dimension, value, deviation) => {
    const declared = parseDeclared(text, dimension);
    expect(declared.value / value).toBeCloseTo(1, 12);
    expect(normal(declared).deviation / deviation).toBeCloseTo(1, 12);
  });
  it("per cent of a value in per cent are points", () => {
    const declared = parseDeclared("78 % +/- 3 %", "ratio");
    expect(normal(declared).deviation).toBeCloseTo(0.03, 15);
    expect(declared.readAs).toBe("78 %, normal law with standard uncertainty 3 %");
  });
  it("zero spread is exact", () => {
    expect(parseDeclared("5 N m +/- 0 N m", "torque").law).toEqual({ kind: "exact" });
  });
  it("physics cuts where the field has no bounds", () => {
    expect(normal(parseDeclared("3 K +/- 2 K", "temperature")).low).toBe(0);
    expect(normal(parseDeclared("5 N +/- 2 N", "force")).low).toBe(Number.NEGATIVE_INFINITY);
  });
  it("says back how it was read", () => {
    expect(parseDeclared("0.08 +/- 0.04 (k=2)", "ratio", share).readAs).toBe(
      "0.08, normal law with standard uncertainty 0.02 (0.04 at k = 2), cut at 0 and 1",
    );
    expect(parseDeclared("5 N m +/- 10 %", "torque").readAs).toBe(
      "5 N m, normal law with standard uncertainty 0.5 N m (10 % of the value)",
    );
  });
});

describe("limits", () => {
  it.each([
    "32 mm tol 0.05",
    "32 mm tol 0.05 mm",
    "32 mm tol ±0.05",
    "32 tol 0.05 mm",
    "32 mm tol +/- 50 µm",
    "from 31.95 mm to 32.05 mm",
    "from 31.95 to 32.05 mm",
    "from 31.95 mm to 32.05",
  ])("%s is uniform", (text) => {
    const declared = parseDeclared(text, "length");
    expect(declared.value).toBeCloseTo(0.032, 15);
    const { low, high } = lawInterval(declared.law, declared.value);
    expect(declared.law.kind).toBe("uniform");
    expect(low).toBeCloseTo(0.03195, 15);
    expect(high).toBeCloseTo(0.03205, 15);
  });
  it.each(["32 mm tol +0.1 -0", "32 mm tol +0.1/-0", "32 mm tol +0.1 mm / -0 mm", "32 tol +0.1 -0 mm"])(
    "%s has unequal limits about the nominal",
    (text) => {
      const declared = parseDeclared(text, "length");
      expect(declared.value).toBeCloseTo(0.032, 15);
      const { low, high } = lawInterval(declared.law, declared.value);
      expect(low).toBeCloseTo(0.032, 15);
      expect(high).toBeCloseTo(0.0321, 15);
    },
  );
  it("from and to as a mapping, nominal midway, unit once", () => {
    for (const raw of [
      { from: "300 N", to: "700 N" },
      { from: 300, to: "700 N" },
      { from: "300 N", to: "700" },
    ]) {
      const declared = parseDeclared(raw, "force");
      expect(declared.value).toBe(500);
      expect(declared.law).toEqual({ kind: "uniform", low: 300, high: 700 });
      expect(declared.readAs).toBe("300 N to 700 N, each value equally likely, nominal 500 N");
    }
  });
  it("nominal, low and high are triangular unless a law is named", () => {
    const raw = { nominal: "0.78", low: 0.7, high: "0.84", because: "catalogue, cold grease" };
    const declared = parseDeclared(raw, "ratio", share);
    expect(declared.law).toEqual({ kind: "triangular", low: 0.7, mode: 0.78, high: 0.84 });
    expect(declared.because).toBe("catalogue, cold grease");
    expect(declared.text).toBe("{ nominal: 0.78, low: 0.7, high: 0.84 }");
    expect(parseDeclared({ ...raw, law: "uniform" }, "ratio", share)).toMatchObject({
      value: 0.78,
      law: { kind: "uniform", low: 0.7, high: 0.84 },
    });
  });
  it("a normal law takes low and high as the ends of its 95 % interval and says so", () => {
    const declared = parseDeclared({ nominal: 0.77, low: 0.7, high: 0.84, law: "normal" }, "ratio", share);
    expect(normal(declared).deviation).toBeCloseTo(0.07 / 1.96, 12);
    expect(declared.readAs).toContain("read as its 95 % interval");
    expect([normal(declared).low, normal(declared).high]).toEqual([0, 1]);
  });
  it("of a reciprocal unit change places", () => {
    const { low, high } = lawInterval(parseDeclared("from 90 to 110 rpm/V", "torque constant").law, 0);
    expect(low).toBeLessThan(high);
    const triple = parseDeclared({ nominal: "100 rpm/V", low: 90, high: 110 }, "torque constant");
    expect(triple.law).toMatchObject({ kind: "triangular", low, high });
  });
  it("a value may be any of the texts, with origin, reason and reference", () => {
    const raw = {
      value: "0.08 +/- 0.02",
      origin: "measured",
      because: "friction rig",
      reference: "report 12",
    };
    expect(parseDeclared(raw, "ratio")).toMatchObject({
      value: 0.08,
      origin: "measured",
      because: "friction rig",
      reference: "report 12",
    });
  });
});

describe("refused, with code and place inside the mapping", () => {
  const cases: readonly (readonly [unknown, Dimension, string, string | undefined])[] = [
    ["1.3", "ratio", "out-of-bounds", undefined],
    ["0.99 tol 0.05", "ratio", "out-of-bounds", undefined],
    [{ nominal: 0.9, low: 0.8, high: 1.2 }, "ratio", "out-of-bounds", "high"],
    ["from 700 N to 300 N", "force", "range-reversed", undefined],
    [{ from: "700 N", to: "300 N" }, "force", "range-reversed", "from"],
    [{ nominal: 0.5, low: 0.6, high: 0.4 }, "ratio", "range-reversed", "nominal"],
    [{ nominal: 0.9, low: 0.4, high: 0.6 }, "ratio", "nominal-outside-range", "nominal"],
    [{ nominal: 0.78, low: 0.7, high: 0.84, law: "normal" }, "ratio", "law-not-symmetric", "nominal"],
    [{ nominal: 0.78, low: 0.7, high: 0.84, law: "gaussian" }, "ratio", "law-unknown", "law"],
    [{ from: 0.1, to: 0.2, law: "normal" }, "ratio", "value-unreadable", "law"],
    [{ from: 0.1 }, "ratio", "value-unreadable", undefined],
    [{ nominal: 0.1, low: 0.05 }, "ratio", "value-unreadable", undefined],
    [{ value: 0.1, from: 0.1, to: 0.2 }, "ratio", "value-unreadable", undefined],
    [{ value: { from: 1 } }, "ratio", "value-unreadable", "value"],
    [{ value: 0.1, origin: "measurd" }, "ratio", "origin-unknown", "origin"],
    [{ value: 0.1, becuase: "x" }, "ratio", "value-key-unknown", "becuase"],
    [{ value: 0.1, because: 3 }, "ratio", "value-unreadable", "because"],
    [{}, "ratio", "value-unreadable", undefined],
    [[1, 2], "ratio", "value-unreadable", undefined],
    [true, "ratio", "value-unreadable", undefined],
    [null, "ratio", "value-unreadable", undefined],
    [{ value: [1] }, "ratio", "value-unreadable", "value"],
    ["", "ratio", "value-unreadable", undefined],
    ["not known", "ratio", "value-not-known", undefined],
    ["tbd", "ratio", "value-not-known", undefined],
    [Number.NaN, "ratio", "number-unreadable", undefined],
    [Number.POSITIVE_INFINITY, "ratio", "number-unreadable", undefined],
    ["0.08 +/- -0.02", "ratio", "uncertainty-unreadable", undefined],
    ["0.08 +/- 0.02 (k=0)", "ratio", "uncertainty-unreadable", undefined],
    ["0.08 +/- 0.02 (k=x)", "ratio", "uncertainty-unreadable", undefined],
    ["0.08 (k=2)", "ratio", "uncertainty-unreadable", undefined],
    ["0.08 tol 0.02 (k=2)", "ratio", "uncertainty-unreadable", undefined],
    ["-183 degC +/- 5 %", "temperature", "uncertainty-unreadable", undefined],
    ["0 N +/- 5 %", "force", "uncertainty-unreadable", undefined],
    ["5 +/- 10 % N m", "torque", "uncertainty-unreadable", undefined],
    ["100 rpm/V +/- 0.002 N m/A", "torque constant", "uncertainty-unreadable", undefined],
    ["5 N m +/- 2 mm", "torque", "unit-wrong-dimension", undefined],
    ["5 N m +/- 0,2", "torque", "decimal-comma", undefined],
    [{ from: "3 mm", to: "5 s" }, "length", "unit-wrong-dimension", "to"],
    ["28 +/- 0.5 bar", "pressure", "pressure-reference-missing", undefined],
    ["5 degC +/- 1 K", "temperature difference", "temperature-not-difference", undefined],
  ];
  it.each(cases)("%j as %s: %s", (raw, dimension, code, field) => {
    const [fault] = faultsOf(raw, dimension, dimension === "ratio" ? share : {});
    expect(fault?.code).toBe(code);
    expect(fault?.where.field).toBe(field);
    expect(fault?.found).not.toBe("");
    expect(fault?.mend).toMatch(/^(Write|Leave|Correct)/);
  });
  const ranges: readonly (readonly [string, Dimension, string])[] = [
    ["300-700 N", "force", 'Write "from 300 N to 700 N".'],
    ["300 N - 700 N", "force", 'Write "from 300 N to 700 N".'],
    ["300 to 700 N", "force", 'Write "from 300 N to 700 N".'],
    ["1e3–2e3 N", "force", 'Write "from 1e3 N to 2e3 N".'],
    ["0.1..0.2", "ratio", 'Write "from 0.1 to 0.2".'],
    ["-5 - -3 N", "force", 'Write "from -5 N to -3 N".'],
  ];
  it.each(ranges)("%s, which looks like a range", (text, dimension, mend) => {
    expect(faultsOf(text, dimension)[0]).toMatchObject({ code: "value-unreadable", mend });
    const spoken = /"(.+)"/.exec(mend)?.[1];
    expect(parseDeclared(spoken, dimension).law.kind).toBe("uniform");
  });
  it("but not a negative exponent", () => {
    expect(parseDeclared("3e-6 kg m2", "inertia").value).toBe(3e-6);
    expect(parseDeclared("5 s-1", "rate").value).toBe(5);
    expect(parseDeclared("1141 kg m-3", "density").value).toBe(1141);
  });
  it("the bound, its reason and a value to write", () => {
    expect(faultsOf("1.3", "ratio", share)[0]).toEqual({
      code: "out-of-bounds",
      where: {},
      found: '"1.3" is not between 0 and 1',
      allowed: "An efficiency is the share of power passed on.",
      mend: 'Write a value between 0 and 1, for example "0.78".',
    });
  });
  it("in the unit of the user", () => {
    expect(faultsOf("4 in", "length", { minExclusive: 0, max: 0.0508 })[0]?.found).toBe(
      '"4 in" is not between 0 in and 2 in',
    );
    expect(faultsOf("100 %", "ratio", share)).toEqual([]);
    expect(faultsOf("0 mm", "length", { minExclusive: 0 })[0]?.mend).toBe(
      'Write a value above 0 mm, for example "32 mm".',
    );
  });
  it("all faults of a mapping at once", () => {
    const faults = faultsOf({ nominal: "5 mm", low: "x", high: "7 kg", lwo: 3, origin: "guess" }, "length");
    expect(faults.map((fault) => fault.where.field)).toEqual(["lwo", "origin", "low", "high"]);
    expect(faults[0]?.near).toBe("low");
  });
});

it("a mapping that holds itself is refused like any other", () => {
  const ring: Record<string, unknown> = {};
  ring.value = ring;
  expect(faultsOf(ring, "ratio")[0]?.found).toBe("a mapping is not a value");
});

it("a value nobody gave is not known", () => {
  expect(isKnown({ known: false, field: "drive.ratio" })).toBe(false);
  expect(isKnown(parseDeclared("0.1", "ratio"))).toBe(true);
});

describe("properties", () => {
  const anyDimension = fc.constantFrom(
    ...names.filter((name) => name !== "pressure" && name !== "temperature"),
  );
  const size = fc.double({ min: 1e-6, max: 1e6, noNaN: true });

  it("a printed value with its uncertainty reads back to the last printed digit", () => {
    fc.assert(
      fc.property(
        anyDimension,
        size,
        fc.double({ min: 1e-3, max: 0.3, noNaN: true }),
        (dimension, value, part) => {
          const deviation = value * part;
          const back = parseDeclared(formatUncertain(value, deviation, dimension), dimension);
          // Two digits of the uncertainty: half a unit of its second digit is at most 5 % of it.
          expect(Math.abs(back.value - value)).toBeLessThanOrEqual(0.0501 * deviation);
          expect(Math.abs(normal(back).deviation / deviation - 1)).toBeLessThanOrEqual(0.0501);
        },
      ),
      { numRuns: 500 },
    );
  });
  it("+/- u and +/- k u (k) are the same law", () => {
    fc.assert(
      fc.property(size, size, fc.integer({ min: 1, max: 4 }), (value, u, k) => {
        const plain = normal(parseDeclared(`${value} N +/- ${u} N`, "force"));
        const expanded = normal(parseDeclared(`${value} N +/- ${u * k} N (k=${k})`, "force"));
        expect(expanded.deviation / plain.deviation).toBeCloseTo(1, 12);
      }),
    );
  });
  it("the nominal lies within the law, whatever is typed", () => {
    fc.assert(
      fc.property(size, size, size, (a, b, c) => {
        const [low = 0, nominal = 0, high = 0] = [a, b, c].sort((x, y) => x - y);
        for (const raw of [
          { nominal, low, high: `${high}` },
          { nominal, low, high, law: "uniform" },
          { from: low, to: high },
          `${nominal} tol ${low}`,
          `from ${low} to ${high}`,
        ]) {
          const declared = parseDeclared(raw, "number");
          const ends = lawInterval(declared.law, declared.value);
          expect(ends.low).toBeLessThanOrEqual(declared.value);
          expect(ends.high).toBeGreaterThanOrEqual(declared.value);
        }
      }),
    );
  });
  it("no text gives anything but finite numbers or a refusal with words", () => {
    const piece = fc.constantFrom(
      ..."0 1 2 9 . , - + / * ^ ( ) % ° µ ± = : k e E a g".split(" "),
      ...[
        " ",
        "from ",
        " to ",
        " +/- ",
        " tol ",
        "(k=2)",
        "bar",
        "(a)",
        "(g)",
        "N m",
        "degC",
        "K",
        "rpm/V",
        "mm",
        "Kv ",
        "1e400",
        "-0",
        "5",
        "\u2212",
        "\n",
        "\u{1F600}",
      ],
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(piece, { maxLength: 8 }).map((parts) => parts.join("")),
    );
    const raw = fc.oneof(
      { weight: 4, arbitrary: text },
      fc.anything(),
      fc.dictionary(fc.constantFrom("value", "from", "to", "nominal", "low", "high", "law", "origin"), text),
    );
    fc.assert(
      fc.property(raw, fc.constantFrom(...names), (anything, dimension) => {
        try {
          const { value, law, readAs } = parseDeclared(anything, dimension);
          expect(Number.isFinite(value)).toBe(true);
          expect(readAs).not.toMatch(/NaN|undefined/);
          for (const [key, number] of Object.entries(law)) {
            if (key !== "kind") expect(number).not.toBeNaN();
          }
        } catch (thrown) {
          if (!(thrown instanceof Refusal)) throw thrown;
          expect(thrown.faults.length).toBeGreaterThan(0);
          // A refusal may repeat such words only if the user wrote them.
          if (/NaN|undefined|object/.test(fc.stringify(anything))) return;
          for (const fault of thrown.faults) {
            expect(`${fault.found} ${fault.allowed} ${fault.mend}`).not.toMatch(/NaN|undefined|\[object/);
          }
        }
      }),
      { numRuns: 5000 },
    );
  });
});
