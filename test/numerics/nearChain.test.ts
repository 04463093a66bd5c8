import { describe, expect, it } from "vitest";
import {
  type ChainState,
  diagnoseChains,
  type ExactLaw,
  effectiveSize,
  type NearLaw,
  nearDraws,
  type Reference,
  referenceOf,
  startChain,
  walkChain,
} from "../../src/numerics/index.js";
import lower from "../reference/nist-strd/lower.json" with { type: "json" };

/** Four chains after a warm-up; the draws of each, a row per coordinate. */
function sampled(
  exact: ExactLaw,
  near: NearLaw,
  reference: Reference,
  steps: number,
  seed = 1,
): readonly (readonly Float64Array[])[] {
  const n = reference.centre.length;
  let states: readonly ChainState[] = [0, 1, 2, 3].map((chain) =>
    startChain(exact, near, reference, { seed, chain }),
  );
  const walk = (part: number, length: number, isWarmUp: boolean) => {
    const parts = states.map((state, chain) =>
      walkChain(exact, near, reference, state, { seed, chain, part, steps: length, isWarmUp }),
    );
    states = parts.map(({ state }) => state);
    return parts;
  };
  walk(0, 200, true);
  const parts = walk(1, steps, false);
  return Array.from({ length: n }, (_, j) =>
    parts.map(({ draws }) => Float64Array.from({ length: steps }, (_unused, k) => draws[k * n + j] ?? 0)),
  );
}

const plain = (n: number, deviation = 1): Reference => ({
  centre: new Float64Array(n),
  factor: Float64Array.from({ length: n * n }, (_, k) => (k % (n + 1) === 0 ? deviation : 0)),
});

/** A standard normal law as the near one: far from each of the targets below. */
const standard: NearLaw = (x, slope) => {
  slope.set(x);
  return x.reduce((sum, value) => sum + value * value, 0) / 2;
};

const whole = (chains: readonly Float64Array[]) => chains.flatMap((chain) => [...chain]);
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** The mean of a function of the draws lies within four of its own standard errors of the known one. */
function expectMean(chains: readonly Float64Array[], of: (x: number) => number, known: number): void {
  const values = chains.map((chain) => chain.map(of));
  const all = whole(values);
  const centre = mean(all);
  const spread = Math.sqrt(mean(all.map((value) => (value - centre) ** 2)));
  expect(Math.abs(centre - known)).toBeLessThan((4 * spread) / Math.sqrt(effectiveSize(values)));
}

function two<T>(rows: readonly T[]): readonly [T, T] {
  const [a, b] = rows;
  if (a === undefined || b === undefined) throw new Error("no draws");
  return [a, b];
}

