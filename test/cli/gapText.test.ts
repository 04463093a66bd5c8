/** The order in which missing inputs are asked for, worked out by hand for a few checks. */
import { describe, expect, it } from "vitest";
import { stepsOf, waitingLines } from "../../src/cli/gapText.js";
import type { Answer, UnknownCheck } from "../../src/question/index.js";

const page = { columns: 80, unicode: true, colour: false };

function waiting(name: string, needs: readonly string[]): UnknownCheck {
  return {
    kind: "unknown",
    id: name,
    designChecks: [],
    failureModes: [],
    name,
    dimension: "number",
    equation: "",
    source: "",
    assumptions: [],
    unit: "",
    standing: "judged",
    verdict: "not known",
    needs,
  };
}

function answer(checks: readonly UnknownCheck[]): Answer {
  const paths = [...new Set(checks.flatMap(({ needs }) => needs))];
  return {
    id: "flow",
    number: 1,
    question: "?",
    verdict: "not known",
    sentence: "",
    figures: [],
    tables: [],
    drivers: [],
    checks,
    gaps: paths.map((path) => ({
      path,
      label: path,
      blocks: checks.filter(({ needs }) => needs.includes(path)).map(({ id }) => id),
    })),
    notices: [],
    cautions: [],
  };
}

const answers = [
  answer([waiting("wide", ["a", "b", "c", "d"]), waiting("small", ["a", "b"])]),
  answer([waiting("same", ["b", "a"]), waiting("tested", ["a test of this valve"])]),
];

describe("what to enter next", () => {
  it("is what answers a further check with the fewest inputs; evidence of a test comes last", () => {
    expect(stepsOf(answers)).toEqual([
      { inputs: ["a", "b"], checks: ["small", "same"] },
      { inputs: ["c", "d"], checks: ["wide"] },
      { inputs: ["a test of this valve"], checks: ["tested"] },
    ]);
  });

  it("the whole list names every input once, under the checks that wait for it", () => {
    expect(waitingLines(page, answers)).toEqual([
      "  wide, small, same:",
      "    a",
      "    b",
      "  wide:",
      "    c",
      "    d",
      "  tested:",
      "    a test of this valve",
    ]);
  });

  it("of two checks with one id it names the one that waits", () => {
    const { checks } = answer([waiting("fill", ["a"]), waiting("fill", ["b"])]);
    const both = checks.flatMap((check, j) =>
      check.kind === "unknown" ? [{ ...check, name: `fill, side ${j + 1}` }] : [],
    );
    expect(waitingLines(page, [answer(both)])).toEqual([
      "  fill, side 1:",
      "    a",
      "  fill, side 2:",
      "    b",
    ]);
  });

  it("nothing is asked for where nothing is missing", () => {
    expect(stepsOf([answer([])])).toEqual([]);
  });
});
