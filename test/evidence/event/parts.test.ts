import { describe, expect, it } from "vitest";
import { cornerInstant } from "../../../src/evidence/event/corner.js";
import { passingInstant } from "../../../src/evidence/event/crossing.js";
import { bracketed, widened } from "../../../src/evidence/event/instant.js";
import { restOf } from "../../../src/evidence/event/rest.js";
import { logEvidence, powerSums, scratch, seriesAt, seriesFit } from "../../../src/evidence/event/series.js";
import { edges, resolutionStep, resolutionUncertainty } from "../../../src/evidence/event/staircase.js";
import { randomStream } from "../../../src/numerics/index.js";

describe("the evidence of a series", () => {
  const time_s = [0, 0.3, 0.7, 1];
  const value = [0.1, 0.4, 0.2, 0.9];
  const noise = [0.2, 0.2, 0.3, 0.2];
  const samples = { time_s, value, noise, correlation: 1 };

  it("is the integral of likelihood times prior, by brute force on a grid", () => {
    const spreads = [0.8, 1.5];
    const series = { powers: [0, 2], spreads };
    const scale = 1.3;
    const log = logEvidence(powerSums(samples, 0, 0, 1, -Infinity), series, scale, scratch());
    // Normalising constants that the log leaves out: of the samples, without the scale.
    const constant = noise.reduce((a, n) => a - Math.log(n * Math.sqrt(2 * Math.PI)), 0);
    let sum = 0;
    const h = 0.02;
    for (let b = -6; b < 6; b += h) {
      for (let c = -9; c < 9; c += h) {
        let exponent = 0;
        for (const [i, t] of time_s.entries()) {
          exponent += (((value[i] ?? 0) - b - c * t * t) / (scale * (noise[i] ?? 1))) ** 2;
        }
        exponent += (b / (spreads[0] ?? 1)) ** 2 + (c / (spreads[1] ?? 1)) ** 2;
        sum += Math.exp(-0.5 * exponent);
      }
    }
    const priors = spreads.reduce((a, u) => a - Math.log(u * Math.sqrt(2 * Math.PI)), 0);
    const brute = Math.log(sum * h * h) + priors + constant - time_s.length * Math.log(scale);
    // A sum over a smooth function that dies out at the ends is exact to rounding.
    expect(log + constant).toBeCloseTo(brute, 9);
  });

  it("gives the least-squares line where the priors are wide", () => {
    const line = { time_s, value: time_s.map((t) => 2 + 3 * t), noise, correlation: 1 };
    const fit = seriesFit(powerSums(line, 0, 0, 1, -Infinity), { powers: [0, 1], spreads: [1e4, 1e4] }, 1);
    expect(seriesAt(fit, 0.5, "whole")).toMatchObject({
      value: expect.closeTo(3.5, 6),
      slope: expect.closeTo(3, 6),
    });
    expect(seriesAt(fit, 0.5, "rise").value).toBeCloseTo(1.5, 6);
  });

  it("the variance of a mean of n samples is s^2/n", () => {
    const n = 16;
    const even = Array.from({ length: n }, (_, i) => i);
    const flat = { time_s: even, value: even.map(() => 1), noise: even.map(() => 0.4), correlation: 1 };
    const fit = seriesFit(powerSums(flat, 0, 0, 1, -Infinity), { powers: [0], spreads: [1e6] }, 1);
    expect(seriesAt(fit, 3, "whole").variance).toBeCloseTo(0.16 / n, 9);
    const half = seriesFit(
      powerSums({ ...flat, correlation: 4 }, 0, 0, 1, -Infinity),
      { powers: [0], spreads: [1e6] },
      1,
    );
    expect(seriesAt(half, 3, "whole").variance).toBeCloseTo((4 * 0.16) / n, 9);
  });
});

describe("a corner", () => {
  it("of known shape: the uncertainty is that of least squares with the shape's slope", () => {
    // y = c (t - t0) behind the corner, level and c known nearly: u(t0) = s / (c sqrt(n)) for n samples behind it.
    const noise = 0.01;
    const random = randomStream(3);
    const time_s = Array.from({ length: 400 }, (_, i) => i / 400);
    const t0 = 0.5013;
    const value = time_s.map((t) => Math.max(0, t - t0) + noise * random.normal());
    const corner = cornerInstant(
      {
        time_s,
        value,
        noise: time_s.map(() => noise),
        correlation: 1,
        rest: 0,
        restUncertainty: 1e-4,
        rise: 0.5,
        from_s: 0.2,
      },
      [{ powers: [1], weight: 1 }],
    );
    // With the slope fitted too, through its far end: variance 4 s^2/(c^2 n), n = 200.
    const u = (2 * noise) / Math.sqrt(200);
    expect(corner.standardUncertainty_s / u).toBeGreaterThan(0.85);
    expect(corner.standardUncertainty_s / u).toBeLessThan(1.15);
    expect(Math.abs(corner.time_s - t0)).toBeLessThan(4 * u);
    expect(corner.noiseScale).toBeCloseTo(1, 1);
  });
});

