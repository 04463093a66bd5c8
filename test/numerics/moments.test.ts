import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  mean,
  median,
  pearson,
  randomStream,
  ranks,
  spearman,
  standardDeviation,
  variance,
} from "../../src/numerics/index.js";

/** NIST StRD NumAcc: the offset, then pairs of offset - 0.1 and offset + 0.1. */
const numAcc = (offset: number): number[] => [
  offset + 0.2,
  ...Array.from({ length: 1000 }, (_, i) => offset + (i % 2 === 0 ? 0.1 : 0.3)),
];

describe("moments", () => {
  it("NIST StRD NumAcc1: mean 10000002, standard deviation 1", () => {
    const sample = [10000001, 10000003, 10000002];
    expect(mean(sample)).toBe(10000002);
    expect(standardDeviation(sample)).toBe(1);
  });

  it.each([
    // Digits that the stored data still hold: 0.1 beside the offset.
    { name: "NumAcc2", offset: 1, digits: 1e-13 },
    { name: "NumAcc3", offset: 1e6, digits: 1e-9 },
    { name: "NumAcc4", offset: 1e7, digits: 1e-8 },
  ])("NIST StRD $name: mean offset + 0.2, standard deviation 0.1", ({ offset, digits }) => {
    const sample = numAcc(offset);
    expect(Math.abs(mean(sample) / (offset + 0.2) - 1)).toBeLessThan(1e-15);
    expect(Math.abs(standardDeviation(sample) - 0.1)).toBeLessThan(digits);
  });

  it("median of odd and even counts", () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 3, 2])).toBe(2.5);
  });

  it("shift and scale as they must", () => {
    const samples = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), {
      minLength: 2,
      maxLength: 40,
    });
    fc.assert(
      fc.property(samples, fc.double({ min: -3, max: 3, noNaN: true }), (sample, c) => {
        const moved = sample.map((x) => c * x + 5);
        expect(mean(moved)).toBeCloseTo(c * mean(sample) + 5, 10);
        expect(variance(moved)).toBeCloseTo(c * c * variance(sample), 7);
      }),
    );
  });

  it("refuse too few values", () => {
    expect(() => mean([])).toThrow("0 values for a mean");
    expect(() => variance([1])).toThrow("1 values for a variance");
    expect(() => median([])).toThrow("0 values for a median");
    expect(() => pearson([1, 2], [1])).toThrow("2 values beside 1");
  });
});

describe("correlation", () => {
  it("Anscombe's quartet, first set: 0.81642 [anscombe-1973, table]", () => {
    const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
    const y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
    expect(pearson(x, y)).toBeCloseTo(0.81642, 5);
  });

  it("ranks share their places at ties", () => {
    expect([...ranks([10, 20, 20, 5])]).toEqual([2, 3.5, 3.5, 1]);
  });

  it("Spearman's closed form 1 - 6 sum d^2 / (n (n^2 - 1)) without ties [spearman-1904]", () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 2, max: 30 }), (seed, n) => {
        const s = randomStream(seed);
        const x = Float64Array.from({ length: n }, s.uniform);
        const y = Float64Array.from({ length: n }, s.uniform);
        const [rx, ry] = [ranks(x), ranks(y)];
        const squares = rx.reduce((sum, r, i) => sum + (r - (ry[i] ?? 0)) ** 2, 0);
        expect(spearman(x, y)).toBeCloseTo(1 - (6 * squares) / (n * (n * n - 1)), 12);
      }),
    );
  });

  it("sees only the order: any rising map leaves Spearman's as it is", () => {
    const x = [0.3, 2, 1.5, -1, 7];
    const y = [1, 3, 4, 0, 2];
    expect(spearman(x.map(Math.exp), y)).toBe(spearman(x, y));
  });

  it("does not exist where one side does not vary", () => {
    expect(pearson([1, 1, 1], [1, 2, 3])).toBeUndefined();
    expect(spearman([1, 2, 3], [4, 4, 4])).toBeUndefined();
  });
});
