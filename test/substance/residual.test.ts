import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Fluid, fluid } from "../../src/substance/index.js";
import { packResidual, ResidualIsotherm } from "../../src/substance/residual.js";
import { homogeneousPoint } from "./arbitraryState.js";

/** The residual part term by term, as the papers print it. */
function termByTerm(fluid: Fluid, delta: number, tau: number): number {
  const { power, gaussian, non_analytic } = fluid.file.equation_of_state.residual;
  let sum = 0;
  for (const { n, d, t, c } of power) {
    sum += n * delta ** d * tau ** t * (c === 0 ? 1 : Math.exp(-(delta ** c)));
  }
  for (const { n, d, t, eta, epsilon, beta, gamma } of gaussian) {
    sum += n * delta ** d * tau ** t * Math.exp(-eta * (delta - epsilon) ** 2 - beta * (tau - gamma) ** 2);
  }
  for (const { n, a, b, beta, A, B, C, D } of non_analytic) {
    const theta = 1 - tau + A * ((delta - 1) ** 2) ** (1 / (2 * beta));
    const Delta = theta ** 2 + B * ((delta - 1) ** 2) ** a;
    sum += n * Delta ** b * delta * Math.exp(-C * (delta - 1) ** 2 - D * (tau - 1) ** 2);
  }
  return sum;
}

function at(fluid: Fluid, delta: number, tau: number): ResidualIsotherm {
  const isotherm = new ResidualIsotherm(fluid.residual).setTau(tau);
  isotherm.evaluate(delta);
  return isotherm;
}

/** x df/dx by a central difference of fourth order; rounding leaves about ten digits. */
function scaledSlope(f: (x: number) => number, x: number): number {
  const h = 1e-3 * x;
  return (x * (8 * (f(x + h) - f(x - h)) - (f(x + 2 * h) - f(x - 2 * h)))) / (12 * h);
}

/** Gaussian and critical terms change within 1e-2 of tau, so that the difference keeps about six digits. */
const DIFFERENCE = 1e-5;

describe("folded terms", () => {
  it("agree with the sum term by term to rounding", () => {
    fc.assert(
      fc.property(homogeneousPoint, ({ name, state }) => {
        const substance = fluid(name);
        const delta = state.rho / substance.reducing.rho;
        const tau = substance.reducing.T / state.T;
        const slow = termByTerm(substance, delta, tau);
        expect(Math.abs(at(substance, delta, tau).a - slow)).toBeLessThan(1e-12 * (1 + Math.abs(slow)));
      }),
      { numRuns: 500 },
    );
  });

  it("every derivative agrees with a difference quotient", () => {
    fc.assert(
      fc.property(homogeneousPoint, ({ name, state }) => {
        const substance = fluid(name);
        const delta = state.rho / substance.reducing.rho;
        const tau = substance.reducing.T / state.T;
        const { a, aD, aDD, aT, aTT, aDT } = at(substance, delta, tau);
        const byDelta = (pick: (x: ResidualIsotherm) => number) =>
          scaledSlope((x) => pick(at(substance, x, tau)), delta);
        const byTau = (pick: (x: ResidualIsotherm) => number) =>
          scaledSlope((x) => pick(at(substance, delta, x)), tau);
        const scale = 1 + Math.max(...[a, aD, aDD, aT, aTT, aDT].map(Math.abs));
        const off = {
          aD: byDelta((x) => x.a) - aD,
          aDD: byDelta((x) => x.aD) - aD - aDD,
          aT: byTau((x) => x.a) - aT,
          aTT: byTau((x) => x.aT) - aT - aTT,
          aDT: byTau((x) => x.aD) - aDT,
          aTD: byDelta((x) => x.aT) - aDT,
        };
        for (const value of Object.values(off)) expect(Math.abs(value)).toBeLessThan(DIFFERENCE * scale);
      }),
      { numRuns: 500 },
    );
  });

  it("one object serves many isotherms", () => {
    fc.assert(
      fc.property(homogeneousPoint, homogeneousPoint, (first, second) => {
        const delta = first.state.rho / fluid(first.name).reducing.rho;
        const tau = fluid(first.name).reducing.T / first.state.T;
        const isotherm = new ResidualIsotherm(fluid(first.name).residual).setTau(second.state.T / 100);
        isotherm.evaluate(0.5);
        isotherm.setTau(tau).evaluate(delta);
        expect(isotherm.aDT).toBe(at(fluid(first.name), delta, tau).aDT);
      }),
    );
  });
});

it("terms of any order are packed the same", () => {
  const rows = [
    { n: 1.5, d: 2, t: 0.5, c: 2 },
    { n: -0.5, d: 1, t: 3, c: 0 },
    { n: 0.25, d: 4, t: -0.5, c: 2 },
    { n: 2, d: 1, t: 1, c: 0 },
  ];
  const packed = (power: typeof rows) => {
    const isotherm = new ResidualIsotherm(packResidual({ power, gaussian: [], non_analytic: [] }));
    isotherm.setTau(1.3).evaluate(0.7);
    return isotherm.a;
  };
  const byHand =
    0.7 * (-0.5 * 1.3 ** 3 + 2 * 1.3) +
    Math.exp(-(0.7 ** 2)) * (1.5 * 0.7 ** 2 * 1.3 ** 0.5 + 0.25 * 0.7 ** 4 * 1.3 ** -0.5);
  expect(packed(rows)).toBeCloseTo(byHand, 14);
  expect(packed([...rows].reverse())).toBeCloseTo(byHand, 14);
});

it("no density: the residual part vanishes, also with gaussian terms of d = 0 (methane)", () => {
  fc.assert(
    fc.property(homogeneousPoint, ({ name, state }) => {
      const substance = fluid(name);
      const { aD, aDD, aDT } = at(substance, 0, substance.reducing.T / state.T);
      expect([aD, aDD, aDT].map(Math.abs)).toEqual([0, 0, 0]);
    }),
  );
});
