/** The decision itself: limits, margins, verdicts. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isWithin, type Limit, marginTo, verdictOf, worstOf } from "../../src/question/check.js";
import { bare, limitWords, listWords, probabilityWords, valueWords } from "../../src/question/words.js";

const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
const limits: fc.Arbitrary<Limit> = fc
  .record({ most: fc.option(number, { nil: undefined }), least: fc.option(number, { nil: undefined }) })
  .map(({ most, least }) => ({
    words: "",
    ...(most === undefined ? {} : { most }),
    ...(least === undefined ? {} : { least }),
  }));

describe("verdicts", () => {
  it("a value is within exactly where its margin is not negative", () => {
    fc.assert(
      fc.property(number, limits, (value, limit) => isWithin(value, limit) === marginTo(value, limit) >= 0),
    );
  });

  it("a nominal value beyond its limit fails whatever the probability", () => {
    fc.assert(
      fc.property(number, limits, fc.double({ min: 0, max: 1, noNaN: true }), (value, limit, p) => {
        const verdict = verdictOf(value, limit, { estimate: p, low: p, high: 1 }, 0.95, "percentile");
        const expected = p >= 0.95 ? "holds" : p < 0.5 ? "fails" : "thin";
        return verdict === (isWithin(value, limit) ? expected : "fails");
      }),
    );
  });

  it("a limit more likely broken than kept fails; a percentile fails once it is surely missed", () => {
    const limit: Limit = { most: 1, words: "" };
    const verdict = (estimate: number, high: number, criterion: "nominal" | "percentile") =>
      verdictOf(0.5, limit, { estimate, low: 2 * estimate - high, high }, 0.95, criterion);
    expect(verdict(0.54, 0.55, "nominal")).toBe("thin");
    expect(verdict(0.49, 0.5, "nominal")).toBe("fails");
    expect(verdict(0.54, 0.55, "percentile")).toBe("fails");
    expect(verdict(0.949, 0.953, "percentile")).toBe("thin");
    expect(verdict(0.949, 0.9499, "percentile")).toBe("fails");
    expect(verdict(0.951, 0.954, "percentile")).toBe("thin");
    expect(verdict(0.955, 0.959, "percentile")).toBe("holds");
    expect(verdictOf(0.5, limit, undefined, 0.95, "percentile")).toBe("holds");
  });

  it("the worst of several: fails, thin, not known, holds; nothing is not known", () => {
    expect(worstOf(["holds", "not known", "thin", "fails"])).toBe("fails");
    expect(worstOf(["holds", "not known", "thin"])).toBe("thin");
    expect(worstOf(["holds", "not known"])).toBe("not known");
    expect(worstOf(["holds", "holds"])).toBe("holds");
    expect(worstOf([])).toBe("not known");
  });
});

describe("words", () => {
  it("digits follow the band", () => {
    expect(valueWords(0.20143, { low: 0.185, high: 0.22 }, "time")).toBe("201 ms");
    expect(valueWords(12.694, { low: 7.7, high: 22.5 }, "torque", "N m")).toBe("12.7 N m");
    expect(bare(0.20143, "time", "ms", 1e-9)).toBe("201.43");
  });

  it("a chance is never none and never certain", () => {
    expect(probabilityWords({ estimate: 0, low: 0, high: 0.00184 })).toBe("below 0.18 %");
    expect(probabilityWords({ estimate: 1, low: 0.99816, high: 1 })).toBe("above 99.82 %");
    expect(probabilityWords({ estimate: 0.031, low: 0.027, high: 0.036 })).toBe(
      "3.1 % (95 % confidence: 2.7 to 3.6 %)",
    );
  });

  it("limits in the unit of the value", () => {
    expect(limitWords({ most: 0.8, words: "" }, "time", "ms")).toBe("at most 800 ms");
    expect(limitWords({ most: 0.5, least: 0.05, words: "" }, "time", "ms")).toBe("between 50 and 500 ms");
    expect(limitWords({ most: 428.15, words: "" }, "temperature", "degC")).toBe("at most 155 degC");
    expect(limitWords({ least: 0, words: "" }, "ratio", "%")).toBe("at least 0 %");
  });

  it("long lists are counted, short ones named", () => {
    expect(listWords(["a", "b", "c", "d", "e"])).toBe("a, b, c, d, e");
    expect(listWords(["a", "b", "c", "d", "e", "f"])).toBe("a, b, c, d and 2 more");
  });
});
