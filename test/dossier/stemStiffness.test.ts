/** The stem's stiffness from its sections. */
import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { textOf } from "../project/files.js";

const sections = [
  "{ name: shank, shape: round, diameter: 14 mm, length: 100 mm }",
  "{ name: square, shape: square, width: 11 mm, length: 20 mm }",
];
const filled = (rows: readonly string[], stem = "    material: stainless-304\n") => {
  const list = rows.length === 0 ? "" : `    sections:\n${rows.map((row) => `      - ${row}\n`).join("")}`;
  const text = textOf("test/question/hand.yaml").replace("  stem:\n", `  stem:\n${stem}${list}`);
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text } });
  return { faults, ...applyDefaults(dossier) };
};

describe("the stiffness of the stem", () => {
  it("is that of its sections in series, 14 mm round over 100 mm and 11 mm square over 20 mm of 200 GPa and 0.28 give 2156 N m/rad [roark-2002, table 10.1]", () => {
    const { dossier, defaults } = filled(sections);
    const G = 200e9 / (2 * 1.28);
    const round = (Math.PI / 32) * 0.014 ** 4;
    const square = 0.1406 * 0.011 ** 4;
    const k = G / (0.1 / round + 0.02 / square);
    const found = dossier.valve.valve?.stem?.stiffness;
    // The modulus of the file lies within 3 % of the textbook's 200 GPa.
    expect(Math.abs((found?.value ?? 0) / k - 1)).toBeLessThan(0.03);
    expect(found?.origin).toBe("default");
    expect(defaults.map(({ field }) => field)).toContain("valve.stem.stiffness");
  });

  it("is the declared one where there is one", () => {
    const { dossier } = filled(sections, "    material: stainless-304\n    stiffness: 900 N m/rad\n");
    expect(dossier.valve.valve?.stem?.stiffness?.value).toBe(900);
  });

  it.each([
    ["a section without its length", ["{ shape: round, diameter: 14 mm }"], undefined],
    ["a section without a dimension", ["{ shape: square, length: 20 mm }"], undefined],
    ["a material without a modulus", sections, "    material: beryllium-copper\n"],
    ["no material", sections, "    collar_material: PTFE-lined bushing\n"],
    ["no sections", [], undefined],
  ])("is not derived from %s", (_, rows, stem) => {
    const { dossier, faults } = filled(rows, stem);
    expect(faults).toEqual([]);
    expect(dossier.valve.valve?.stem?.stiffness).toBeUndefined();
  });
});
