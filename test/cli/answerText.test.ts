/** The words of an answer on a page: one wording for a probability, and what the shares behind drivers are. */
import { describe, expect, it } from "vitest";
import { answerLines } from "../../src/cli/answerText.js";
import type { Answer, Check, Driver } from "../../src/question/index.js";

const page = { columns: 100, unicode: true, colour: false };
const check: Check = {
  kind: "known",
  id: "opening-time",
  designChecks: [],
  failureModes: [],
  name: "Opening time",
  dimension: "time",
  equation: "t <= t_limit",
  source: "common practice, no source",
  assumptions: [],
  unit: "ms",
  standing: "judged",
  verdict: "holds",
  value: 0.2,
  band: { low: 0.18, high: 0.22, coverage: 0.95 },
  limit: { most: 0.8, words: "duty.open_within.time" },
  margin: 0.6,
  probability: { estimate: 0.97, low: 0.96, high: 0.98 },
  wanted: 0.95,
};

function textOf(drivers: readonly Driver[]): string {
  const answer: Answer = {
    id: "opening",
    number: 3,
    question: "Does it open in time?",
    verdict: "holds",
    sentence: "Opens in 200 ms.",
    figures: [],
    tables: [],
    drivers,
    checks: [check],
    gaps: [],
    notices: [],
    cautions: [],
  };
  const lines = answerLines(page, answer, { isDrawn: () => false, isListed: () => true });
  return lines.join(" ").replaceAll(/\s+/g, " ");
}

const total: Driver = {
  path: "valve.seat.friction",
  label: "seat friction",
  words: "",
  measure: "total effect",
  share: 0.62,
  alone: 0.45,
};

describe("the text of an answer", () => {
  it("names the probability as docs/checks.md does", () => {
    expect(textOf([])).toContain("at most 800 ms; probability of meeting the limit 97");
  });

  it("total effects come with first ones, and the text says that they may overlap", () => {
    const text = textOf([total, { ...total, label: "supply resistance", share: 0.58, alone: 0.3 }]);
    expect(text).toContain("62 % seat friction (alone 45 %)");
    expect(text).toContain("58 % supply resistance (alone 30 %)");
    expect(text).toContain("what would go if it alone were known");
    expect(text).toContain("can add up to more than 100 %");
  });

  it("rank correlations are not called effects", () => {
    const { alone: _, ...plain } = total;
    const text = textOf([{ ...plain, measure: "rank correlation" }]);
    expect(text).toContain("62 % seat friction Squared rank correlation");
    expect(text).not.toContain("Total effect");
  });
});
