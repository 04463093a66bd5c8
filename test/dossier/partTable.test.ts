import { describe, expect, it } from "vitest";
import { type PartTable, partsOfTable, readParts } from "../../src/dossier/index.js";

const table = (rows: readonly (readonly string[])[]): PartTable => ({
  path: "motors.csv",
  columns: ["Type", "R [ohm]", "kt [mNm/A]", "J [gcm2]", "m [g]", "R min", "R max"],
  rows: rows.map((cells, index) => ({ line: index + 2, cells })),
});
const mapping = (more = "") => ({
  path: "motors.map.yaml",
  text: `kind: motor
name: Type
class: brushless
reason: our list of March
columns:
  - { column: "R [ohm]", field: resistance, unit: ohm }
  - { column: "R min", field: resistance, unit: ohm, as: low }
  - { column: "R max", field: resistance, unit: ohm, as: high }
  - { column: "kt [mNm/A]", field: torque_constant, unit: mN m/A, spread: 4 % }
  - { column: "J [gcm2]", field: inertia, unit: g cm2 }
  - { column: "m [g]", field: build.mass, unit: g }
${more}`,
});

const good = [
  ["M 60", "0.80", "42", "80", "510", "", ""],
  ["M 90", "0.55", "45", "", "", "0.5", "0.6"],
];

describe("a list of parts", () => {
  it("becomes one file each, with units, spread and limits; a blank cell is not known", () => {
    const { files, faults } = partsOfTable(table(good), mapping());
    expect(faults).toEqual([]);
    expect(files.map(({ name }) => name)).toEqual(["m-60.yaml", "m-90.yaml"]);
    const { parts } = readParts(files.map(({ name, text }) => ({ path: name, text })));
    const [first, second] = parts;
    expect(first).toMatchObject({
      name: "M 60",
      kind: "motor",
      class: "brushless",
      reason: "our list of March",
      reference: "motors.csv",
    });
    expect(first?.values.get("resistance")).toMatchObject({ value: 0.8, law: { kind: "exact" } });
    // 4 % of 42 mN m/A.
    expect(first?.values.get("torque_constant")).toMatchObject({
      law: { kind: "normal", deviation: expect.closeTo(0.00168, 12) },
    });
    expect(first?.values.get("build.mass")).toMatchObject({ value: 0.51 });
    expect(second?.values.get("resistance")).toMatchObject({
      law: { kind: "triangular", low: 0.5, mode: 0.55, high: 0.6 },
    });
    expect(second?.values.has("inertia")).toBe(false);
  });

  it.each([
    ["a point that groups no thousands", ["M 60", "1.2", "42", "80", "510", "", ""], "groups no thousands"],
    ["a cell too few", ["M 60", "1,2", "42", "80", "510", ""], "the row has 6 cells, where the head has 7"],
    ["a cell too many", ["M 60", "1,2", "42", "80", "510", "", "", "9"], "the row has 8 cells"],
  ])("with decimal commas, a row with %s is a fault of its line", (_, row, words) => {
    const { files, faults } = partsOfTable(table([row]), mapping("decimal: comma\n"));
    expect(files).toEqual([]);
    expect(faults).toMatchObject([{ code: "part-row", where: { line: 2 } }]);
    expect(faults[0]?.found).toContain(words);
  });

  it("with decimal commas is read by the mapping", () => {
    const { files } = partsOfTable(
      table([["M 60", "0,80", "42", "1.080,5", "", "", ""]]),
      mapping("decimal: comma\n"),
    );
    const { parts } = readParts(files.map(({ name, text }) => ({ path: name, text })));
    expect(parts[0]?.values.get("resistance")).toMatchObject({ value: 0.8 });
    expect(parts[0]?.values.get("inertia")).toMatchObject({ value: expect.closeTo(1.0805e-4, 12) });
  });

  it("tells a value that does not fit with line, column, field and mend, all of them at once", () => {
    const rows = [
      ["M 60", "-0.8", "42", "80", "510", "", ""],
      ["M 90", "0.55", "soft", "80", "", "", ""],
      ["M 60", "1", "1", "1", "1", "", ""],
    ];
    const { files, faults } = partsOfTable(table(rows), mapping());
    expect(files).toEqual([]);
    expect(faults.map(({ where, code }) => [where.file, where.line, where.field, code])).toEqual([
      ["motors.csv", 2, 'resistance, column "R [ohm]"', expect.any(String)],
      ["motors.csv", 3, 'torque_constant, column "kt [mNm/A]"', expect.any(String)],
      ["motors.csv", 4, "Type", "part-repeated"],
    ]);
    for (const { mend } of faults) expect(mend.length).toBeGreaterThan(10);
  });

  it("whose mapping names no column or field of the kind is refused at the line of the mapping", () => {
    const wrong = mapping(
      "  - { column: Masse, field: build.mass }\n  - { column: R min, field: resistence }\n",
    );
    const { files, faults } = partsOfTable(table(good), wrong);
    expect(files).toEqual([]);
    expect(faults.map(({ code, where, near }) => [code, where.line, near])).toEqual([
      ["part-mapping", 12, undefined],
      ["part-mapping", 13, "resistance"],
    ]);
  });

  it("without kind and name is refused", () => {
    const { faults } = partsOfTable(table(good), { path: "m.yaml", text: "class: brushed\n" });
    expect(faults.map(({ code }) => code)).toEqual(["part-mapping", "part-mapping"]);
  });
});
