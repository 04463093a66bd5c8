/** What instruments must be able to do, against published tables and rules. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  bandwidthForRise,
  dataUncertainty,
  fullScale,
  rateForBandwidth,
  rateForTime,
  roundedUp,
  strokesForShare,
} from "../../../src/question/plan/sampling.js";
import "../../propertySeed.js";

describe("strokes for a share", () => {
  // Conover, Practical Nonparametric Statistics, third edition, table A6 (one-sided, r + m = 1); from memory,
  // each row by least n with p^n <= 1 - c besides.
  it.each([
    [0.9, 0.9, 22],
    [0.9, 0.95, 29],
    [0.9, 0.99, 44],
    [0.95, 0.9, 45],
    [0.95, 0.95, 59],
    [0.95, 0.99, 90],
    [0.99, 0.9, 230],
    [0.99, 0.95, 299],
    [0.99, 0.99, 459],
  ])("share %d with confidence %d: %i, Conover table A6", (share, confidence, n) => {
    expect(strokesForShare(share, confidence)).toBe(n);
    expect(share ** n).toBeLessThanOrEqual(1 - confidence + 1e-12);
    expect(share ** (n - 1)).toBeGreaterThan(1 - confidence);
  });

  it("grows with the share and with the confidence", () => {
    const share = fc.double({ min: 0.5, max: 0.995, noNaN: true });
    fc.assert(
      fc.property(share, share, share, (a, b, c) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        expect(strokesForShare(low, c)).toBeLessThanOrEqual(strokesForShare(high, c));
        expect(strokesForShare(c, low)).toBeLessThanOrEqual(strokesForShare(c, high));
      }),
    );
  });
});

describe("bandwidth and rate", () => {
  it("bandwidth times rise is 0.35: the rule of oscilloscope manuals, 100 MHz for 3.5 ns", () => {
    expect(bandwidthForRise(3.5e-9) / 100e6).toBeCloseTo(1, 2);
    expect(bandwidthForRise(1) / 0.35).toBeCloseTo(1, 2);
  });

  it("is the -3 dB corner of a pole whose step response, followed in small steps, has that rise", () => {
    const tau = 2e-3;
    const step = 1e-7;
    let [y, t, ten, ninety] = [0, 0, 0, 0];
    while (ninety === 0) {
      y += (step / tau) * (1 - y);
      t += step;
      if (ten === 0 && y >= 0.1) ten = t;
      if (y >= 0.9) ninety = t;
    }
    expect(bandwidthForRise(ninety - ten) * 2 * Math.PI * tau).toBeCloseTo(1, 3);
  });

  it("the rate lies above twice the bandwidth: Shannon 1949, theorem 1", () => {
    expect(rateForBandwidth(350)).toBeGreaterThan(2 * 350);
  });

  it("a time read to whole intervals T has u = 0.29 T at each end: GUM F.2.2.1", () => {
    const T = 1e-3;
    expect(1 / rateForTime(0.29 * T * Math.SQRT2)).toBeCloseTo(T, 5);
  });
});

describe("uncertainty of the data", () => {
  it("closes the sum of squares of ASME V&V 20: margin 10, k 2, inputs 3, numerics 0 leave 4", () => {
    expect(dataUncertainty(10, 2, 3, 0)).toBeCloseTo(4, 12);
  });

  it("there is none where the inputs reach as far as the margin, nor without a margin", () => {
    expect(dataUncertainty(10, 2, 5, 0)).toBeUndefined();
    expect(dataUncertainty(-1, 2, 0, 0)).toBeUndefined();
  });

  it("a narrower margin asks for better data and a faster log", () => {
    const size = fc.double({ min: 1e-3, max: 1, noNaN: true });
    fc.assert(
      fc.property(size, size, size, (a, b, share) => {
        const [narrow, wide] = [Math.min(a, b), Math.max(a, b)];
        const inputs = 0.4 * share * narrow;
        const [u, v] = [dataUncertainty(narrow, 2, inputs, 0), dataUncertainty(wide, 2, inputs, 0)];
        if (u === undefined || v === undefined) throw new Error("the margin is wider than the inputs");
        expect(u).toBeLessThanOrEqual(v);
        expect(rateForTime(u)).toBeGreaterThanOrEqual(rateForTime(v));
      }),
    );
  });
});

describe("scale and rate of an instrument", () => {
  it("holds the band and the limit, and grows with both", () => {
    const size = fc.double({ min: 0, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(size, size, size, (high, more, limit) => {
        expect(fullScale(high, limit)).toBeGreaterThanOrEqual(Math.max(high, limit));
        expect(fullScale(high + more, limit)).toBeGreaterThanOrEqual(fullScale(high, limit));
        expect(fullScale(high)).toBeLessThanOrEqual(fullScale(high, limit));
      }),
    );
  });

  it("a rate is rounded up, never down, by less than a tenth", () => {
    expect(roundedUp(3541)).toBe(3600);
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 1e7, noNaN: true }), (rate) => {
        expect(roundedUp(rate)).toBeGreaterThanOrEqual(rate * (1 - 1e-9));
        expect(roundedUp(rate)).toBeLessThan(1.1001 * rate);
      }),
    );
  });
});
