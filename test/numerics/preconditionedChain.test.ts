import { describe, expect, it } from "vitest";
import {
  type ChainState,
  diagnoseChains,
  effectiveSize,
  placeAt,
  type Reference,
  startChain,
  walkChain,
} from "../../src/numerics/index.js";

/** Four chains with a warm-up that learns their archive; the draws of each, a row per parameter. */
function sampled(
  minusLog: (x: Float64Array) => number,
  reference: Reference,
  steps: number,
  seed = 1,
): readonly (readonly Float64Array[])[] {
  const n = reference.centre.length;
  const { bent } = reference;
  let states: readonly ChainState[] = [0, 1, 2, 3].map((chain) =>
    startChain(minusLog, reference, { seed, chain }),
  );
  let archive = new Float64Array(0);
  let part = 0;
  const walk = (length: number, isWarmUp: boolean) => {
    const parts = states.map((state, chain) =>
      walkChain(minusLog, reference, state, { seed, chain, part, steps: length, isWarmUp, archive }),
    );
    states = parts.map(({ state }) => state);
    part++;
    return parts;
  };
  for (const length of [500, 500, 1000]) {
    const parts = walk(length, true);
    archive = Float64Array.from(
      parts.flatMap(({ draws }) =>
        Array.from({ length: length / 2 / 3 }, (_, k) => (length / 2 + 3 * k) * n).flatMap((row) =>
          Array.from(draws.subarray(Math.floor(row / n) * n, Math.floor(row / n) * n + bent)),
        ),
      ),
    );
  }
  const x = new Float64Array(n);
  const parts = walk(steps, false);
  return Array.from({ length: n }, (_, j) =>
    parts.map(({ draws }) =>
      Float64Array.from({ length: steps }, (_unused, k) => {
        placeAt(reference, draws.subarray(k * n, (k + 1) * n), x);
        return x[j] ?? 0;
      }),
    ),
  );
}

const plain = (n: number, bent: number): Reference => ({
  centre: new Float64Array(n),
  factor: Float64Array.from({ length: n * n }, (_, k) => (k % (n + 1) === 0 ? 1 : 0)),
  bent,
});

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

describe("chains about a normal law", () => {
  it("a correlated normal law, from a reference that knows neither scale nor correlation: its moments", () => {
    const rho = 0.9;
    const law = ([a = 0, b = 0]: Float64Array) =>
      ((a - 1) ** 2 - 2 * rho * (a - 1) * (b / 2) + (b / 2) ** 2) / (2 * (1 - rho * rho));
    const [a, b] = sampled(law, plain(2, 2), 6000);
    if (a === undefined || b === undefined) throw new Error("no draws");
    expect(diagnoseChains(a).rHat).toBeLessThan(1.01);
    expectMean(a, (x) => x, 1);
    expectMean(b, (x) => x, 0);
    expectMean(a, (x) => (x - 1) ** 2, 1);
    expectMean(b, (x) => x * x, 4);
    const product = a.map((chain, c) => chain.map((x, k) => (x - 1) * (b[c]?.[k] ?? 0)));
    expectMean(product, (x) => x, 2 * rho);
  });

  it("a banana, x2 = x1^2 / 2 + e with e of deviation 0.5: means 0 and 0.5, variances 1 and 0.5 + 0.25", () => {
    const banana = ([x = 0, y = 0]: Float64Array) => 0.5 * x * x + (0.5 * (y - 0.5 * x * x) ** 2) / 0.25;
    const [x, y] = sampled(banana, plain(2, 2), 20_000);
    if (x === undefined || y === undefined) throw new Error("no draws");
    expect(diagnoseChains(y).rHat).toBeLessThan(1.01);
    expectMean(x, (value) => value, 0);
    expectMean(x, (value) => value * value, 1);
    expectMean(y, (value) => value, 0.5);
    expectMean(y, (value) => (value - 0.5) ** 2, 0.75);
  });

  it("a normal law cut at 0: mean sqrt(2/pi), mean square 1", () => {
    const half = ([x = 0]: Float64Array) => (x < 0 ? Number.NaN : 0.5 * x * x);
    const [x] = sampled(half, plain(1, 1), 6000);
    if (x === undefined) throw new Error("no draws");
    expect(Math.min(...whole(x))).toBeGreaterThanOrEqual(0);
    expectMean(x, (value) => value, Math.sqrt(2 / Math.PI));
    expectMean(x, (value) => value * value, 1);
  });

  it("forty directions that the data leave alone do not slow the two that they bend", () => {
    const law = (x: Float64Array) => {
      const product = (1 + 0.3 * (x[0] ?? 0)) * (1 + 0.3 * (x[1] ?? 0)) - 1;
      return x.reduce((sum, value) => sum + value * value, 0) / 2 + 0.5 * (product / 0.1) ** 2;
    };
    const draws = sampled(law, plain(42, 2), 4000);
    const last = draws[41];
    const first = draws[0];
    if (last === undefined || first === undefined) throw new Error("no draws");
    expect(diagnoseChains(first).rHat).toBeLessThan(1.03);
    expectMean(last, (value) => value, 0);
    expectMean(last, (value) => value * value, 1);
  });

  it("the same order and state give the same bits, another seed others", () => {
    const law = ([x = 0]: Float64Array) => 0.5 * x * x;
    expect(sampled(law, plain(1, 1), 50, 4)).toEqual(sampled(law, plain(1, 1), 50, 4));
    expect(sampled(law, plain(1, 1), 50, 4)).not.toEqual(sampled(law, plain(1, 1), 50, 5));
  });
});
