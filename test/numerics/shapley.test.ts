import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { exactShapley, hashWords, sampledShapley } from "../../src/numerics/index.js";
import published from "../reference/numerics-published.json" with { type: "json" };

/** A game with a reproducible, otherwise arbitrary worth for each set. */
const game = (seed: number) => (set: number) => (set === 0 ? 0 : hashWords(seed, set, 0) / 2 ** 32);

/** Theorem of Littlechild & Owen 1973: each step of the cost is shared by those who need it. */
function airportShares(costs: readonly number[], counts: readonly number[]): number[] {
  let share = 0;
  return costs.map((cost, i) => {
    const needing = counts.slice(i).reduce((sum, count) => sum + count, 0);
    share += (cost - (costs[i - 1] ?? 0)) / needing;
    return share;
  });
}

describe("Shapley values", () => {
  it("glove game: one left glove, two right ones give 2/3, 1/6, 1/6 (Shapley 1953)", () => {
    const { shares, total, evaluations } = exactShapley(3, (set) => (set & 1 && set & 6 ? 1 : 0));
    expect(shares[0]).toBeCloseTo(2 / 3, 15);
    expect(shares[1]).toBeCloseTo(1 / 6, 15);
    expect(shares[2]).toBeCloseTo(1 / 6, 15);
    expect([total, evaluations]).toEqual([1, 8]);
  });

  it("airport game: the closed form gives the printed landing shares of Littlechild & Owen 1973", () => {
    const rows = published.airport.rows;
    const shares = airportShares(
      rows.map((r) => r.cost),
      rows.map((r) => r.movements),
    );
    rows.forEach((row, i) => {
      expect(Math.abs((shares[i] ?? 0) - row.share)).toBeLessThan(0.0051);
    });
  });

  it("airport game: all sets of eleven give the closed form of Littlechild & Owen 1973", () => {
    const costs = published.airport.rows.map((row) => row.cost);
    const dearest = (set: number): number =>
      costs.reduce((most, cost, i) => (set & (1 << i) ? Math.max(most, cost) : most), 0);
    const expected = airportShares(
      costs,
      costs.map(() => 1),
    );
    const exact = exactShapley(costs.length, dearest);
    for (const [i, share] of expected.entries()) expect(exact.shares[i]).toBeCloseTo(share, 8);
    const sampled = sampledShapley(costs.length, dearest, { pairs: 400, seed: 1 });
    expected.forEach((share, i) => {
      const error = sampled.standardErrors[i] ?? 0;
      expect(Math.abs((sampled.shares[i] ?? 0) - share)).toBeLessThan(4 * error + 1e-9);
    });
  });

  it("United Nations Security Council: 0.1963 a permanent, 0.001865 an elected member [shapley-shubik-1954]", () => {
    const passes = (set: number): number => {
      let votes = 0;
      for (let i = 0; i < 15; i++) if (set & (1 << i)) votes++;
      return (set & 31) === 31 && votes >= 9 ? 1 : 0;
    };
    const { shares } = exactShapley(15, passes);
    // 421/2145 and 4/2145 by counting.
    expect(shares[0]).toBeCloseTo(421 / 2145, 12);
    expect(shares[14]).toBeCloseTo(4 / 2145, 12);
  });

  it("add up, treat equals equally, give nothing to one without effect, and add over games", () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 3, max: 8 }), (seed, n) => {
        const v = game(seed);
        const { shares, total } = exactShapley(n, v);
        expect(shares.reduce((sum, s) => sum + s, 0)).toBeCloseTo(total, 12);
        // Player 0 without effect: its bit is masked off.
        expect(exactShapley(n, (set) => v(set & ~1)).shares[0]).toBeCloseTo(0, 13);
        // Players 0 and 1 exchangeable: only their number counts.
        const merged = (set: number): number => v((set & 3) === 2 ? set ^ 3 : set);
        const equal = exactShapley(n, merged).shares;
        expect(equal[0]).toBeCloseTo(equal[1] ?? 9, 12);
        const w = game(seed + 1);
        const sum = exactShapley(n, (set) => v(set) + 2 * w(set)).shares;
        const other = exactShapley(n, w).shares;
        for (const [i, s] of sum.entries()) expect(s).toBeCloseTo((shares[i] ?? 0) + 2 * (other[i] ?? 0), 12);
      }),
    );
  });

  it("by sampled orders: add up exactly, agree within their standard errors, evaluate no set twice", () => {
    const n = 9;
    const v = game(42);
    const seen = new Map<number, number>();
    const counted = (set: number): number => {
      seen.set(set, (seen.get(set) ?? 0) + 1);
      return v(set);
    };
    const exact = exactShapley(n, v);
    const sampled = sampledShapley(n, counted, { pairs: 300, seed: 2 });
    expect(Math.max(...seen.values())).toBe(1);
    expect(sampled.evaluations).toBe(seen.size);
    expect(sampled.shares.reduce((sum, s) => sum + s, 0)).toBeCloseTo(exact.total, 11);
    exact.shares.forEach((share, i) => {
      const error = sampled.standardErrors[i] ?? 0;
      expect(Math.abs((sampled.shares[i] ?? 9) - share)).toBeLessThan(4 * error);
      expect(error).toBeGreaterThan(0);
    });
  });

  it("opposite orders make a game of pairs exact from two of them", () => {
    // Worths of single players and of pairs: each order and its reverse average to the exact share.
    const v = (set: number): number => {
      let sum = 0;
      for (let i = 0; i < 20; i++) {
        if (!(set & (1 << i))) continue;
        sum += i;
        for (let j = 0; j < i; j++) if (set & (1 << j)) sum += ((i * j) % 7) - 3;
      }
      return sum;
    };
    const { shares, standardErrors } = sampledShapley(20, v, { pairs: 2, seed: 1 });
    for (let i = 0; i < 20; i++) {
      let half = 0;
      for (let j = 0; j < 20; j++) if (j !== i) half += (((i * j) % 7) - 3) / 2;
      expect(shares[i]).toBeCloseTo(i + half, 10);
      expect(standardErrors[i]).toBeCloseTo(0, 6);
    }
  });

  it("refuse too many players, too few orders, and a worth that does not exist", () => {
    expect(() => exactShapley(21, () => 0)).toThrow("21 players");
    expect(() => sampledShapley(32, () => 0, { pairs: 2, seed: 1 })).toThrow("32 players");
    expect(() => sampledShapley(3, () => 0, { pairs: 1, seed: 1 })).toThrow("1 pairs");
    expect(() => exactShapley(2, (set) => (set === 2 ? Number.NaN : 0))).toThrow("set 10");
  });
});
