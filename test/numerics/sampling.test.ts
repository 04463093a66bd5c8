import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  chiSquaredCdf,
  latinHypercube,
  mean,
  randomStream,
  type Scramble,
  SOBOL_DIMENSIONS,
  sobolBlock,
  sobolPoint,
} from "../../src/numerics/index.js";
import published from "../reference/numerics-published.json" with { type: "json" };
import reference from "../reference/sobol-points.json" with { type: "json" };

/** How many points of a block fall into each cell of a grid with 2^digits[j] layers along dimension j. */
function cellCounts(
  points: Float64Array,
  dimensions: number,
  axes: readonly number[],
  digits: readonly number[],
) {
  const counts = new Uint32Array(2 ** digits.reduce((sum, d) => sum + d, 0));
  for (let i = 0; i * dimensions < points.length; i++) {
    let cell = 0;
    axes.forEach((axis, k) => {
      const layers = 2 ** (digits[k] ?? 0);
      cell = cell * layers + Math.floor((points[i * dimensions + axis] ?? 0) * layers);
    });
    counts[cell] = (counts[cell] ?? 0) + 1;
  }
  return counts;
}

const scrambles: readonly Scramble[] = ["unscrambled", 0, 1, 987654321];

describe("Sobol points", () => {
  it("begin as published: Joe & Kuo 2008, notes to the table", () => {
    expect([...sobolBlock(0, 10, 3, "unscrambled")]).toEqual(published.sobol.rows.flat());
  });

  it.each(reference.points)("point $index in twelve of 250 dimensions: an independent program", (row) => {
    const ours = reference.dimensions.map((d) => sobolPoint(row.index, d, "unscrambled") * 2 ** 32);
    expect(ours).toEqual(row.words);
  });

  it("have at least 128 dimensions", () => {
    expect(SOBOL_DIMENSIONS).toBeGreaterThanOrEqual(128);
  });

  it.each(scrambles)("are a (0, m, 2)-net in the first two dimensions, scramble %s", (scramble) => {
    for (let m = 1; m <= 9; m++) {
      for (const block of [0, 1, 5]) {
        const points = sobolBlock(block * 2 ** m, 2 ** m, 2, scramble);
        for (let k = 0; k <= m; k++) {
          expect(cellCounts(points, 2, [0, 1], [k, m - k]).every((count) => count === 1)).toBe(true);
        }
      }
    }
  });

  it.each(scrambles)("are a (1, m, 3)-net in the first three, scramble %s", (scramble) => {
    // t is the sum of (degree - 1) over the polynomials: 0 + 0 + 1.
    const m = 7;
    const points = sobolBlock(3 * 2 ** m, 2 ** m, 3, scramble);
    for (let a = 0; a < m; a++) {
      for (let b = 0; a + b < m; b++) {
        const counts = cellCounts(points, 3, [0, 1, 2], [a, b, m - 1 - a - b]);
        expect(counts.every((count) => count === 2)).toBe(true);
      }
    }
  });

  it.each(scrambles)("have one point in each of 2^m layers of every dimension, scramble %s", (scramble) => {
    const points = sobolBlock(256, 256, SOBOL_DIMENSIONS, scramble);
    for (let j = 0; j < SOBOL_DIMENSIONS; j++) {
      expect(cellCounts(points, SOBOL_DIMENSIONS, [j], [8]).every((count) => count === 1)).toBe(true);
    }
  });

  it("have Sobol's property A: the first 2^d points fall one into each half-cube (Joe & Kuo 2008, section 3)", () => {
    for (let d = 1; d <= 14; d++) {
      const points = sobolBlock(0, 2 ** d, d, "unscrambled");
      const axes = Array.from({ length: d }, (_, j) => j);
      const counts = cellCounts(
        points,
        d,
        axes,
        axes.map(() => 1),
      );
      expect(counts.every((count) => count === 1)).toBe(true);
    }
  });

  it("are the same bits point by point, in one block, or in any cut of it", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2 ** 32 - 1000 }),
        fc.integer({ min: 0, max: 40 }),
        fc.integer({ min: 1, max: 20 }),
        fc.oneof(fc.constant<Scramble>("unscrambled"), fc.integer()),
        (start, count, dimensions, scramble) => {
          const whole = sobolBlock(start, count, dimensions, scramble);
          const cut = Math.floor(count / 3);
          const parts = [
            ...sobolBlock(start, cut, dimensions, scramble),
            ...sobolBlock(start + cut, count - cut, dimensions, scramble),
          ];
          expect([...whole]).toEqual(parts);
          for (let i = 0; i < count; i += 7) {
            const j = i % dimensions;
            expect(whole[i * dimensions + j]).toBe(sobolPoint(start + i, j, scramble));
          }
          expect(whole.every((x) => x >= 0 && x < 1)).toBe(true);
        },
      ),
    );
  });

  it("are one uniform draw each over the seeds, and differ between dimensions", () => {
    const cells = 64;
    for (const [index, dimension] of [
      [0, 0],
      [1, 0],
      [777, 5],
      [12345, 127],
    ] as const) {
      const counts = new Float64Array(cells);
      for (let seed = 0; seed < 6400; seed++) {
        const cell = Math.floor(sobolPoint(index, dimension, seed) * cells);
        counts[cell] = (counts[cell] ?? 0) + 1;
      }
      const chi = counts.reduce((sum, count) => sum + (count - 100) ** 2 / 100, 0);
      // Fixed seeds; one in a thousand is the bound.
      expect(1 - chiSquaredCdf(chi, cells - 1)).toBeGreaterThan(1e-3);
    }
    expect(sobolPoint(0, 0, 1)).not.toBe(sobolPoint(0, 1, 1));
  });

  it("scramble every digit by its own coin: two points that part at digit k are independent below it", () => {
    // Points 0 and 1 part at the first digit. The products of their deeper digits must average to nothing.
    let agree = 0;
    const seeds = 4000;
    for (let seed = 0; seed < seeds; seed++) {
      const a = Math.floor(sobolPoint(0, 0, seed) * 2 ** 12);
      const b = Math.floor(sobolPoint(1, 0, seed) * 2 ** 12);
      for (let digit = 0; digit < 11; digit++) if (((a ^ b) >> digit) % 2 === 0) agree++;
    }
    const n = seeds * 11;
    expect(Math.abs(agree - n / 2)).toBeLessThan(4 * Math.sqrt(n / 4));
  });

  it("integrate a smooth function faster than 1/sqrt(n), without bias", () => {
    // Product of (1 + c (e^x - mean)): integral 1, smooth, five dimensions.
    const d = 5;
    const f = (points: Float64Array, i: number): number => {
      let product = 1;
      for (let j = 0; j < d; j++) product *= 1 + 0.6 * (Math.exp(points[i * d + j] ?? 0) - Math.E + 1);
      return product;
    };
    const average = (points: Float64Array, n: number): number =>
      mean(Float64Array.from({ length: n }, (_, i) => f(points, i)));
    const rootMeanSquare = (n: number): number => {
      let sum = 0;
      for (let seed = 0; seed < 24; seed++) sum += (average(sobolBlock(0, n, d, seed), n) - 1) ** 2;
      return Math.sqrt(sum / 24);
    };
    const [coarse, fine] = [rootMeanSquare(64), rootMeanSquare(4096)];
    const slope = Math.log(fine / coarse) / Math.log(4096 / 64);
    // Plain sampling has -0.5; scrambled nets tend to -1.5 [owen-1995].
    expect(slope).toBeLessThan(-1);
    let sum = 0;
    for (let i = 0; i < 4096; i++) {
      const s = randomStream(1, i);
      sum += (f(Float64Array.from({ length: d }, s.uniform), 0) - 1) ** 2;
    }
    // Against plain sampling of the same size, at least thirtyfold.
    expect(fine).toBeLessThan(Math.sqrt(sum / 4096 / 4096) / 30);
  });

  it("refuse what the table does not hold", () => {
    expect(() => sobolBlock(0, 1, SOBOL_DIMENSIONS + 1, 1)).toThrow(
      `${SOBOL_DIMENSIONS + 1} uncertain inputs`,
    );
    expect(() => sobolPoint(-1, 0, 1)).toThrow("sample number -1");
    expect(() => sobolBlock(2 ** 32 - 1, 2, 1, 1)).toThrow("4294967296");
    expect(sobolBlock(5, 0, 3, 1).length).toBe(0);
  });
});

describe("Latin hypercube", () => {
  it("has one point in each layer of each dimension, and repeats from its seed", () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 8 }),
        (seed, n, d) => {
          const points = latinHypercube(seed, n, d);
          expect([...points]).toEqual([...latinHypercube(seed, n, d)]);
          for (let j = 0; j < d; j++) {
            const layers = new Set<number>();
            for (let i = 0; i < n; i++) layers.add(Math.floor((points[i * d + j] ?? -1) * n));
            expect([...layers].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
          }
        },
      ),
    );
  });

  it("takes the variance of a sum of its inputs out: below a fortieth of plain sampling at n = 64", () => {
    // For an additive function the variance falls from 1/n to about 1/n^3 [mckay-1979].
    let sum = 0;
    for (let seed = 0; seed < 40; seed++) sum += (mean(latinHypercube(seed, 64, 3)) - 0.5) ** 2;
    expect(sum / 40).toBeLessThan(1 / 12 / (3 * 64) / 40);
  });
});
