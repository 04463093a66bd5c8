import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  binomialCdf,
  clopperPearson,
  quantileInterval,
  quantileOfSorted,
  randomStream,
  sobolBlock,
  type ToleranceLimit,
  wilksConfidence,
  wilksSampleSize,
} from "../../src/numerics/index.js";
import published from "../reference/numerics-published.json" with { type: "json" };

/** Binomial sum, term by term: slow and obvious; right while (1-p)^n does not underflow. */
function binomialSum(k: number, n: number, p: number): number {
  let term = (1 - p) ** n;
  let sum = 0;
  for (let j = 0; j <= k; j++) {
    sum += term;
    term *= (((n - j) / (j + 1)) * p) / (1 - p);
  }
  return sum;
}

const limitOf = (row: (typeof published.wilks.rows)[number]): ToleranceLimit => ({
  coverage: row.coverage,
  confidence: row.confidence,
  sides: row.sides === "two" ? "two" : "one",
  order: row.order,
});

describe("sample sizes", () => {
  it.each(published.wilks.rows)(
    "$coverage / $confidence, $sides-sided, order $order: Wilks 1941 and the tables since",
    (row) => {
      const limit = limitOf(row);
      expect(wilksSampleSize(limit)).toBe(row.n);
      expect(wilksConfidence(row.n, limit)).toBeGreaterThanOrEqual(row.confidence);
      expect(wilksConfidence(row.n - 1, limit)).toBeLessThan(row.confidence);
    },
  );

  it("first order one-sided is 1 - coverage^n, two-sided 1 - p^n - n (1-p) p^(n-1)", () => {
    for (const p of [0.5, 0.9, 0.99]) {
      for (const n of [2, 10, 200]) {
        expect(wilksConfidence(n, { coverage: p, sides: "one" })).toBeCloseTo(1 - p ** n, 13);
        const two = 1 - p ** n - n * (1 - p) * p ** (n - 1);
        expect(wilksConfidence(n, { coverage: p, sides: "two" })).toBeCloseTo(two, 13);
      }
    }
    expect(wilksConfidence(1, { coverage: 0.9, sides: "two" })).toBe(0);
  });

  it("refuses certainty", () => {
    expect(() => wilksSampleSize({ coverage: 1, confidence: 0.95, sides: "one" })).toThrow("coverage = 1");
    expect(() => wilksSampleSize({ coverage: 0.95, confidence: 95, sides: "one" })).toThrow(
      "confidence = 95",
    );
    expect(() => wilksSampleSize({ coverage: 0.95, confidence: 0.95, sides: "one", order: 0 })).toThrow(
      "order 0",
    );
  });
});

describe("interval of a probability", () => {
  it.each(published.clopperPearson.rows)("$successes of $trials: Newcombe 1998, Table I", (row) => {
    const interval = clopperPearson(row.successes, row.trials, 0.95);
    // Printed to four decimals.
    expect(Math.abs(interval.low - row.low)).toBeLessThan(5.1e-5);
    expect(Math.abs(interval.high - row.high)).toBeLessThan(5.1e-5);
    expect(interval.estimate).toBe(row.successes / row.trials);
  });

  it("rule of three: none in n leaves 1 - (alpha/2)^(1/n)", () => {
    expect(clopperPearson(0, 100, 0.95).high).toBeCloseTo(1 - 0.025 ** 0.01, 13);
    expect(clopperPearson(100, 100, 0.95)).toEqual({
      estimate: 1,
      low: expect.closeTo(0.025 ** 0.01, 13),
      high: 1,
    });
  });

  it("covers at least as often as it says, summed exactly over all outcomes", () => {
    for (const n of [1, 7, 40]) {
      for (let p = 0.01; p < 1; p += 0.0371) {
        let covered = 0;
        for (let k = 0; k <= n; k++) {
          const { low, high } = clopperPearson(k, n, 0.9);
          if (low <= p && p <= high) covered += binomialSum(k, n, p) - (k > 0 ? binomialSum(k - 1, n, p) : 0);
        }
        expect(covered).toBeGreaterThanOrEqual(0.9);
      }
    }
  });

  it("refuses counts that cannot be", () => {
    expect(() => clopperPearson(5, 4, 0.95)).toThrow("5 of 4");
    expect(() => clopperPearson(0.5, 4, 0.95)).toThrow("0.5 of 4");
    expect(() => clopperPearson(0, 0, 0.95)).toThrow("0 of 0");
  });
});

