import { describe, expect, it } from "vitest";
import { fluid, fluidNames } from "../../src/substance/index.js";
import { compareRow, notComputed, type Row, referenceFiles } from "./referenceRows.js";

const files = referenceFiles();

it("every fluid has reference rows", () => {
  expect(files.map((file) => file.fluid).sort()).toEqual([...fluidNames].sort());
});

for (const file of files) {
  describe(file.fluid, () => {
    const substance = fluid(file.fluid);
    file.rows.forEach((row, index) => {
      it(`${index + 1}: ${rowName(row)}`, () => {
        const comparisons = compareRow(substance, row);
        const beyond = comparisons.filter(
          ({ expected, found, permitted }) => !(Math.abs(found - expected) <= permitted),
        );
        expect(beyond).toEqual([]);
        expect(comparisons.length).toBeGreaterThan(0);
      });
    });
  });
}

it("fields that are not computed are printed", () => {
  const count = new Map<string, number>();
  const look = (value: unknown): void => {
    if (Array.isArray(value)) value.forEach(look);
    else if (typeof value === "object" && value !== null) {
      for (const [field, inner] of Object.entries(value)) {
        if (field in notComputed) count.set(field, (count.get(field) ?? 0) + 1);
        look(inner);
      }
    }
  };
  look(files);
  for (const [field, times] of count) {
    console.log(`reference rows: ${times} values of ${field} not compared: ${notComputed[field]}`);
  }
  expect([...count.keys()].sort()).toEqual(Object.keys(notComputed).sort());
});

function rowName(row: Row): string {
  const inputs = ["T_K", "p_Pa", "rho_kg_m3", "rho_mol_m3", "T0_K"]
    .filter((field) => row[field] !== undefined)
    .map((field) => `${field} ${row[field]}`);
  return [String(row.kind).replaceAll("_", " "), ...inputs, `(${row.source})`].join(" ");
}
