import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { applyDefaults, materialNamed, readDossier } from "../../src/dossier/index.js";
import { OwnAnswers, planFor } from "../../src/predict/index.js";
import type { Temperature } from "../../src/quantity/index.js";
import { contraction } from "../../src/substance/index.js";

const blank = `format: solid/1
id: our-ptfe
name: Filled PTFE, our blank
kind: polymer
contraction:
  sources: [dilatometer run 3]
  from: measured
  form: table
  unit: "%"
  rows:
    - { T_K: 77, low: -1.62, high: -1.58 }
    - { T_K: 293, low: 0, high: 0 }
`;
const valve = "valve:\n  cold:\n    seat_material: our-ptfe\n    body_material: stainless-316\n";
const parts = (...texts: readonly string[]) => texts.map((text, n) => ({ path: `parts/${n}.yaml`, text }));
const read = (...texts: readonly string[]) =>
  readDossier({ valve: { path: "valve.yaml", text: valve }, parts: parts(...texts) });

describe("a solid of a team", () => {
  it("is named by a field like a shipped one, and shrinks as its own file says", () => {
    const { dossier, faults } = read(blank);
    expect(faults).toEqual([]);
    const material = materialNamed(dossier.valve, "our-ptfe");
    expect(material?.name).toBe("Filled PTFE, our blank");
    if (material === undefined) return;
    const shrunk = contraction(material, 293 as Temperature, 77 as Temperature);
    expect(shrunk.value).toBeCloseTo(0.016, 12);
    expect(dossier.valve.valve?.cold?.seat_material).toBe("our-ptfe");
    expect(materialNamed(dossier.valve, "stainless-316")?.id).toBe("stainless-316");
    expect(materialNamed(dossier.valve, undefined)).toBeUndefined();
  });

  it("that is not there leaves the field not known, with the nearest name", () => {
    const { dossier, faults } = read(blank.replace("id: our-ptfe", "id: our-ptfe2"));
    expect(faults).toMatchObject([{ code: "solid-unknown", near: "our-ptfe2" }]);
    expect(dossier.valve.valve?.cold?.seat_material).toBeUndefined();
  });

  it.each([
    ["a misspelt key", blank.replace("contraction:", "contration:"), 5, "contration", "no key here"],
    [
      "a form there is none of",
      blank.replace("form: table", "form: tabel"),
      8,
      "contraction.form",
      "none of the forms",
    ],
    [
      "rows out of order",
      blank.replace("T_K: 293", "T_K: 70"),
      12,
      "contraction.rows[1]",
      "70 K stands behind 77 K",
    ],
    [
      "limits turned round",
      blank.replace("-1.62", "-1.5"),
      11,
      "contraction.rows[0]",
      "lies above the upper one",
    ],
    [
      "a sign turned round",
      blank.replace("low: -1.62, high: -1.58", "low: 1.58, high: 1.62"),
      5,
      "contraction",
      "grows in the cold",
    ],
    [
      "a unit of another kind",
      `${blank}conductivity: { sources: [a], from: measured, form: table, unit: W/m, rows: [{ T_K: 80, low: 1, high: 2 }] }\n`,
      13,
      "conductivity",
      "of another kind",
    ],
    [
      "a value that no solid has",
      `${blank}youngs_modulus: { sources: [a], from: measured, form: polynomial, spread_percent: 5, unit: GPa, T_min_K: 70, T_max_K: 300, coefficients: [1, -0.01] }\n`,
      13,
      "youngs_modulus",
      "comes to -",
    ],
    [
      "a shape of nobody",
      blank.replace(
        /form: table[\s\S]*/,
        'form: scaled\n  shape_of: nobody\n  T_K: 77\n  unit: "%"\n  low: 1\n  high: 2\n',
      ),
      5,
      "contraction",
      "is not a solid on file",
    ],
  ])("with %s has a fault at its line, and is left out", (_, text, line, field, found) => {
    const { dossier, faults } = read(text);
    const own = faults.find(({ code }) => code === "solid-file");
    expect(own).toMatchObject({ where: { file: "parts/0.yaml", line, field } });
    expect(own?.found).toContain(found);
    expect(materialNamed(dossier.valve, "our-ptfe")).toBeUndefined();
  });

  it("with a number for a key, or a reference, has a fault at its line", () => {
    const { faults } = read(`${blank}  0.5: x\n`);
    const own = faults.filter(({ code }) => code === "solid-file");
    expect(own).toMatchObject([{ where: { line: 13 }, found: '"0.5" is no key here' }]);
    const referring = read(
      blank.replace("our-ptfe", "&id our-ptfe").replace("Filled PTFE, our blank", "*id"),
    ).faults;
    expect(referring.map(({ code, where }) => [code, where.line])).toContainEqual(["record-reference", 3]);
  });

  it("of another form has that one fault", () => {
    const { faults } = read("format: solid/2\nid: our-ptfe\n");
    expect(faults.filter(({ code }) => code === "solid-file")).toMatchObject([
      { where: { line: 1, field: "format" }, found: 'expected "solid/1"' },
    ]);
  });

  it("described twice is a fault of the second file", () => {
    const { faults } = read(blank, blank);
    expect(faults).toMatchObject([
      {
        code: "solid-file",
        where: { file: "parts/1.yaml", line: 2 },
        found: "our-ptfe is described in parts/0.yaml too",
      },
    ]);
  });
});

it("a team's solid whose data end above the cold leaves question 6 not known, and the rest answered", async () => {
  const short = blank.replace("T_K: 77", "T_K: 200");
  const text = readFileSync(new URL("../../demo/petrel-oxygen-main/valve.yaml", import.meta.url), "utf8");
  const { dossier, faults } = readDossier({
    valve: { path: "valve.yaml", text: text.replace(/seat_material: .*/, "seat_material: our-ptfe") },
    parts: parts(short),
  });
  expect(faults).toEqual([]);
  const { dossier: filled } = applyDefaults(dossier, "duty");
  const { seat } = new OwnAnswers(filled, "duty", { seed: 1, samples: 0 }).cold;
  expect(seat.unfit).toContain("200");
  expect(planFor(filled, "duty").missing.motion).toEqual([]);
});
