import fc from "fast-check";
import { expect, it } from "vitest";
import { integrate } from "../../src/numerics/index.js";

it("erf(1) from its integral: Abramowitz & Stegun 1972, table 7.1, 0.8427007929", () => {
  const erf = (2 / Math.sqrt(Math.PI)) * integrate((x) => Math.exp(-x * x), 0, 1, 4);
  expect(erf).toBeCloseTo(0.842_700_792_9, 10);
});

it("a polynomial of degree nine is exact on one panel, one of degree ten is not", () => {
  expect(integrate((x) => x ** 9, 0, 2, 1) / (2 ** 10 / 10)).toBeCloseTo(1, 12);
  expect(Math.abs(integrate((x) => x ** 10, 0, 2, 1) / (2 ** 11 / 11) - 1)).toBeGreaterThan(1e-6);
});

it("halving the panels divides the error by two to the tenth", () => {
  const error = (panels: number) => Math.abs(integrate(Math.exp, 0, 8, panels) - Math.expm1(8));
  const order = Math.log2(error(4) / error(8));
  expect(order).toBeGreaterThan(9.5);
  expect(order).toBeLessThan(10.5);
});

it("exchanged ends change the sign", () => {
  const end = fc.double({ min: -5, max: 5, noNaN: true });
  fc.assert(
    fc.property(end, end, (a, b) => {
      expect(integrate(Math.cos, a, b, 3) + integrate(Math.cos, b, a, 3)).toBeCloseTo(0, 12);
    }),
  );
});
