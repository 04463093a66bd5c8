/** Pictures of questions 6 and 7 on the demo's valve: their bars are the bands of the checks beside them. */
import { beforeAll, describe, expect, it } from "vitest";
import type { Mark } from "../../src/picture/index.js";
import type { Answer, Check } from "../../src/question/index.js";
import { textOf } from "../project/files.js";
import { answerNumbered, answersTo } from "./answering.js";

let answers: readonly Answer[] = [];
beforeAll(async () => {
  answers = await answersTo({ text: textOf("demo/petrel-oxygen-main/valve.yaml"), samples: 120 });
}, 60_000);

const marksOf = (number: number, id: string): readonly Mark[] => {
  const figure = answerNumbered(answers, number).figures.find((one) => one.id === id);
  if (figure?.kind !== "plot") throw new Error(`no picture ${id}`);
  return figure.marks;
};

const bandOf = (number: number, name: RegExp) => {
  const check = answerNumbered(answers, number).checks.find((one: Check) => name.test(one.name));
  if (check?.kind !== "known" || check.band === undefined) throw new Error(`no band of ${name.source}`);
  return { value: check.value, low: check.band.low, high: check.band.high };
};

describe("the bars of a picture are the bands of its check", () => {
  it.each([[6, "cool-down", "measure met", /^Cool-down time/, 60]])(
    "question %d, %s: %s",
    (number, id, label, name, seconds) => {
      const event = marksOf(number, id).find((mark) => mark.kind === "event" && mark.label === label);
      const { value, low, high } = bandOf(number, name);
      if (event?.kind !== "event") throw new Error(`no event ${label}`);
      for (const [drawn, checked] of [
        [event.x, value],
        [event.low, low],
        [event.high, high],
      ] as const)
        expect((drawn ?? Number.NaN) * seconds).toBeCloseTo(checked, 6);
    },
  );

  it("question 7, trapped-clock: the line passes the rating where the event stands, and its band holds it", () => {
    const marks = marksOf(7, "trapped-clock");
    const line = marks.find((mark) => mark.kind === "line");
    const event = marks.find((mark) => mark.kind === "event");
    if (line?.kind !== "line" || event?.kind !== "event") throw new Error("no line or no event");
    const after = Array.from(line.x).findIndex((x) => x >= event.x);
    const [x0 = 0, x1 = 0] = [line.x[after - 1], line.x[after]];
    const [y0 = 0, y1 = 0] = [line.y[after - 1], line.y[after]];
    // The rating of the demo's cavity, 100 bar(a); between two points the curve is nearly straight.
    expect(y0 + ((y1 - y0) * (event.x - x0)) / (x1 - x0)).toBeCloseTo(100, 1);
    expect(event.low).toBeLessThan(event.x);
    expect(event.high).toBeGreaterThan(event.x);
  });

  it("question 6, heat-extension: the packing", () => {
    const packing = marksOf(6, "heat-extension").find(
      (mark) => mark.kind === "points" && mark.label === "packing",
    );
    const { value, low, high } = bandOf(6, /^Packing temperature/);
    if (packing?.kind !== "points") throw new Error("no packing");
    expect([packing.y[0], packing.low?.[0], packing.high?.[0]]).toEqual([value, low, high]);
  });

  it("question 6, cool-down-gaps: a bar stands on its line, at the least and the largest of it", () => {
    const marks = marksOf(6, "cool-down-gaps");
    const line = marks.find((mark) => mark.kind === "line" && mark.label === "seat interference");
    const bars = marks.flatMap((mark) =>
      mark.kind === "points" && mark.role === "prediction" ? [mark] : [],
    );
    if (line?.kind !== "line") throw new Error("no line");
    expect(bars.map(({ y }) => y[0])).toEqual([
      Math.min(...Array.from(line.y)),
      Math.max(...Array.from(line.y)),
    ]);
    for (const { x, y, low = [], high = [] } of bars) {
      const at = Array.from(line.x).indexOf(x[0] ?? Number.NaN);
      expect(line.y[at]).toBe(y[0]);
      expect(low[0]).toBeLessThan(y[0] ?? Number.NaN);
      expect(high[0]).toBeGreaterThan(y[0] ?? Number.NaN);
    }
  });
});
