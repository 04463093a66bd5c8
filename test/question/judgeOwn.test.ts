/** A check of a small band whose number never comes in some samples. */
import { describe, expect, it } from "vitest";
import type { CheckDefinition } from "../../src/question/check.js";
import { judgeOwn } from "../../src/question/judgeOwn.js";

const definition: CheckDefinition = {
  id: "some",
  designChecks: [],
  failureModes: [],
  name: "Some time",
  dimension: "time",
  equation: "t",
  source: "common practice, no source",
  assumptions: [],
};
const judged = (late: number) =>
  judgeOwn(definition, {
    figures: {
      nominal: { t: 1 },
      samples: {
        t: Float64Array.from({ length: 72 }, (_, k) => (k < late ? Number.POSITIVE_INFINITY : 1 + k / 1e3)),
      },
      paths: ["some.input"],
      points: Float64Array.from({ length: 72 }, (_, k) => (k * 0.618) % 1),
      count: 72,
    },
    figure: "t",
    limit: { most: 2, words: "some limit" },
    wanted: 0.95,
  });

describe("samples without end", () => {
  it("count as not meeting the limit, though the band has no ends to tell", () => {
    const check = judged(14);
    expect(check.kind === "known" && check.band).toBeUndefined();
    expect(check.kind === "known" && check.probability?.estimate).toBeCloseTo(58 / 72, 12);
    expect(check.verdict).not.toBe("holds");
  });

  it("are none where all are well: the check holds", () => {
    expect(judged(0).verdict).toBe("holds");
  });
});
