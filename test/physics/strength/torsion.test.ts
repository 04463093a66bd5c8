import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  keyedSection,
  oneFlatSection,
  rectangleSection,
  roundSection,
  shearModulus,
  squareSection,
  type TorsionSection,
  torsionStiffness,
  torsionStress,
  tubeSection,
  twoFlatsSection,
} from "../../../src/physics/strength/index.js";
import type { Length, Stress, Torque } from "../../../src/quantity/index.js";

const mm = (value: number) => (value * 1e-3) as Length;
const MPa = (section: TorsionSection, T: number) => torsionStress(section, T as Torque) / 1e6;

describe("torsion by the forms of [roark-2002, table 10.1], numbers worked out from them apart", () => {
  it("a 12 mm round stem at 60 N m: 176.84 MPa", () => {
    expect(MPa(roundSection(mm(12)), 60)).toBeCloseTo(176.84, 1);
  });

  it("an 11 mm square at 60 N m: 216.7 MPa, and 0.3785 rad/m at G = 77 GPa", () => {
    const square = squareSection(mm(11));
    // Four digits of the published coefficients.
    expect(Math.abs(MPa(square, 60) / 216.7 - 1)).toBeLessThan(1e-3);
    expect(60 / torsionStiffness(square, 77e9 as Stress, 1 as Length)).toBeCloseTo(0.3785, 3);
  });

  it("double D of 16 mm with flats 2 mm deep at 80 N m: 168.6 MPa, K 4378.7 mm4", () => {
    const flats = twoFlatsSection(mm(16), mm(2));
    expect(Math.abs(MPa(flats, 80) / 168.6 - 1)).toBeLessThan(1e-3);
    expect(flats.constant * 1e12).toBeCloseTo(4378.7, 0);
  });

  it("keyed shaft of 20 mm, keyway 6 wide and 3.5 deep: 0.7475 of the whole round's strength [moore-1909]", () => {
    const share = keyedSection(mm(20), mm(6), mm(3.5)).resistance / roundSection(mm(20)).resistance;
    expect(share).toBeCloseTo(0.7475, 4);
  });
});

it("a bar of 1.5 in at 14 kip in: 21.1 ksi, the textbook's 16 T/(pi d^3) [budynas-nisbett-2011, eq. 3-37]", () => {
  const psi = 6894.757;
  const section = roundSection((1.5 * 0.0254) as Length);
  const T = 14e3 * 0.112_984_8;
  expect(torsionStress(section, T as Torque) / psi / 1e3).toBeCloseTo((16 * 14) / (Math.PI * 1.5 ** 3), 3);
});

describe("shapes that become each other", () => {
  it("a tube without a bore is the round, a thin one 2 pi r^2 t [budynas-nisbett-2011, eq. 3-45, thin-walled]", () => {
    expect(tubeSection(mm(12), mm(0))).toEqual(roundSection(mm(12)));
    const thin = tubeSection(mm(20.1), mm(19.9)).resistance;
    expect(thin / (2 * Math.PI * mm(10) ** 2 * mm(0.1))).toBeCloseTo(1, 1);
  });

  it("a rectangle of equal sides is the square, a long one a third of b a^2", () => {
    expect(rectangleSection(mm(10), mm(10)).resistance).toBeCloseTo(squareSection(mm(10)).resistance, 12);
    // 0.312 at 10 is still 6 % below the limit of long ones.
    expect(rectangleSection(mm(100), mm(10)).resistance / (mm(100) * mm(10) ** 2)).toBeCloseTo(0.312, 6);
    expect(rectangleSection(mm(5), mm(10))).toEqual(rectangleSection(mm(10), mm(5)));
  });

  it("flats of no depth leave the round, to the four digits of the coefficients", () => {
    for (const section of [oneFlatSection(mm(14), mm(0)), twoFlatsSection(mm(14), mm(0))]) {
      expect(section.resistance / roundSection(mm(14)).resistance).toBeCloseTo(1, 4);
      expect(section.constant / roundSection(mm(14)).constant).toBeCloseTo(1, 4);
    }
  });
});

/**
 * Solution of Prandtl's equation, laplace(psi) = -2 with psi = 0 on the edge, by overrelaxation on a grid:
 * K = 2 int psi dA, W = K / max |grad psi|. The slow way to the same numbers.
 */
function prandtl(inside: (x: number, y: number) => boolean, half: number, cells: number) {
  const step = (2 * half) / cells;
  const n = cells + 1;
  const psi = new Float64Array(n * n);
  const isIn = Array.from({ length: n * n }, (_, k) =>
    inside(-half + (k % n) * step, -half + Math.floor(k / n) * step),
  );
  const omega = 2 / (1 + Math.sin(Math.PI / cells));
  for (let sweep = 0; sweep < 4 * cells; sweep++)
    for (let k = n; k < n * (n - 1); k++) {
      if (isIn[k] !== true) continue;
      const around = (psi[k - 1] ?? 0) + (psi[k + 1] ?? 0) + (psi[k - n] ?? 0) + (psi[k + n] ?? 0);
      psi[k] = (1 - omega) * (psi[k] ?? 0) + (omega / 4) * (around + 2 * step * step);
    }
  return 2 * psi.reduce((sum, one) => sum + one, 0) * step * step;
}

describe("torsion constants against Prandtl's equation on a grid", () => {
  // A stair-cased edge of 120 cells gives K to about 2 %; the forms themselves to 2 %.
  const near = (value: number, slow: number) => expect(Math.abs(value / slow - 1)).toBeLessThan(0.04);

  it("square and rectangle", () => {
    near(
      squareSection(2 as Length).constant,
      prandtl((x, y) => Math.abs(x) < 1 && Math.abs(y) < 1, 1, 80),
    );
    near(
      rectangleSection(2 as Length, 1 as Length).constant,
      prandtl((x, y) => Math.abs(x) < 1 && Math.abs(y) < 0.5, 1, 80),
    );
  });

  it.each([0.1, 0.25, 0.4])("one flat and two flats, q = %s", (q) => {
    const isRound = (x: number, y: number) => x * x + y * y < 1;
    near(
      oneFlatSection(2 as Length, q as Length).constant,
      prandtl((x, y) => isRound(x, y) && y < 1 - q, 1, 120),
    );
    near(
      twoFlatsSection(2 as Length, q as Length).constant,
      prandtl((x, y) => isRound(x, y) && Math.abs(y) < 1 - q, 1, 120),
    );
  });
});

it("shear modulus of steel, E 207 GPa and nu 0.292: 80 GPa [budynas-nisbett-2011, table A-5: 79.3 GPa measured]", () => {
  expect(Math.abs(shearModulus(207e9 as Stress, 0.292) / 79.3e9 - 1)).toBeLessThan(0.02);
});

it("no shape gains by taking material off", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 5, max: 60, noNaN: true }),
      fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      (d, q) => {
        const whole = roundSection(mm(d)).resistance * (1 + 1e-3);
        const h = mm((q * d) / 2);
        expect(oneFlatSection(mm(d), h).resistance).toBeLessThan(whole);
        expect(twoFlatsSection(mm(d), h).resistance).toBeLessThan(whole);
        expect(tubeSection(mm(d), mm(q * d)).resistance).toBeLessThan(whole);
        expect(keyedSection(mm(d), mm(d / 4), mm(d / 8)).resistance).toBeLessThan(whole);
      },
    ),
  );
});
