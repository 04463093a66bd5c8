/** The picture of a valve's history. */
import { describe, expect, it } from "vitest";
import type { PastEvent } from "../../src/evidence/index.js";
import { historyFigure } from "../../src/question/index.js";

const sealed = (caseId: string, time_s: number, date = "2026-11-27T01:00:00Z"): PastEvent => ({
  kind: "prediction",
  date,
  caseId,
  sha256: `${caseId}${date}`,
  model: "0.2.0",
  definition: "command-to-end",
  time_s,
  band_s: { low: time_s - 0.03, high: time_s + 0.04 },
});
const run = (caseId: string, runId: string, time_s: number, date: string): PastEvent => ({
  kind: "run",
  date,
  isDated: true,
  runId,
  caseId,
  sense: "opening",
  definition: "command-to-end",
  time_s,
  standardUncertainty_s: 0.0002,
});

/** Four seals of one day and the tests of years later, as dates bunch. */
const events: readonly PastEvent[] = [
  sealed("dry-ambient", 0.337),
  sealed("pressurised-ambient", 0.356),
  sealed("nitrogen", 0.377),
  sealed("nitrogen-pressurised", 0.541),
  run("dry-ambient", "dry", 0.352, "2031-04-14T10:20:00Z"),
  run("pressurised-ambient", "pressurised", 0.444, "2031-04-16T15:05:00Z"),
  {
    kind: "update",
    date: "2031-04-16T15:05:00Z",
    runIds: ["pressurised"],
    values: [{ path: "valve.seat.friction", text: "0.1 +/- 0.01", was: "0.075 +/- 0.028" }],
  },
  run("nitrogen", "n", 0.385, "2031-04-18T09:00:00Z"),
  run("nitrogen-pressurised", "n28", 0.552, "2031-04-18T11:30:00Z"),
];

describe("the history in one picture", () => {
  const [figure] = historyFigure(events);
  if (figure?.kind !== "plot") throw new Error("no plot");

  it("each test stands beside the prediction of its case and is joined to it; each case is named", () => {
    const line = figure.marks.find((mark) => mark.kind === "line");
    const points = figure.marks.flatMap((mark) => (mark.kind === "points" ? [mark] : []));
    expect(points.map(({ x }) => x)).toEqual([
      [1, 3, 5, 7],
      [2, 4, 6, 8],
    ]);
    expect(line?.kind === "line" ? line.x : []).toEqual([1, 2, NaN, 3, 4, NaN, 5, 6, NaN, 7, 8, NaN]);
    const named = figure.marks.flatMap((mark) => (mark.kind === "event" ? [[mark.label, mark.x]] : []));
    expect(named).toEqual([
      ["dry-ambient", 0.5],
      ["pressurised-ambient", 2.5],
      ["nitrogen", 4.5],
      ["nitrogen-pressurised", 6.5],
      ["update", 4.28],
    ]);
  });

  it("a test is joined to the newest prediction of its case sealed before it, and to none sealed after", () => {
    const [again] = historyFigure([
      run("dry", "early", 0.3, "2031-01-01T00:00:00Z"),
      sealed("dry", 0.31, "2031-02-01T00:00:00Z"),
      sealed("dry", 0.32, "2031-03-01T00:00:00Z"),
      run("dry", "late", 0.33, "2031-04-01T00:00:00Z"),
    ]);
    const line = again?.kind === "plot" ? again.marks.find((mark) => mark.kind === "line") : undefined;
    expect(line?.kind === "line" ? line.x : []).toEqual([3, 4, NaN]);
  });
});
