/** Question 11 about all runs together: repeated strokes, history, and the test that would tell most. */
import { beforeAll, describe, expect, it } from "vitest";
import type { PastEvent, SeriesReport } from "../../src/evidence/index.js";
import { evaluateSeries } from "../../src/evidence/series/series.js";
import { drawSvg } from "../../src/picture/index.js";
import type { Prediction } from "../../src/predict/index.js";
import { type Answer, answersOf, checkWords, type Evidence } from "../../src/question/index.js";
import { answerNumbered, predictionOf } from "./answering.js";

function series(values: readonly number[], cycles = values.length): SeriesReport {
  const strokes = values.map((value_s, i) => ({
    runId: `r${i}`,
    sense: "opening" as const,
    number: i + 1,
    value_s,
    standardUncertainty_s: 0.001,
  }));
  return { series: [evaluateSeries("cold", "opening", "command-to-end", strokes)], cycles };
}

let prediction: Prediction;
let undeclared: Prediction;
beforeAll(async () => {
  prediction = await predictionOf({ edits: { "valve.seat.cycle_life": "500" } });
  undeclared = await predictionOf();
});

const asked = (evidence: Partial<Evidence>, about = prediction): Answer =>
  answerNumbered(answersOf(about, { reconciliations: [], ...evidence }), 11);
const checkOf = ({ checks }: Answer, id: string) => checks.find((check) => check.id === id);

describe("repeated strokes", () => {
  it("five, each slower than the last: p is 2/5! of the exact test [kendall-1975], so the question fails", () => {
    const answer = asked({ series: series([0.4, 0.41, 0.42, 0.43, 0.44]) });
    const check = checkOf(answer, "series-drift");
    expect(check).toMatchObject({ verdict: "fails", standing: "judged" });
    expect(check?.kind === "known" ? check.value : Number.NaN).toBeCloseTo(2 / 120, 12);
    expect(answer.verdict).toBe("fails");
    expect(answer.sentence).toMatch(/opening times of cold drift over 5 strokes, by 10(\.\d+)? ms a stroke/);
  });

  it("four that rise are no proof at 5 %: p is 2/4!; 59 strokes are asked for [wilks-1941]", () => {
    const answer = asked({ series: series([0.4, 0.41, 0.42, 0.43]) });
    const drift = checkOf(answer, "series-drift");
    expect(drift?.kind === "known" ? drift.value : Number.NaN).toBeCloseTo(2 / 24, 12);
    expect(drift?.verdict).toBe("holds");
    const limit = checkOf(answer, "series-tolerance");
    expect(limit).toMatchObject({ standing: "information", verdict: "fails", value: 4 });
    expect(limit?.kind === "known" ? limit.limit.least : 0).toBe(59);
    expect(answer.sentence).not.toContain("drift");
  });

  it("are drawn and listed", () => {
    const answer = asked({ series: series([0.4, 0.41, 0.4, 0.42]) });
    const figure = answer.figures.find(({ id }) => id === "series-cold-opening");
    if (figure === undefined) throw new Error("no picture");
    expect(drawSvg(figure, { width: 600 })).toMatch(/^<svg/);
    expect(answer.tables.find(({ title }) => title.startsWith("Repeated strokes"))?.rows).toHaveLength(1);
  });

  it("one alone is no series, and three have no trend: not known", () => {
    const one = checkOf(asked({ series: series([0.4]) }), "series-drift");
    expect(one).toMatchObject({ verdict: "not known", standing: "judged" });
    const three = checkOf(asked({ series: series([0.4, 0.41, 0.42]) }), "series-drift");
    expect(three).toMatchObject({ verdict: "not known", needs: ["four strokes at least"] });
  });

  it("a run that was not reduced is named, and its cycles are missing from the count", () => {
    const some = asked({ series: series([0.4, 0.41, 0.4, 0.42]), notReduced: ["lost"] });
    expect(checkOf(some, "series-drift")?.assumptions.join()).toContain("Left out: lost");
    expect(checkOf(some, "cycle-life")).toMatchObject({
      verdict: "not known",
      needs: ["run lost reduced (coldturn reduce)"],
    });
    // What is counted is too much already, whatever else was made.
    const many = asked({ series: series([0.4, 0.41, 0.4, 0.42], 501), notReduced: ["lost"] });
    expect(checkOf(many, "cycle-life")).toMatchObject({ verdict: "fails", value: 501 });
  });

  it("cycles are held against the declared life; without one, or without a log, nothing is held", () => {
    expect(checkOf(asked({ series: series([0.4, 0.41], 12) }), "cycle-life")).toMatchObject({
      verdict: "holds",
      value: 12,
    });
    expect(checkOf(asked({}), "cycle-life")?.verdict).toBe("not known");
    expect(checkOf(asked({ series: series([0.4, 0.41]) }, undeclared), "cycle-life")).toMatchObject({
      verdict: "not known",
      needs: ["valve.seat.cycle_life"],
    });
  });
});

