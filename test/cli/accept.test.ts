/** Correlations that a fit leaves among accepted values. */
import { describe, expect, it } from "vitest";
import { correlationsLeft } from "../../src/cli/accept.js";

const proposal = (path: string) => ({
  path,
  now: "1",
  proposed: "2",
  because: "fitted to run a, was 1",
  refusals: [],
});
const pair = (first: string, second: string, correlation: number) => ({ first, second, correlation });

describe("rank correlation of two normal values is (6/pi) asin(r/2): Pearson 1907, value from memory", () => {
  it("1/2 is 0.483, 1 is 1, and the sign is kept", () => {
    const proposals = ["a", "b"].map(proposal);
    const ranks = [0.5, 1, -0.5].map((r) => correlationsLeft(proposals, [pair("a", "b", r)])[0]?.rank);
    expect(ranks).toEqual([0.48, 1, -0.48]);
  });

  it("only among accepted values, and only those worth the name", () => {
    const proposals = ["a", "b"].map(proposal);
    expect(correlationsLeft(proposals, [pair("a", "c", 0.9), pair("a", "b", 0.1)])).toEqual([]);
  });
});
