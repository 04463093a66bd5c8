import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  lowPassOnePole,
  median,
  movingAverage,
  movingMedian,
  randomStream,
  savitzkyGolayDerivative,
  savitzkyGolayWeights,
  standardDeviation,
} from "../../src/numerics/index.js";
import published from "../reference/numerics-published.json" with { type: "json" };

const samples = (n: number, f: (t: number) => number, step = 0.01): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => f(i * step));

describe("Savitzky-Golay", () => {
  it.each(published.savitzkyGolay.rows)("table $table: Savitzky & Golay 1964", (row) => {
    const weights = savitzkyGolayWeights(row.halfWidth, row.degree, row.derivative);
    for (const [k, w] of row.weights.entries()) expect(weights[k]).toBeCloseTo(w / row.norm, 13);
  });

  it("differentiates a polynomial of its degree exactly, up to the very ends", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: 4, maxLength: 4 }),
        fc.integer({ min: 2, max: 7 }),
        ([a = 0, b = 0, c = 0, d = 0], halfWidth) => {
          const signal = samples(25, (t) => a + b * t + c * t * t + d * t ** 3, 0.2);
          const { values, delay } = savitzkyGolayDerivative(signal, 0.2, { halfWidth, degree: 3 });
          expect(delay).toBe(0);
          values.forEach((v, i) => {
            const t = i * 0.2;
            expect(v).toBeCloseTo(b + 2 * c * t + 3 * d * t * t, 8);
          });
        },
      ),
    );
  });

  it("scatters as its weights say: deviation sqrt(sum w^2) of white noise", () => {
    const noise = Float64Array.from({ length: 20_000 }, randomStream(8).normal);
    const weights = savitzkyGolayWeights(5, 2, 1);
    const expected = Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0)) / 0.01;
    const { values } = savitzkyGolayDerivative(noise, 0.01, { halfWidth: 5 });
    expect(Math.abs(standardDeviation(values.slice(5, -5)) / expected - 1)).toBeLessThan(0.05);
  });

  it("keeps its digits in a window of 201 samples", () => {
    const weights = savitzkyGolayWeights(100, 4, 1);
    const slope = weights.reduce((sum, w, k) => sum + w * (k - 100), 0);
    const cube = weights.reduce((sum, w, k) => sum + w * (k - 100) ** 3, 0);
    expect(slope).toBeCloseTo(1, 11);
    // Zero, as a sum of terms of 1e4.
    expect(Math.abs(cube)).toBeLessThan(1e-7);
  });

  it("refuses impossible windows", () => {
    expect(() => savitzkyGolayWeights(2, 5, 1)).toThrow("degree 5 over 5 samples");
    expect(() => savitzkyGolayWeights(2, 2, 3)).toThrow("derivative 3");
    expect(() => savitzkyGolayDerivative([1, 2, 3], 0.1, { halfWidth: 2 })).toThrow(
      "3 samples for a window of 5",
    );
    expect(() => savitzkyGolayDerivative([1, 2, 3], 0, { halfWidth: 1 })).toThrow("step of 0");
  });
});

describe("one-pole low pass", () => {
  it("answers a step by 1 - exp(-t/tau) (closed form)", () => {
    const [step, cutoff] = [0.001, 10];
    const tau = 1 / (2 * Math.PI * cutoff);
    const { values } = lowPassOnePole(
      samples(200, (t) => (t > 0 ? 1 : 0), step),
      step,
      cutoff,
    );
    for (const [i, v] of values.entries()) expect(v).toBeCloseTo(1 - Math.exp((-i * step) / tau), 12);
  });

  it("follows a ramp late by the delay it states", () => {
    const [step, cutoff] = [0.002, 25];
    const { values, delay } = lowPassOnePole(
      samples(500, (t) => 3 * t, step),
      step,
      cutoff,
    );
    expect(values[499]).toBeCloseTo(3 * (499 * step - delay), 10);
    // Series of the delay in step/tau; the next term is step^4/(720 tau^3), 1e-7 of a second.
    const tau = 1 / (2 * Math.PI * cutoff);
    expect(delay).toBeCloseTo(tau - step / 2 + step ** 2 / (12 * tau), 6);
  });

  it("passes 0.707 of a sine at its cutoff", () => {
    const [step, cutoff] = [1e-4, 10];
    const { values } = lowPassOnePole(
      samples(20_000, (t) => Math.sin(2 * Math.PI * cutoff * t), step),
      step,
      cutoff,
    );
    const crest = values.slice(10_000).reduce((most, v) => Math.max(most, v), 0);
    // Held input at a thousandth of the period: the gain departs by a third of a percent at most.
    expect(Math.abs(crest - Math.SQRT1_2)).toBeLessThan(0.003);
  });

  it("refuses a cutoff or step of zero", () => {
    expect(() => lowPassOnePole([1], 0.1, 0)).toThrow("cutoff of 0");
    expect(() => lowPassOnePole([1], -1, 5)).toThrow("step of -1");
  });
});

describe("moving median and average", () => {
  const signal = fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1, maxLength: 60 });

  it("equal the slow definition, window by window", () => {
    fc.assert(
      fc.property(signal, fc.nat(8), (x, halfWidth) => {
        const medians = movingMedian(x, halfWidth).values;
        const averages = movingAverage(x, halfWidth).values;
        for (let i = 0; i < x.length; i++) {
          const h = Math.min(halfWidth, i, x.length - 1 - i);
          const window = x.slice(i - h, i + h + 1);
          expect(medians[i]).toBeCloseTo(median(window), 14);
          const sum = window.reduce((total, v) => total + v, 0);
          expect(averages[i]).toBeCloseTo(sum / window.length, 12);
        }
      }),
    );
  });

  it("median drops a spike and keeps a step in place; both leave a ramp as it is", () => {
    expect([...movingMedian([0, 0, 9, 0, 0, 1, 1, 1], 1).values]).toEqual([0, 0, 0, 0, 0, 1, 1, 1]);
    const ramp = [0, 1, 2, 3, 4, 5];
    expect([...movingMedian(ramp, 2).values]).toEqual(ramp);
    expect([...movingAverage(ramp, 2).values]).toEqual(ramp);
  });

  it("average keeps small changes on a large offset", () => {
    const { values } = movingAverage([1e9, 1e9 + 1, 1e9 + 2, 1e9 + 1, 1e9], 1);
    expect(values[2]).toBeCloseTo(1e9 + 4 / 3, 6);
  });

  it("leave an empty signal empty and refuse a broken width", () => {
    expect(movingMedian([], 2).values.length).toBe(0);
    expect(() => movingAverage([1], 0.5)).toThrow("0.5 samples");
    expect(() => movingMedian([1], -1)).toThrow("-1 samples");
  });
});
