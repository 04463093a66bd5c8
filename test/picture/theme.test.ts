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

/** What a dichromat sees of linear RGB: Machado, Oliveira, Fernandes 2009, table 1, severity 1.0 (from memory). */
const dichromats = {
  protanope: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranope: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanope: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
} as const;

type Triple = readonly [number, number, number];

function linearOf(hex: string): Triple {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return [red, green, blue];
}

function through(matrix: readonly Triple[], rgb: Triple): Triple {
  const [red = 0, green = 0, blue = 0] = matrix.map((row) =>
    Math.min(1, Math.max(0, row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2])),
  );
  return [red, green, blue];
}

/** CIE L*a*b* of linear sRGB, white D65: IEC 61966-2-1 and ISO/CIE 11664-4. */
function labOf([red, green, blue]: Triple): Triple {
  const shares = [
    (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505,
    0.2126 * red + 0.7152 * green + 0.0722 * blue,
    (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089,
  ].map((share) => (share > (6 / 29) ** 3 ? Math.cbrt(share) : share / (3 * (6 / 29) ** 2) + 4 / 29));
  const [x = 0, y = 0, z = 0] = shares;
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function apart(one: Triple, other: Triple): number {
  const [a, b] = [labOf(one), labOf(other)];
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

describe("better, doubtful and worse, the roles of verdicts", () => {
  const verdicts: readonly Role[] = ["better", "doubtful", "worse"];

  it("differ by shape", () => {
    expect(new Set(verdicts.map((role) => roleStyles[role].bead)).size).toBe(3);
  });

  // 15 in CIE76 is several times what is just seen (about 2.3: Mahy, Van Eycken, Oosterlinck 1994).
  for (const scheme of ["light", "dark"] as const)
    for (const [who, matrix] of Object.entries(dichromats))
      it(`${scheme}: a ${who} sees them at least 15 apart (CIE 1976 L*a*b*)`, () => {
        for (const [index, one] of verdicts.entries())
          for (const other of verdicts.slice(index + 1)) {
            const seen = [one, other].map((role) =>
              through(matrix, linearOf(roleStyles[role].colour[scheme])),
            );
            const [a = [0, 0, 0], b = [0, 0, 0]] = seen;
            expect(apart(a, b), `${one} and ${other}`).toBeGreaterThanOrEqual(15);
          }
      });

  it("doubtful lies nearer to worse than better does, in both schemes", () => {
    for (const scheme of ["light", "dark"] as const) {
      const [better = [0, 0, 0], doubtful = [0, 0, 0], worse = [0, 0, 0]] = verdicts.map((role) =>
        linearOf(roleStyles[role].colour[scheme]),
      );
      expect(apart(doubtful, worse)).toBeLessThan(apart(better, worse));
      expect(apart(doubtful, worse)).toBeGreaterThanOrEqual(20);
    }
  });
});
