import fc from "fast-check";
import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { csvCell } from "../../src/picture/index.js";

describe("a cell of CSV", () => {
  // The signs that OWASP, "CSV Injection", names as the beginnings of a formula.
  it.each(["=1+1", "+cmd|' /C calc'!A0", "-2+3+cmd", "@SUM(1)", "\t=1", "\r=1", "=1\n2", "-"])(
    "a text that begins like a formula is no formula: %j",
    (text) => {
      const [[read = ""] = []] = Papa.parse<string[]>(csvCell(text), { delimiter: "," }).data;
      expect(read).toBe(`'${text}`);
    },
  );

  it.each(["-12.5", "+3", "-1e-5", "12", "a = b", "Petrel, oxygen", 'a "b"', ""])(
    "%j stays as it is",
    (text) => {
      const [[read = ""] = []] = Papa.parse<string[]>(csvCell(text), { delimiter: "," }).data;
      expect(read).toBe(text);
    },
  );

  it("any text comes back as it was, or with the apostrophe in front", () => {
    fc.assert(
      fc.property(fc.string({ unit: "grapheme" }), (text) => {
        const { data } = Papa.parse<string[]>(`${csvCell(text)},end`, { delimiter: ",", newline: "\n" });
        expect(data).toHaveLength(1);
        expect([text, `'${text}`]).toContain(data[0]?.[0]);
      }),
    );
  });
});