describe("a passed level", () => {
  it("of an even slope: u = s / (slope sqrt(n)) at the middle of a straight line", () => {
    const noise = 0.01;
    const time_s = Array.from({ length: 101 }, (_, i) => i / 100);
    const samples = { time_s, value: time_s, noise: time_s.map(() => noise), correlation: 1 };
    const instant = passingInstant(samples, 50, 0.5, 0, 0.5);
    expect(instant?.time_s).toBeCloseTo(0.5, 9);
    // A cubic's variance at the middle is 9/4 of a mean's [savitzky-golay-1964, quadratic and cubic smoothing].
    expect((instant?.standardUncertainty_s ?? 0) / (1.5 * (noise / Math.sqrt(101)))).toBeCloseTo(1, 1);
  });

  it("a level's own uncertainty adds through the slope", () => {
    const time_s = Array.from({ length: 101 }, (_, i) => i / 100);
    const samples = {
      time_s,
      value: time_s.map((t) => 2 * t),
      noise: time_s.map(() => 1e-6),
      correlation: 1,
    };
    expect(passingInstant(samples, 50, 1, 0.01, 0.5)?.standardUncertainty_s).toBeCloseTo(0.005, 5);
  });

  it("a signal that does not pass the level has no instant", () => {
    const time_s = Array.from({ length: 50 }, (_, i) => i / 50);
    const flat = { time_s, value: time_s.map(() => 0), noise: time_s.map(() => 0.01), correlation: 1 };
    expect(passingInstant(flat, 25, 1, 0, 0.1)).toBeUndefined();
  });
});

describe("resolution", () => {
  it("the step of rounded readings is found, and none in smooth or noisy ones", () => {
    const random = randomStream(9);
    const ramp = Array.from({ length: 500 }, (_, i) => Math.max(0, i - 100) * 0.0031);
    const rounded = ramp.map((v) => Math.round(v / 0.01) * 0.01);
    expect(resolutionStep(rounded)).toBeCloseTo(0.01, 9);
    expect(resolutionStep(rounded.map((v) => (v * Math.PI) / 180))).toBeCloseTo((0.01 * Math.PI) / 180, 9);
    expect(resolutionStep(ramp)).toBe(0);
    expect(resolutionStep(ramp.map((v) => v + 0.001 * random.normal()))).toBe(0);
    expect(resolutionStep(ramp.map((v) => (v > 0.5 ? 24 : 0)))).toBe(0);
  });

  it.each([0, 0.1, 0.25, 0.5])("a mean of readings errs by the formula, with noise of %d steps", (noise) => {
    // The mean of round(x + noise) over many samples, for every place x between two steps: exact by the
    // normal law, integrated over x on a fine grid.
    const places = 400;
    let square = 0;
    for (let k = 0; k < places; k++) {
      const x = (k + 0.5) / places - 0.5;
      let mean = 0;
      if (noise === 0) mean = 0;
      else for (let j = -6; j <= 6; j++) mean += j * cell(j, x, noise);
      square += (mean - x) ** 2;
    }
    expect(resolutionUncertainty(1, noise)).toBeCloseTo(Math.sqrt(square / places), 3);
  });

  it("thresholds passed several times by noise count once, at their middle", () => {
    const time_s = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
    const found = edges(time_s, [0, 0, 0, 1, 0, 1, 1, 2, 2, 2], 1, 0.2, 0);
    // One low reading behind the first high one: the passing lies one sample later.
    expect(found.time_s).toEqual([3.5, 6.5]);
    expect(found.value).toEqual([0.5, 1.5]);
  });
});

/** Probability that x + noise is read as step j. */
function cell(j: number, x: number, noise: number): number {
  const n = 2000;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const z = j - 0.5 + (i + 0.5) / n;
    sum += Math.exp(-0.5 * ((z - x) / noise) ** 2);
  }
  return sum / n / (noise * Math.sqrt(2 * Math.PI));
}

describe("a rest", () => {
  it("white noise: level to s/sqrt(n), no correlation", () => {
    const random = randomStream(4);
    const values = Array.from({ length: 400 }, () => 5 + 0.1 * random.normal());
    const rest = restOf(values, 0, 1e-9);
    expect(rest.correlation).toBe(1);
    expect(rest.noise / 0.1).toBeCloseTo(1, 1);
    expect(rest.levelUncertainty / (0.1 / 20)).toBeCloseTo(1, 1);
  });

  it("noise of correlation 0.8 counts (1 + 0.8)/(1 - 0.8) = 9 samples as one", () => {
    const random = randomStream(6);
    let state = 0;
    const values = Array.from({ length: 400 }, () => {
      state = 0.8 * state + 0.6 * random.normal();
      return state;
    });
    // Estimated from 400 samples, that is 44 independent ones.
    expect(restOf(values, 0, 1e-9).correlation).toBeGreaterThan(5);
    expect(restOf(values, 0, 1e-9).correlation).toBeLessThan(13);
  });

  it("a spike does not count", () => {
    const values = Array.from({ length: 50 }, (_, i) => (i === 20 ? 100 : Math.sin(i)));
    expect(restOf(values, 0, 1e-9).noise).toBeLessThan(1);
  });
});

describe("an instant", () => {
  it("between two samples is uniform [gum-2008, 4.3.7]", () => {
    expect(bracketed(1, 3)).toEqual({
      time_s: 2,
      standardUncertainty_s: 2 / Math.sqrt(12),
      interval95_s: [1.05, 2.95],
    });
  });

  it("widened in quadrature", () => {
    const { standardUncertainty_s, interval95_s } = widened(bracketed(-1, 1), 1);
    expect(standardUncertainty_s).toBeCloseTo(Math.sqrt(1 / 3 + 1), 12);
    expect(interval95_s[1]).toBeCloseTo(Math.hypot(0.95, 1.959_964), 5);
  });
});
