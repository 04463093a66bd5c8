import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import type { Temperature } from "../../src/quantity/index.js";
import {
  contraction,
  contractionValue,
  readSolidFile,
  type SolidQuantity,
  type SolidValue,
  solid,
  solidDensity,
  solidIntegral,
  solidMean,
  solidNames,
  solidOf,
  solidProperty,
  solidQuantities,
} from "../../src/substance/index.js";

const K = (value: number) => value as Temperature;
const folder = new URL("../../data/solids/", import.meta.url);
const fileNames = readdirSync(folder).filter((name) => name.endsWith(".json"));
const parsed = (name: string): unknown => JSON.parse(readFileSync(new URL(name, folder), "utf8"));
const quantities = Object.keys(solidQuantities) as readonly SolidQuantity[];

interface ReferenceRow {
  readonly solid: string;
  readonly kind: string;
  readonly T_K?: number;
  readonly from_K?: number;
  readonly to_K?: number;
  readonly expected: number;
  readonly tolerance: { readonly relative: number; readonly reason: string };
  readonly source: string;
}
const { rows } = JSON.parse(readFileSync(new URL("../reference/solids.json", import.meta.url), "utf8")) as {
  readonly rows: readonly ReferenceRow[];
};

function compute({ solid: name, kind, T_K = 0, from_K = 0, to_K = 0 }: ReferenceRow): SolidValue {
  const substance = solid(name);
  if (kind === "contraction") return contraction(substance, K(from_K), K(to_K));
  const quantity = quantities.find((each) => kind.startsWith(each));
  if (quantity === undefined) throw new Error(`no quantity ${kind}`);
  return kind.endsWith("integral")
    ? solidIntegral(substance, quantity, K(from_K), K(to_K))
    : solidProperty(substance, quantity, K(T_K));
}

describe("reference rows", () => {
  it.each(
    rows.map(
      (row) =>
        [
          `${row.kind} of ${row.solid} at ${row.T_K ?? `${row.from_K} to ${row.to_K}`} K (${row.source})`,
          row,
        ] as const,
    ),
  )("%s", (_, row) => {
    expect(Math.abs(compute(row).value / row.expected - 1)).toBeLessThan(row.tolerance.relative);
  });
});

it("every data file is in the list of solids, under its own name", () => {
  expect(fileNames.map((name) => name.replace(".json", "")).sort()).toEqual([...solidNames].sort());
});

describe.each(fileNames)("%s", (name) => {
  const file = readSolidFile(parsed(name));
  const substance = solid(file.id);

  it("has its own name, and names that no other solid has", () => {
    expect(`${file.id}.json`).toBe(name);
    for (const alias of [file.name, ...file.aliases]) expect(solid(alias).id).toBe(file.id);
  });

  it("has intervals in order and tables that rise", () => {
    for (const quantity of quantities) {
      const data = file[quantity];
      if (data?.form !== "table") continue;
      const temperatures = data.rows.map(({ T_K }) => T_K);
      expect(temperatures).toEqual([...temperatures].sort((a, b) => a - b));
      expect(data.rows.every(({ low, high }) => low <= high)).toBe(true);
    }
  });

  it("its pieces follow each other without a gap and meet within 2 %", () => {
    for (const quantity of quantities) {
      const data = file[quantity];
      if (data?.form !== "log10_polynomial") continue;
      data.pieces.slice(1).forEach((piece, n) => {
        expect(piece.T_min_K).toBe(data.pieces[n]?.T_max_K);
        const before = solidProperty(substance, quantity, K(piece.T_min_K - 1e-6)).value;
        const after = solidProperty(substance, quantity, K(piece.T_min_K + 1e-6)).value;
        expect(Math.abs(after / before - 1)).toBeLessThan(0.02);
      });
    }
  });

  it("its length at 293 K is the reference: the fit leaves less than 0.005 %", () => {
    // The sum of five printed terms: nist-cryogenics-2010 gives at most 4e-5 there.
    expect(Math.abs(contraction(substance, K(293), K(292.999999)).value)).toBeLessThan(1e-6);
    if (file.contraction.form === "polynomial" && file.contraction.T_max_K >= 293) {
      const { coefficients } = file.contraction;
      const sum = coefficients.reduce((total, c, n) => total + c * 293 ** n, 0);
      expect(Math.abs(sum)).toBeLessThan(5);
    }
  });

  it("shrinks as it cools from 293 to 90 K, throughout", () => {
    for (let T = 280; T >= 90; T -= 10) {
      expect(contraction(substance, K(T + 10), K(T)).value).toBeGreaterThan(0);
    }
  });

  it("every property on file is positive at 90 K and lies in its interval", () => {
    for (const quantity of quantities) {
      if (file[quantity] === undefined) continue;
      const T = file.id === "440c" && quantity === "yield_strength" ? 293 : 90;
      const { value, low, high, notices } = solidProperty(substance, quantity, K(T));
      expect(low).toBeGreaterThan(0);
      expect(low).toBeLessThanOrEqual(value);
      expect(high).toBeGreaterThanOrEqual(value);
      expect(notices).toEqual([]);
    }
  });
});

