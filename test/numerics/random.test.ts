import { describe, expect, it } from "vitest";
import {
  chiSquaredCdf,
  mean,
  normalCdf,
  pearson,
  type RandomStream,
  randomStream,
  variance,
} from "../../src/numerics/index.js";

const draw = (count: number, next: () => number): Float64Array => Float64Array.from({ length: count }, next);

/** Probability of a chi-squared this large or larger if all cells are as likely. */
function evenness(counts: readonly number[], draws: number): number {
  const expected = draws / counts.length;
  const chi = counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
  return 1 - chiSquaredCdf(chi, counts.length - 1);
}

function histogram(count: number, cells: number, uniform: () => number): number[] {
  const counts = new Array<number>(cells).fill(0);
  for (let i = 0; i < count; i++) {
    const cell = Math.floor(uniform() * cells);
    counts[cell] = (counts[cell] ?? 0) + 1;
  }
  return counts;
}

describe("random streams", () => {
  // Fixed seeds: each statement is either true of this generator or not. One in a thousand is the bound.
  const chance = 1e-3;

  it("repeat from the same seed and stream, and differ between them", () => {
    const first = (s: RandomStream) => [...draw(5, s.uniform)];
    expect(first(randomStream(7, 3))).toEqual(first(randomStream(7, 3)));
    const starts = new Set<number>();
    for (let seed = 0; seed < 60; seed++) {
      for (let stream = 0; stream < 60; stream++) starts.add(randomStream(seed, stream).uniform());
    }
    expect(starts.size).toBe(3600);
  });

  it("take seeds of more than 32 bits whole", () => {
    expect(randomStream(1).uniform()).not.toBe(randomStream(1 + 2 ** 32).uniform());
    expect(randomStream(-1).uniform()).not.toBe(randomStream(2 ** 32 - 1).uniform());
  });

  it("are uniform on the open interval", () => {
    const s = randomStream(11);
    const u = draw(200_000, s.uniform);
    expect(u.every((x) => x > 0 && x < 1)).toBe(true);
    expect(evenness(histogram(200_000, 256, randomStream(12).uniform), 200_000)).toBeGreaterThan(chance);
    // Mean 1/2 and variance 1/12 within four standard errors.
    expect(Math.abs(mean(u) - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / 200_000));
    expect(Math.abs(variance(u) - 1 / 12)).toBeLessThan(4 * Math.sqrt(1 / 180 / 200_000));
  });

  it("are even across streams at the same place, as workers would use them", () => {
    let stream = 0;
    const counts = histogram(100_000, 128, () => randomStream(5, stream++).uniform());
    expect(evenness(counts, 100_000)).toBeGreaterThan(chance);
  });

  it("are uncorrelated between neighbouring streams and seeds", () => {
    const base = draw(50_000, randomStream(1, 1).uniform);
    for (const [seed, stream] of [
      [1, 2],
      [2, 1],
      [1, 0],
    ] as const) {
      const r = pearson(base, draw(50_000, randomStream(seed, stream).uniform)) ?? 1;
      expect(Math.abs(r)).toBeLessThan(4 / Math.sqrt(50_000));
    }
  });

  it("give normals with the normal distribution", () => {
    const z = draw(100_000, randomStream(3).normal);
    let at = 0;
    const counts = histogram(100_000, 100, () => normalCdf(z[at++] ?? 0));
    expect(evenness(counts, 100_000)).toBeGreaterThan(chance);
  });

  it("give whole numbers below a bound, evenly", () => {
    const s = randomStream(4);
    const counts = [0, 0, 0, 0, 0, 0, 0];
    for (let i = 0; i < 70_000; i++) {
      const k = s.below(7);
      counts[k] = (counts[k] ?? 0) + 1;
    }
    expect(counts.length).toBe(7);
    expect(evenness(counts, 70_000)).toBeGreaterThan(chance);
  });
});