describe("chains guided by a near law", () => {
  it("a linear model with normal errors has its closed form, gelman-2013, sec. 14.8: mean and covariance of (X'X + I)^-1", () => {
    // y = a + b x + e at x = 0, 1, 2 with y = 1, 3, 4, e and both priors standard normal.
    const X = [0, 1, 2];
    const y = [1, 3, 4];
    const law = ([a = 0, b = 0]: Float64Array) =>
      (a * a + b * b + X.reduce((sum, x, i) => sum + ((y[i] ?? 0) - a - b * x) ** 2, 0)) / 2;
    // X'X + I = [[4, 3], [3, 6]], its determinant 15, X'y = [8, 11].
    const [a, b] = two(sampled(law, standard, plain(2), 8000));
    expect(diagnoseChains(a).rHat).toBeLessThan(1.01);
    const centre = [(6 * 8 - 3 * 11) / 15, (4 * 11 - 3 * 8) / 15] as const;
    expectMean(a, (x) => x, centre[0]);
    expectMean(b, (x) => x, centre[1]);
    expectMean(a, (x) => (x - centre[0]) ** 2, 6 / 15);
    expectMean(b, (x) => (x - centre[1]) ** 2, 4 / 15);
    const product = a.map((chain, c) =>
      chain.map((x, k) => (x - centre[0]) * ((b[c]?.[k] ?? 0) - centre[1])),
    );
    expectMean(product, (x) => x, -3 / 15);
  });

  it("Misra1a of the NIST sets under a flat prior: certified estimates and deviations, over which the law of t has 12/10 of the variance", () => {
    const data = lower.datasets.find(({ name }) => name === "Misra1a");
    if (data === undefined) throw new Error("no data");
    const [b1 = 0, b2 = 0] = data.certified;
    const [s1 = 1, s2 = 1] = data.standardDeviation;
    const freedom = data.x.length - 2;
    // In certified deviations about the certified estimates; the error variance integrated out.
    const law = ([u = 0, v = 0]: Float64Array) => {
      const [one, other] = [b1 + s1 * u, b2 + s2 * v];
      if (one <= 0 || other <= 0) return Number.POSITIVE_INFINITY;
      const square = data.x.reduce(
        (sum, x, i) => sum + ((data.y[i] ?? 0) - one * (1 - Math.exp(-other * x))) ** 2,
        0,
      );
      return (data.x.length / 2) * Math.log(square / data.residualSumOfSquares);
    };
    // The estimates go together so closely (-0.999) that the near law must know it.
    const near: NearLaw = (x, slope) => {
      const h = 1e-4;
      for (let j = 0; j < 2; j++) {
        const [above, below] = [x.slice(), x.slice()];
        above[j] = (above[j] ?? 0) + h;
        below[j] = (below[j] ?? 0) - h;
        slope[j] = (straight(above) - straight(below)) / (2 * h);
      }
      return straight(x);
    };
    /** The same with the model straight in its parameters, and a tail as heavy as that of t. */
    const straight = (x: Float64Array): number => {
      const [u = 0, v = 0] = x;
      const square = data.x.reduce((sum, at, i) => {
        const fade = Math.exp(-b2 * at);
        const left = (data.y[i] ?? 0) - b1 * (1 - fade) - s1 * u * (1 - fade) - s2 * v * b1 * at * fade;
        return sum + left * left;
      }, 0);
      return (data.x.length / 2) * Math.log(square / data.residualSumOfSquares);
    };
    const rho = -0.99;
    const reference: Reference = {
      centre: new Float64Array(2),
      factor: Float64Array.of(1, 0, rho, Math.sqrt(1 - rho * rho)),
    };
    const [u, v] = two(sampled(law, near, reference, 6000));
    expect(diagnoseChains(u).rHat).toBeLessThan(1.01);
    const moments = (chains: readonly Float64Array[]) => {
      const all = whole(chains);
      const centre = mean(all);
      return { centre, variance: mean(all.map((x) => (x - centre) ** 2)) };
    };
    // The model is nearly straight over the posterior: 3 % of bend is left beside the scatter of the draws.
    for (const chains of [u, v]) {
      const { centre, variance } = moments(chains);
      expect(Math.abs(centre)).toBeLessThan(0.15);
      expect(Math.abs(variance / (freedom / (freedom - 2)) - 1)).toBeLessThan(0.15);
    }
  });

  it("a banana, x2 = x1^2 / 2 + e with e of deviation 0.5: means 0 and 0.5, variances 1 and 0.5 + 0.25, though the near law is straight", () => {
    const banana = ([x = 0, y = 0]: Float64Array) => 0.5 * x * x + (0.5 * (y - 0.5 * x * x) ** 2) / 0.25;
    const [x, y] = two(sampled(banana, standard, plain(2), 20_000));
    expect(diagnoseChains(y).rHat).toBeLessThan(1.01);
    expectMean(x, (value) => value, 0);
    expectMean(x, (value) => value * value, 1);
    expectMean(y, (value) => value, 0.5);
    expectMean(y, (value) => (value - 0.5) ** 2, 0.75);
  });

  it("a normal law cut at 0, where the near law is not: mean sqrt(2/pi), mean square 1", () => {
    const half = ([x = 0]: Float64Array) => (x < 0 ? Number.NaN : 0.5 * x * x);
    const [x] = sampled(half, standard, plain(1), 6000);
    if (x === undefined) throw new Error("no draws");
    expect(Math.min(...whole(x))).toBeGreaterThanOrEqual(0);
    expectMean(x, (value) => value, Math.sqrt(2 / Math.PI));
    expectMean(x, (value) => value * value, 1);
  });

  it("a gamma law of shape 4, by its logarithm: mean 4, variance 4; the near law is shifted and too narrow", () => {
    // Density of t = log g: exp(4 t - e^t).
    const law = ([t = 0]: Float64Array) => Math.exp(t) - 4 * t;
    const near: NearLaw = (x, slope) => {
      const off = (x[0] ?? 0) - 1;
      slope[0] = 5 * off;
      return 2.5 * off * off;
    };
    const [t] = sampled(law, near, plain(1, 0.5), 20_000);
    if (t === undefined) throw new Error("no draws");
    expect(diagnoseChains(t).rHat).toBeLessThan(1.01);
    expectMean(t, Math.exp, 4);
    expectMean(t, (value) => (Math.exp(value) - 4) ** 2, 4);
  });

  it("with the exact law as the near one forty coordinates cost no more than two: every draw counts", () => {
    const law: ExactLaw = (x) => x.reduce((sum, value) => sum + value * value, 0) / 2;
    const draws = sampled(law, standard, plain(42), 2000);
    for (const j of [0, 41]) {
      const chains = draws[j] ?? [];
      expectMean(chains, (value) => value * value, 1);
      expect(effectiveSize(chains)).toBeGreaterThan(2000);
    }
  });

  it("draws of the near law alone have its moments", () => {
    const near: NearLaw = (x, slope) => {
      slope[0] = ((x[0] ?? 0) - 1) / 4;
      return ((x[0] ?? 0) - 1) ** 2 / 8;
    };
    const draws = nearDraws(near, plain(1), { seed: 3, chain: 0, part: 0, draws: 8000 });
    expectMean([draws], (x) => x, 1);
    expectMean([draws], (x) => (x - 1) ** 2, 4);
  });

  it("the same order and state give the same bits, another seed others", () => {
    const law = ([x = 0]: Float64Array) => 0.5 * x * x;
    expect(sampled(law, standard, plain(1), 50, 4)).toEqual(sampled(law, standard, plain(1), 50, 4));
    expect(sampled(law, standard, plain(1), 50, 4)).not.toEqual(sampled(law, standard, plain(1), 50, 5));
  });

  it("the reference of states has their mean and covariance, each by hand, and a share of an earlier one", () => {
    const states = [
      [0, 0],
      [2, 0],
      [0, 4],
      [2, 4],
    ];
    const { centre, factor } = referenceOf(states, plain(2), 0);
    expect([...centre]).toEqual([1, 2]);
    const product = (i: number, j: number) =>
      [0, 1].reduce((sum, k) => sum + (factor[2 * i + k] ?? 0) * (factor[2 * j + k] ?? 0), 0);
    expect([product(0, 0), product(0, 1), product(1, 1)].map((v) => Math.round(1e9 * v) / 1e9)).toEqual([
      1, 0, 4,
    ]);
    // An earlier one about 0 that counts for as many halves the mean.
    const mixed = referenceOf(states, plain(2), 4);
    expect([...mixed.centre]).toEqual([0.5, 1]);
  });

  it("a chain is carried on about another reference: same place, and the law stays", () => {
    const exact: ExactLaw = (x) => ((x[0] ?? 0) ** 2 + ((x[1] ?? 0) / 3) ** 2) / 2;
    const near: NearLaw = (x, slope) => {
      slope[0] = x[0] ?? 0;
      slope[1] = (x[1] ?? 0) / 9;
      return exact(x);
    };
    const order = { seed: 3, chain: 0 };
    const begun = walkChain(exact, near, plain(2), startChain(exact, near, plain(2), order), {
      ...order,
      part: 0,
      steps: 50,
      isWarmUp: true,
    }).state;
    const other: Reference = { centre: Float64Array.of(0.5, -1), factor: Float64Array.of(1, 0, 0.5, 3) };
    const { draws } = walkChain(exact, near, other, begun, {
      ...order,
      part: 1,
      steps: 4000,
      isWarmUp: false,
    });
    const second = Float64Array.from({ length: 4000 }, (_, k) => draws[2 * k + 1] ?? 0);
    expectMean([second], (x) => x, 0);
    expectMean([second], (x) => x * x, 9);
  });
});