describe("identities", () => {
  const anySolid = fc.constantFrom(...solidNames);
  const temperature = fc.integer({ min: 7700, max: 29300 }).map((n) => K(n / 100));

  it("contraction adds up along a path and changes its sign with the way", () => {
    fc.assert(
      fc.property(anySolid, temperature, temperature, temperature, (name, a, b, c) => {
        const of = (from: Temperature, to: Temperature) => contraction(solid(name), from, to).value;
        expect(of(a, b) + of(b, c)).toBeCloseTo(of(a, c), 12);
        expect(of(a, b)).toBeCloseTo(-of(b, a), 14);
      }),
    );
  });

  it("an integral adds up, and the mean lies between the ends' extremes for a rising property", () => {
    fc.assert(
      fc.property(temperature, temperature, temperature, (a, b, c) => {
        const steel = solid("stainless-316");
        const of = (from: Temperature, to: Temperature) =>
          solidIntegral(steel, "specific_heat", from, to).value;
        expect(Math.abs(of(a, b) + of(b, c) - of(a, c))).toBeLessThan(1e-6 * 1e5);
        const mean = solidMean(steel, "specific_heat", a, b).value;
        const [low = 0, high = 0] = [a, b]
          .map((T) => solidProperty(steel, "specific_heat", T).value)
          .sort((x, y) => x - y);
        expect(mean).toBeGreaterThanOrEqual(low * (1 - 1e-9));
        expect(mean).toBeLessThanOrEqual(high * (1 + 1e-9));
      }),
    );
  });

  it("mass stays: density times the cube of the length", () => {
    const steel = solid("stainless-304");
    const cold = solidDensity(steel, K(90)).value;
    const shrinkage = contraction(steel, K(293), K(90)).value;
    expect(cold * (1 - shrinkage) ** 3).toBeCloseTo(7900, 6);
  });
});

describe("nothing leaves the data silently", () => {
  it("a little outside: a notice with the range and by how much, and the slope at the end", () => {
    const steel = solid("stainless-316");
    const warm = contraction(steel, K(293), K(320));
    expect(warm.notices.map(({ code, text }) => `${code}: ${text}`)).toEqual([
      "solid-extrapolated: contraction of stainless-316 at 320 K: 20 K above its data, 4 K to 300 K; followed along their slope at that end",
    ]);
    expect(warm.value / 27).toBeCloseTo(contraction(steel, K(293), K(299)).value / 6, 6);
  });

  it.each<[string, () => unknown]>([
    [
      "solid-out-of-range: yield strength of stainless-316 at 20 K: its data reach from 77 K to 293 K",
      () => solidProperty(solid("316L"), "yield_strength", K(20)),
    ],
    [
      "solid-out-of-range: contraction of stainless-304 at 500 K: its data reach from 4 K to 300 K",
      () => contraction(solid("304"), K(500), K(90)),
    ],
    [
      "no-solid-property: thermal conductivity of alloy-400 is not on file",
      () => solidProperty(solid("alloy-400"), "conductivity", K(90)),
    ],
    ['unknown-solid: "stainles-316" is not a solid on file (stainless-316?)', () => solid("stainles-316")],
  ])("%s", (expected, act) => {
    try {
      act();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      const texts = error.faults.map(
        (f) => `${f.code}: ${f.found}${f.near === undefined ? "" : ` (${f.near}?)`}`,
      );
      expect(texts).toEqual([expected]);
      return;
    }
    throw new Error("not refused");
  });
});

it("a team's own file stands beside those of the project, and may lend them its shape", () => {
  const base = readSolidFile(parsed("alloy-k500.json"));
  const own = readSolidFile({
    ...base,
    id: "our-bar",
    aliases: [],
    name: "Our bar",
    contraction: {
      sources: ["dilatometer run 3"],
      from: "measured",
      form: "table",
      unit: "%",
      rows: [
        { T_K: 77, low: -0.245, high: -0.235 },
        { T_K: 180, low: -0.16, high: -0.15 },
        { T_K: 293, low: 0, high: 0 },
      ],
    },
  });
  const bar = solid("our-bar", [own]);
  expect(contraction(bar, K(293), K(77)).value).toBeCloseTo(0.0024, 12);
  expect(contraction(bar, K(293), K(77)).notices).toEqual([]);
  const scaled = readSolidFile({
    ...base,
    id: "its-sister",
    aliases: [],
    name: "Its sister",
    contraction: { ...base.contraction, shape_of: "our-bar" },
  });
  const shrunk = contraction(solidOf(scaled, [own]), K(293), K(180)).value;
  expect(shrunk).toBeCloseTo((0.00235 * 0.155) / 0.24, 10);
});

it("the value of a contraction alone is the one that comes with its spread, also a little beyond the data", () => {
  for (const id of solidNames) {
    const one = solid(id);
    const { TMin } = contraction(one, K(293), K(250));
    for (const T of [293, 250, Math.max(120, TMin), TMin, Math.max(TMin - 5, 2)])
      expect(contractionValue(one, K(293), K(T))).toBe(contraction(one, K(293), K(T)).value);
  }
});
