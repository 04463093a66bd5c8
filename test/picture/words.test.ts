import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { axisTitle, cellsOf, cleanText, clip, numberText, textWidth, wrap } from "../../src/picture/words.js";

describe("numbers in a picture", () => {
  const printed: readonly (readonly [number, number, string])[] = [
    [0, 20, "0"],
    [-0, 1, "0"],
    [-5, 5, "−5"],
    [0.30000000000000004, 0.1, "0.3"],
    [1.5, 0.5, "1.5"],
    [-0.001, 1, "0"],
    [2000, 500, "2000"],
    [12_000, 2000, "12\u202f000"],
    [1_234_567.8, 0.1, "1\u202f234\u202f567.8"],
    [2e7, 1e7, "2e7"],
    [2.5e-7, 1e-8, "2.5e−7"],
    [101_325, 1, "101\u202f325"],
  ];
  for (const [value, step, text] of printed)
    it(`${value} to a step of ${step} is ${text}`, () => {
      expect(numberText(value, step)).toBe(text);
    });

  it("read back, a number lies within half a step", () => {
    const exponent = fc.integer({ min: -4, max: 3 });
    fc.assert(
      fc.property(fc.double({ min: -9e6, max: 9e6, noNaN: true }), exponent, (value, power) => {
        const step = 10 ** power;
        const back = Number(numberText(value, step).replace("−", "-").replaceAll("\u202f", ""));
        expect(Math.abs(back - value)).toBeLessThanOrEqual(Math.max(step, 1) * 0.5 * (1 + 1e-9));
      }),
    );
  });
});

describe("words in a picture", () => {
  it("lose what could steer a terminal or break XML", () => {
    expect(cleanText("\u001b[31mred\u0007\n two\u202e\ud800 \ufffe ")).toBe("[31mred two");
  });

  it("wrapped, no line is longer than the room, and no letter is lost", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 120 }), fc.integer({ min: 1, max: 40 }), (text, room) => {
        const lines = wrap(text, room, cellsOf);
        for (const line of lines) expect(cellsOf(line)).toBeLessThanOrEqual(room);
        expect(lines.join("").replaceAll(" ", "")).toBe(cleanText(text).replaceAll(" ", ""));
      }),
    );
  });

  it("wrapped to fewer lines than they need, they end in an ellipsis", () => {
    expect(wrap("one two three four", 9, cellsOf, 1)).toEqual(["one two…"]);
  });

  it("clipped, they keep their beginning", () => {
    expect(clip("breakaway torque", 10, cellsOf)).toBe("breakaway…");
    expect(clip("breakaway", 10, cellsOf)).toBe("breakaway");
  });

  it("an axis keeps its unit where room is short; a plain ratio has [-]", () => {
    expect(axisTitle({ label: "Torque at the stem", unit: "N*m" }, 14, cellsOf)).toBe("Torque… [N*m]");
    expect(axisTitle({ label: "Ratio", unit: "" }, 40, cellsOf)).toBe("Ratio [-]");
  });

  it("wide letters take two cells, combining marks none", () => {
    expect(cellsOf("温度")).toBe(4);
    expect(cellsOf("e\u0301")).toBe(1);
  });

  it("measured width is an upper bound: DejaVu Sans Book 2.37, advance widths of its hmtx table", () => {
    // Units of 1/2048 em, read from the font file: T 1251, o 1253, r 842, q 1300, u 1298, e 1260.
    const torque = ((1251 + 1253 + 842 + 1300 + 1298 + 1260) / 2048) * 100;
    expect(textWidth("Torque", 100)).toBeGreaterThanOrEqual(torque - 3);
    expect(textWidth("Torque", 100)).toBeLessThanOrEqual(torque * 1.05);
  });
});
