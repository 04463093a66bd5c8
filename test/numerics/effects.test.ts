import { describe, expect, it } from "vitest";
import {
  type Effects,
  effectsPoint,
  randomStream,
  sobolBlock,
  sobolEffects,
} from "../../src/numerics/index.js";

/** Evaluates f on A, B and the mixed points of a scrambled Sobol design. */
function study(f: (u: Float64Array) => number, d: number, n: number, seed: number): Effects {
  const rows = sobolBlock(0, n, 2 * d, seed);
  const point = new Float64Array(d);
  const evaluate = (block: number): Float64Array =>
    Float64Array.from({ length: n }, (_, r) =>
      f(effectsPoint(rows.subarray(r * 2 * d, (r + 1) * 2 * d), block, point)),
    );
  const mixed = Array.from({ length: d }, (_, i) => evaluate(2 + i));
  return sobolEffects({ a: evaluate(0), b: evaluate(1), mixed }, { seed: 1, confidence: 0.95 });
}

const [a, b] = [7, 0.1];
const ishigami = (u: Float64Array): number => {
  const [x1 = 0, x2 = 0, x3 = 0] = u.map((t) => Math.PI * (2 * t - 1));
  return Math.sin(x1) + a * Math.sin(x2) ** 2 + b * x3 ** 4 * Math.sin(x1);
};

describe("effects on the variance", () => {
  it("Ishigami's function: closed forms [ishigami-homma-1990]", () => {
    const v1 = 0.5 * (1 + (b * Math.PI ** 4) / 5) ** 2;
    const v2 = a ** 2 / 8;
    const v13 = (8 * b ** 2 * Math.PI ** 8) / 225;
    const variance = v1 + v2 + v13;
    const { effects = [], variance: found, mean } = study(ishigami, 3, 4096, 3);
    expect(mean).toBeCloseTo(a / 2, 2);
    expect(Math.abs(found / variance - 1)).toBeLessThan(0.01);
    // Their printed indices: 0.314, 0.442, 0; totals 0.558, 0.442, 0.244.
    const first = [v1 / variance, v2 / variance, 0];
    const total = [(v1 + v13) / variance, v2 / variance, v13 / variance];
    expect(first[0]).toBeCloseTo(0.314, 3);
    expect(total[2]).toBeCloseTo(0.244, 3);
    effects.forEach((effect, i) => {
      // Plain sampling of this size errs by about 0.02; the sequence by less.
      expect(Math.abs(effect.first.estimate - (first[i] ?? 9))).toBeLessThan(0.02);
      expect(Math.abs(effect.total.estimate - (total[i] ?? 9))).toBeLessThan(0.02);
      expect(effect.first.low).toBeLessThanOrEqual(first[i] ?? 9);
      expect(effect.first.high).toBeGreaterThanOrEqual(first[i] ?? -9);
      expect(effect.total.low).toBeLessThanOrEqual(total[i] ?? 9);
      expect(effect.total.high).toBeGreaterThanOrEqual(total[i] ?? -9);
    });
  });

  it("Sobol's g-function: closed form [saltelli-sobol-1995]", () => {
    const weights = [0, 0.5, 3, 9, 99, 99];
    const g = (u: Float64Array): number =>
      u.reduce(
        (product, x, i) => (product * (Math.abs(4 * x - 2) + (weights[i] ?? 0))) / (1 + (weights[i] ?? 0)),
        1,
      );
    const parts = weights.map((w) => 1 / (3 * (1 + w) ** 2));
    const variance = parts.reduce((product, v) => product * (1 + v), 1) - 1;
    const { effects = [] } = study(g, weights.length, 8192, 5);
    parts.forEach((v, i) => {
      const total = (v * ((variance + 1) / (1 + v))) / variance;
      expect(Math.abs((effects[i]?.first.estimate ?? 9) - v / variance)).toBeLessThan(0.015);
      expect(Math.abs((effects[i]?.total.estimate ?? 9) - total)).toBeLessThan(0.015);
    });
  });

  it("an additive function has first effects equal to total ones, adding up to one", () => {
    const { effects = [] } = study((u) => 3 * (u[0] ?? 0) + 4 * (u[1] ?? 0) + 1000, 3, 1024, 2);
    expect(effects.map((e) => Number(e.total.estimate.toFixed(2)))).toEqual([0.36, 0.64, 0]);
    expect(effects.map((e) => Math.abs(Number(e.first.estimate.toFixed(2))))).toEqual([0.36, 0.64, 0]);
    expect(effects[2]?.total.high).toBe(0);
  });

  it("intervals cover the truth at least as often as they say, on independent rows", () => {
    // Half of the variance each; plain random rows, for which the bootstrap holds.
    const [repeats, n] = [120, 200];
    let covered = 0;
    for (let k = 0; k < repeats; k++) {
      const s = randomStream(77, k);
      const rows = Array.from({ length: n }, () => Float64Array.from({ length: 4 }, s.uniform));
      const f = (u: Float64Array): number => (u[0] ?? 0) + (u[1] ?? 0);
      const point = new Float64Array(2);
      const evaluate = (block: number) => rows.map((row) => f(effectsPoint(row, block, point)));
      const { effects = [] } = sobolEffects(
        { a: evaluate(0), b: evaluate(1), mixed: [evaluate(2), evaluate(3)] },
        { seed: k, confidence: 0.9, resamples: 200 },
      );
      const total = effects[0]?.total;
      if (total && total.low <= 0.5 && 0.5 <= total.high) covered++;
    }
    // 0.9 less three standard errors of the share, less the known shortfall of the percentile method.
    expect(covered / repeats).toBeGreaterThan(0.8);
  });

  it("of an input with fewer rows are those of its rows, over the variance of all", () => {
    const whole = { a: [1, 5, 2, 8], b: [3, 3, 9, 1], mixed: [[2, 5, 4, 8]] };
    const { effects: [short] = [], variance } = sobolEffects(
      { ...whole, mixed: [[2, 5]] },
      { seed: 1, resamples: 0 },
    );
    const centre = 4;
    expect(short?.total).toEqual({ estimate: 0.25 / variance, low: 0.25 / variance, high: 0.25 / variance });
    expect(short?.first.estimate).toBeCloseTo(((3 - centre) * 1 + 0) / 2 / variance, 12);
    const { effects: [long] = [] } = sobolEffects(whole, { seed: 1, resamples: 0 });
    expect(long?.total.estimate).toBeCloseTo((1 + 4) / 8 / variance, 12);
  });

  it("says nothing about a result that does not vary, and refuses one that is missing", () => {
    expect(study(() => 5, 2, 16, 1)).toEqual({ mean: 5, variance: 0 });
    const sets = { a: [1, 2], b: [2, 1], mixed: [[1, Number.NaN]] };
    expect(() => sobolEffects(sets, { seed: 1 })).toThrow("row 2 is NaN");
    expect(() => sobolEffects({ a: [1, 2], b: [1], mixed: [] }, { seed: 1 })).toThrow("1 evaluations");
  });
});
