import { describe, expect, it } from "vitest";
import { diagnoseChains, effectiveSize, randomStream, rHat } from "../../src/numerics/index.js";

/** Chains of x_t = phi x_(t-1) + e_t with variance 1, each from its stationary law. */
function autoregressive(phi: number, chains: number, draws: number, seed: number): readonly Float64Array[] {
  return Array.from({ length: chains }, (_, c) => {
    const stream = randomStream(seed, c);
    const chain = new Float64Array(draws);
    let x = stream.normal();
    for (let t = 0; t < draws; t++) {
      chain[t] = x;
      x = phi * x + Math.sqrt(1 - phi * phi) * stream.normal();
    }
    return chain;
  });
}

describe("effective sample size", () => {
  it.each([0, 0.3, 0.6, 0.9])(
    "of an autoregressive process of first order, phi %f: n (1 - phi) / (1 + phi), textbook closed form",
    (phi) => {
      const [chains, draws] = [4, 5000];
      const found = effectiveSize(autoregressive(phi, chains, draws, 5));
      const exact = (chains * draws * (1 - phi)) / (1 + phi);
      // The estimate itself scatters by some per cent with so many draws.
      expect(Math.abs(found / exact - 1)).toBeLessThan(0.15);
    },
  );

  it("of draws that swing round their mean (phi -0.5) is more than their number: n (1.5 / 0.5)", () => {
    const found = effectiveSize(autoregressive(-0.5, 4, 5000, 8));
    expect(found / 20000).toBeGreaterThan(2.5);
    expect(found / 20000).toBeLessThan(3.5);
  });
});

describe("R-hat", () => {
  it("by hand: chains 1 2 3 and 3 4 5 have W 1, B/n 2, R = sqrt(2/3 + 2)", () => {
    expect(
      rHat([
        [1, 2, 3],
        [3, 4, 5],
      ]),
    ).toBeCloseTo(Math.sqrt(2 / 3 + 2), 12);
  });

  it("of chains of one law is 1 within its scatter", () => {
    const { rHat: found, bulkSize, tailSize } = diagnoseChains(autoregressive(0.3, 4, 2000, 3));
    expect(found).toBeLessThan(1.005);
    expect(bulkSize).toBeGreaterThan(3000);
    expect(tailSize).toBeGreaterThan(3000);
  });

  it("sees a chain that stays elsewhere", () => {
    const chains = autoregressive(0, 4, 1000, 4).map((chain, c) => chain.map((x) => (c === 0 ? x + 1 : x)));
    expect(diagnoseChains(chains).rHat).toBeGreaterThan(1.05);
  });

  it("sees a drift inside every chain, for which halves are compared", () => {
    const chains = autoregressive(0, 4, 1000, 6).map((chain) => chain.map((x, t) => x + t / 500));
    expect(rHat(chains)).toBeLessThan(1.01);
    expect(diagnoseChains(chains).rHat).toBeGreaterThan(1.1);
  });

  it("sees a chain that is wider than the others, Vehtari et al. 2021, section 4.2: equal means, unequal scale", () => {
    const chains = autoregressive(0, 4, 1000, 7).map((chain, c) => chain.map((x) => (c === 0 ? x / 3 : x)));
    expect(rHat(chains)).toBeLessThan(1.01);
    expect(diagnoseChains(chains).rHat).toBeGreaterThan(1.03);
  });

  it("is not fooled by draws without a variance, Vehtari et al. 2021, section 4.1: one Cauchy chain elsewhere", () => {
    const cauchy = Array.from({ length: 4 }, (_, c) => {
      const stream = randomStream(9, c);
      return Float64Array.from(
        { length: 1000 },
        () => Math.tan(Math.PI * (stream.uniform() - 0.5)) + (c === 0 ? 2 : 0),
      );
    });
    expect(diagnoseChains(cauchy).rHat).toBeGreaterThan(1.03);
  });
});