describe("a count", () => {
  it("is printed with what it counts, and held as a bare number", () => {
    const answer = asked({ series: series([0.4, 0.41, 0.4, 0.42]) });
    const words = answer.checks.flatMap((check) => (check.kind === "known" ? [checkWords(check)] : []));
    expect(words).toContain("200 samples, at least 93 samples");
    expect(words).toContain("4 strokes, at least 59 strokes");
    expect(words).toContain("4 cycles, at most 500 cycles");
    expect(checkOf(answer, "sample-size")).toMatchObject({ unit: "samples", siUnit: "", value: 200 });
  });
});

describe("the history", () => {
  const sealed: PastEvent = {
    kind: "prediction",
    date: "2031-04-18T08:00:00Z",
    caseId: "cold",
    sha256: "0123456789abcdef",
    model: "test",
    definition: "command-to-end",
    time_s: 0.4,
    band_s: { low: 0.38, high: 0.42 },
  };
  const run: PastEvent = {
    kind: "run",
    date: "2031-04-19T08:00:00Z",
    isDated: true,
    runId: "first",
    caseId: "cold",
    sense: "opening",
    definition: "command-to-end",
    time_s: 0.45,
    standardUncertainty_s: 0.001,
  };

  it("is drawn and listed once there is a run", () => {
    const answer = asked({ history: [sealed, run] });
    expect(answer.figures.map(({ id }) => id)).toContain("history");
    const rows = answer.tables.find(({ title }) => title.startsWith("Predictions, runs"))?.rows ?? [];
    expect(rows.map(([, what]) => what)).toEqual(["sealed 0123456789ab", "run first, opening"]);
    expect(asked({ history: [sealed] }).figures.map(({ id }) => id)).not.toContain("history");
  });
});

describe("the ranking of tests", () => {
  const found = {
    decision: {
      caseId: "duty",
      quantity: "opening time" as const,
      words: "opening time of duty",
      value: 0.4,
      standardUncertainty: 0.01,
    },
    tests: [
      {
        kind: "nitrogen" as const,
        words: "stroke in liquid nitrogen",
        known: true as const,
        caseId: "cold",
        after: 0.005,
        narrowing: 0.5,
        tells: [],
        duration_s: undefined,
        propellant_kg: undefined,
        perHour: undefined,
      },
    ],
  };
  const made = "2031-04-20T08:00:00Z";

  it("is told with its date, in words, as a picture and as a list", () => {
    const answer = asked({ next: { made, found, changed: [] } });
    expect(answer.sentence).toContain(
      "nitrogen (case cold), which would narrow its standard uncertainty by 50 %",
    );
    expect(answer.sentence).toContain("Ranked 2031-04-20.");
    expect(answer.figures.map(({ id }) => id)).toContain("next-tests");
    expect(answer.tables.map(({ title }) => title).join()).toContain("ranked 2031-04-20");
  });

  it("says that it is outdated, and by what", () => {
    const answer = asked({ next: { made, found, changed: ["valve.yaml"] } });
    expect(answer.sentence).toContain("Ranked 2031-04-20, and outdated: valve.yaml has changed since");
    expect(answer.figures.find(({ id }) => id === "next-tests")?.words).toContain("outdated");
  });
});
