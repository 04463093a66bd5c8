import { describe, expect, it } from "vitest";
import { chanceOfAtLeast, mannKendall, studentQuantile, wilksSampleSize } from "../../src/numerics/index.js";

describe("chance of S without drift: Gilbert 1987, table A18 (three digits, from memory)", () => {
  it.each([
    [4, 0, 0.625],
    [4, 2, 0.375],
    [4, 4, 0.167],
    [4, 6, 0.042],
    [5, 6, 0.117],
    [5, 8, 0.042],
    [5, 10, 0.0083],
    [6, 11, 0.028],
    [7, 13, 0.035],
    [8, 16, 0.031],
    [9, 18, 0.038],
    [10, 21, 0.036],
    [10, 25, 0.014],
  ])("n = %d, S = %d", (n, S, p) => {
    expect(Math.abs(chanceOfAtLeast(S, n) - p)).toBeLessThan(p < 0.01 ? 0.00006 : 0.0006);
  });
});

describe("Mann-Kendall", () => {
  it("with a tie: Little, worked example by hand (mathcs.holycross.edu), S = 54, Z = 2.9058, one-sided p = 0.0018", () => {
    const y = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7];
    const found = mannKendall(y);
    expect(found.S).toBe(54);
    expect(found.how).toBe("normal");
    expect(found.p / 2).toBeCloseTo(0.0018, 4);
  });

  it("the exact chance goes over into the normal law: Kendall 1975, variance n(n-1)(2n+5)/18", () => {
    const n = 40;
    const deviation = Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
    const S = 2 * Math.round((1.96 * deviation) / 2);
    expect(2 * chanceOfAtLeast(S, n)).toBeCloseTo(0.05, 2);
  });

  it("a rising sequence has tau = 1 and its own slope; a level one has p = 1", () => {
    const rising = mannKendall([1, 1.5, 2, 2.5, 3]);
    expect(rising).toMatchObject({ S: 10, tau: 1, slope: 0.5, how: "exact" });
    expect(rising.p).toBeCloseTo(2 / 120, 12);
    expect(mannKendall([2, 2, 2, 2]).p).toBe(1);
  });

  it("reversing the sequence reverses S and keeps p", () => {
    const y = [3.1, 2.7, 3.4, 3.0, 3.6, 2.9, 3.8];
    const back = mannKendall([...y].reverse());
    expect(back.S).toBe(-mannKendall(y).S);
    expect(back.p).toBeCloseTo(mannKendall(y).p, 12);
  });
});

describe("sample sizes of Wilks, published: 59, 93, 124, 153 one-sided 95/95; 93 two-sided; 299 for 99/95", () => {
  it.each([
    [0.95, 0.95, "one", 1, 59],
    [0.95, 0.95, "one", 2, 93],
    [0.95, 0.95, "one", 3, 124],
    [0.95, 0.95, "one", 4, 153],
    [0.95, 0.95, "two", 1, 93],
    [0.9, 0.95, "one", 1, 29],
    [0.99, 0.95, "one", 1, 299],
    [0.95, 0.99, "one", 1, 90],
    [0.99, 0.99, "one", 1, 459],
  ] as const)("%d/%d %s-sided of order %d: %d", (coverage, confidence, sides, order, n) => {
    expect(wilksSampleSize({ coverage, confidence, sides, order })).toBe(n);
  });
});

it("Student's t, two-sided 5 %: 2.101 at 18 degrees of freedom (any table)", () => {
  expect(studentQuantile(0.975, 18)).toBeCloseTo(2.101, 3);
});