describe("quantiles", () => {
  it("of 1 ... 5 at a quarter: 5/3 by definition 8 of Hyndman & Fan 1996", () => {
    expect(quantileOfSorted([1, 2, 3, 4, 5], 0.25)).toBeCloseTo(5 / 3, 14);
    expect(quantileOfSorted([1, 2, 3, 4, 5], 0.5)).toBe(3);
    expect([quantileOfSorted([1, 2], 0), quantileOfSorted([1, 2], 1), quantileOfSorted([7], 0.3)]).toEqual([
      1, 2, 7,
    ]);
  });

  it("median of ten: ranks 2 and 9 at 1 - 22/1024 (closed form)", () => {
    const sorted = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
    expect(quantileInterval(sorted, 0.5, 0.95)).toEqual({
      estimate: 5.5,
      low: 2,
      high: 9,
      lowRank: 2,
      highRank: 9,
      confidence: expect.closeTo(1 - 22 / 1024, 13),
    });
  });

  it("says how many draws are missing: six for a median at 95 %, 90 for a 95 % quantile at 99 % two-sided", () => {
    expect(quantileInterval([1, 2, 3], 0.5, 0.95)).toEqual({ estimate: 2, needed: 6 });
    const needed = quantileInterval([1, 2, 3], 0.95, 0.98);
    // One side alone needs ln 0.01 / ln 0.95 = 89.8, as in Wilks' table for 95/99.
    expect(needed).toEqual({ estimate: 3, needed: 90 });
  });

  it("ranks are the tightest that leave the tails they may, by the binomial sum", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 150 }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        fc.double({ min: 0.5, max: 0.99, noNaN: true }),
        (n, p, confidence) => {
          const sorted = Array.from({ length: n }, (_, i) => i + 1);
          const interval = quantileInterval(sorted, p, confidence);
          const side = (1 - confidence) / 2;
          if ("needed" in interval) {
            expect(interval.needed).toBeGreaterThan(n);
            return;
          }
          const { lowRank, highRank } = interval;
          // Doubles on the edge of a rank may fall either way.
          expect(binomialSum(lowRank - 1, n, p)).toBeLessThanOrEqual(side + 1e-11);
          expect(binomialSum(lowRank, n, p)).toBeGreaterThan(side - 1e-11);
          expect(1 - binomialSum(highRank - 1, n, p)).toBeLessThanOrEqual(side + 1e-11);
          expect(1 - binomialSum(highRank - 2, n, p)).toBeGreaterThan(side - 1e-11);
          expect(interval.confidence).toBeGreaterThanOrEqual(confidence - 1e-12);
        },
      ),
    );
  });

  it("covers the true quantile as often as it says", () => {
    let covered = 0;
    const repeats = 2000;
    let confidence = 0;
    for (let k = 0; k < repeats; k++) {
      const sorted = Float64Array.from({ length: 120 }, randomStream(9, k).uniform).sort();
      const interval = quantileInterval(sorted, 0.9, 0.9);
      if ("needed" in interval) throw new Error("120 draws are enough");
      confidence = interval.confidence;
      if (interval.low <= 0.9 && 0.9 < interval.high) covered++;
    }
    const error = Math.sqrt((confidence * (1 - confidence)) / repeats);
    expect(Math.abs(covered / repeats - confidence)).toBeLessThan(4 * error);
  });

  it("covers more often than it says on scrambled Sobol points", () => {
    // The sum of two uniforms: its 90 % quantile is 2 - sqrt(0.2).
    const truth = 2 - Math.sqrt(0.2);
    let covered = 0;
    const repeats = 300;
    for (let seed = 0; seed < repeats; seed++) {
      const points = sobolBlock(0, 256, 2, seed);
      const sums = Float64Array.from(
        { length: 256 },
        (_, i) => (points[2 * i] ?? 0) + (points[2 * i + 1] ?? 0),
      );
      const interval = quantileInterval(sums.sort(), 0.9, 0.9);
      if (!("needed" in interval) && interval.low <= truth && truth < interval.high) covered++;
    }
    expect(covered / repeats).toBeGreaterThan(0.98);
  });

  it("binomial distribution by the beta function equals the sum", () => {
    fc.assert(
      fc.property(fc.nat(150), fc.nat(150), fc.double({ min: 0.05, max: 0.95, noNaN: true }), (n, k, p) => {
        expect(binomialCdf(k, n, p)).toBeCloseTo(k >= n ? 1 : binomialSum(k, n, p), 11);
      }),
    );
  });

  it("refuses an empty sample and a probability outside its range", () => {
    expect(() => quantileOfSorted([], 0.5)).toThrow("no values");
    expect(() => quantileOfSorted([1], 50)).toThrow("p = 50");
    expect(() => quantileInterval([1], 0, 0.9)).toThrow("p = 0");
  });
});
