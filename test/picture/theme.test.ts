import { describe, expect, it } from "vitest";
import { paints, type Role, roleStyles } from "../../src/picture/index.js";

/** Relative luminance: WCAG 2.2, definition of relative luminance. */
function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Contrast ratio: WCAG 2.2, definition of contrast ratio. */
function contrast(one: string, other: string): number {
  const [low = 0, high = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}

const styles = Object.entries(roleStyles);

describe("the look of roles", () => {
  it("contrast of black on white is 21 (WCAG 2.2)", () => {
    expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 10);
  });

  for (const scheme of ["light", "dark"] as const)
    it(`${scheme}: every colour that carries words has contrast 4.5 or more on paper (WCAG 2.2, 1.4.3)`, () => {
      for (const [name, { colour }] of styles)
        expect(contrast(colour[scheme], paints.paper[scheme]), name).toBeGreaterThanOrEqual(4.5);
      expect(contrast(paints.ink[scheme], paints.paper[scheme])).toBeGreaterThanOrEqual(4.5);
      expect(contrast(paints.quiet[scheme], paints.paper[scheme])).toBeGreaterThanOrEqual(4.5);
    });

  it("without colour no two roles' lines look alike: dash and bead differ", () => {
    const looks = styles.map(([, { dashes, beaded, bead }]) => `${dashes[0]} ${beaded ? bead : "plain"}`);
    expect(new Set(looks).size).toBe(looks.length);
  });

  it("in a terminal no two series have one letter, nor in ASCII", () => {
    for (const set of ["glyphs", "plainGlyphs"] as const) {
      const letters = styles.flatMap(([, style]) => style[set]);
      expect(new Set(letters).size).toBe(letters.length);
    }
    for (const [, { plainGlyphs }] of styles)
      for (const letter of plainGlyphs) expect(letter).toMatch(/^[\x21-\x7e]$/);
  });

  it("better and worse differ by hatch, not by colour alone", () => {
    const hatched = (role: Role): boolean => roleStyles[role].hatched;
    expect(hatched("better")).not.toBe(hatched("worse"));
  });
});
