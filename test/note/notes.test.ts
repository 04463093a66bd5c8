/**
 * Notes are worked out again from what is printed alone: every equation, with the printed values of its
 * symbols, by a calculator that knows nothing of the program; and some results against the same numbers on
 * paper, from published values, as test/question/hand.test.ts has them.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { readDossier, type UsedDefault } from "../../src/dossier/index.js";
import { notesOf, noteText } from "../../src/note/index.js";
import { makers } from "../../src/note/makers.js";
import { Disagreement, Steps } from "../../src/note/steps.js";
import { OwnAnswers, type Prediction } from "../../src/predict/index.js";
import { type Answer, answerBeside, answersOf } from "../../src/question/index.js";
import { noteHtml } from "../../src/sheet/index.js";
import { textOf } from "../project/files.js";
import { predictionOf } from "../question/answering.js";
import { calculated, halfDigit, type PrintedCheck, printedChecks } from "./printed.js";

const evidence = { reconciliations: [] };
const head = { valve: "Petrel", caseId: "duty", model: "0", file: "valve.yaml", sha256: "ab" };

function ownOf({ dossier, caseId, options }: Prediction): OwnAnswers {
  return new OwnAnswers(dossier, caseId, options);
}

function given(prediction: Prediction, own = ownOf(prediction), defaults: readonly UsedDefault[] = []) {
  return { prediction, own, evidence, defaults };
}

function textFor(prediction: Prediction, numbers: readonly number[]): string {
  const own = ownOf(prediction);
  const answers = numbers.map((number) => answerBeside(prediction, evidence, own, number));
  return noteText(
    answers.map((answer) => notesOf(answer, given(prediction, own))),
    head,
  );
}

/** How far a printed result may be from the one worked out of printed values: rounding of both. */
function room({ values, steps }: PrintedCheck, step: PrintedCheck["steps"][number]): number {
  const numbers = new Map([...values].map(([symbol, value]) => [symbol, Number(value)]));
  const used = [...new Set(step.equation.match(/[A-Za-z]\w*/g))].filter((word) => numbers.has(word));
  const moved = used.map((word) => {
    const by = halfDigit(values.get(word) ?? "0");
    const at = (sign: 1 | -1) =>
      calculated(step.equation, new Map([...numbers, [word, (numbers.get(word) ?? 0) + sign * by]]));
    return Math.abs(at(1) - at(-1)) / 2;
  });
  expect(steps).toContain(step);
  return 1.01 * (moved.reduce((sum, one) => sum + one, 0) + halfDigit(step.result)) + 1e-12;
}

function replay(check: PrintedCheck): void {
  const numbers = new Map([...check.values].map(([symbol, value]) => [symbol, Number(value)]));
  for (const step of check.steps) {
    const what = `${check.name}: ${step.symbol} = ${step.equation}`;
    const found = calculated(step.equation, numbers);
    expect(
      Math.abs(found - Number(step.result)),
      `${what}: ${found}, printed ${step.result}`,
    ).toBeLessThanOrEqual(room(check, step));
    expect(calculated(step.numbers), what).toBeCloseTo(found, 12);
  }
}

describe("the calculator of this test", () => {
  it.each([
    ["2 + 3 * 4 ^ 2 / 6 - 1", 9],
    ["-2^2 + (3 - 5) * -2", 0],
    ["max(1, min(4, 2 * 3), (2)) - sqrt(9)", 1],
    ["1 - 20 * 0.9^(20 - 1) + (20 - 1) * 0.9^20", 1 - 20 * 0.9 ** 19 + 19 * 0.9 ** 20],
    ["1.5e-3 * 2e3", 3],
  ])("%s", (text, value) => expect(calculated(text)).toBeCloseTo(value, 12));
});

describe("the notes of the demo", () => {
  let answers: readonly Answer[] = [];
  let prediction: Prediction;
  let own: OwnAnswers;
  let text = "";
  let checks: readonly PrintedCheck[] = [];
  beforeAll(async () => {
    prediction = await predictionOf({ text: textOf("demo/petrel-oxygen-main/valve.yaml"), samples: 0 });
    own = ownOf(prediction);
    answers = answersOf(prediction, evidence, own);
    text = noteText(
      answers.map((answer) => notesOf(answer, given(prediction, own))),
      head,
    );
    checks = printedChecks(text);
  });

  it("have one for each check; every id of a check has its steps", () => {
    const all = answers.flatMap((answer) => answer.checks);
    expect(checks.map(({ name }) => name)).toEqual(all.map(({ name }) => name));
    expect(all.filter(({ id }) => makers[id] === undefined).map(({ id }) => id)).toEqual([]);
  });

  it("print every step of every check that has a value, and none that the program contradicts", () => {
    const notes = answers.flatMap((answer) => notesOf(answer, given(prediction, own)).notes);
    expect(
      notes.flatMap(({ check, disagreement }) => (disagreement === undefined ? [] : [check.id])),
    ).toEqual([]);
    const known = notes.filter(({ check }) => check.kind === "known");
    // Values, and the margin.
    expect(known.filter(({ parts }) => parts.length < 2).map(({ check }) => check.name)).toEqual([]);
    for (const { check, parts } of known) {
      const last = parts.flatMap(({ lines }) => lines).findLast(({ symbol }) => symbol === "M");
      expect(check.kind === "known" && last?.value, check.name).toBe(check.kind === "known" && check.margin);
    }
  });

  it("are worked out again from what is printed, every equation to its printed digits", () => {
    expect(checks.flatMap(({ steps }) => steps).length).toBeGreaterThan(400);
    for (const check of checks) replay(check);
  });

  it("name the field or the source of every value", () => {
    const lines = answers.flatMap((answer) =>
      notesOf(answer, given(prediction, own)).notes.flatMap(({ parts }) =>
        parts.flatMap((part) => part.lines),
      ),
    );
    for (const { symbol, origin, equation } of lines)
      expect(equation === undefined ? origin?.words : equation, symbol).toMatch(/\S/);
  });

  it("are the same as a page: each equation, with its numbers, and each value", () => {
    const notes = answers.slice(0, 2).map((answer) => notesOf(answer, given(prediction, own)));
    const page = noteHtml(notes, head)
      .replaceAll("&#39;", "'")
      .replaceAll("&gt;", ">")
      .replaceAll("&lt;", "<");
    const shown = printedChecks(noteText(notes, head));
    for (const { steps } of shown)
      for (const { equation, numbers, result } of steps) {
        expect(page).toContain(`<code>${equation}</code>`);
        expect(page).toContain(numbers);
        expect(page).toContain(result);
      }
    expect(page).not.toContain("<script");
  });

  it("are refused where the program used another number than the equation gives", () => {
    const row = prediction.nominal.row.map((value) => value * 1.001);
    const doctored = { ...prediction, nominal: { ...prediction.nominal, row } };
    const [answer] = answers;
    if (answer === undefined) throw new Error("no answer");
    const note = notesOf(answer, given(doctored, own), "installed-flow");
    expect(note.notes[0]?.disagreement).toMatch(
      /^m is 3\.96\d+ by the equation that the note prints, and 3\.96\d+ in the program$/,
    );
    const printed = noteText([note], head);
    expect(printed).toContain("The steps are not printed");
    expect(printed).not.toContain("m_free");
  });
});

describe("other cases of the demo", () => {
  it.each(["dry-ambient", "pressurised-ambient", "nitrogen"])(
    "%s: questions 1 to 3 are worked out again",
    async (caseId) => {
      const prediction = await predictionOf({
        text: textOf("demo/petrel-oxygen-main/valve.yaml"),
        caseId,
        samples: 0,
      });
      const text = textFor(prediction, [1, 2, 3]);
      expect(text).not.toContain("The steps are not printed");
      for (const check of printedChecks(text)) replay(check);
    },
  );
});

describe("a valve worked out on paper", () => {
  let checks: readonly PrintedCheck[] = [];
  beforeAll(async () => {
    checks = printedChecks(textFor(await predictionOf({ samples: 0 }), [1, 2]));
    for (const check of checks) replay(check);
  });
  const printed = (check: string, symbol: string) =>
    Number(checks.find(({ name }) => name === check)?.values.get(symbol));

  it("mass flow wide open [iec60534-2-1]: 10 bar over 9 bar of line at 5 kg/s and 36 Kv pass 5.199 kg/s", () => {
    expect(printed("Mass flow wide open", "m")).toBeCloseTo(5.199, 2);
    // 1 bar at 5 kg/s.
    expect(printed("Mass flow wide open", "R_1")).toBe(4000);
  });

  it("breakaway torque, E(1/2) = 1.3506438810 [abramowitz-stegun-1972, table 17.1]: 13.10 N m against 50.98 N m", () => {
    expect(printed("Breakaway torque", "E_g")).toBeCloseTo(1.350643881, 5);
    expect(printed("Breakaway torque", "T")).toBeCloseTo(13.1, 2);
    expect(printed("Breakaway torque", "T_av")).toBeCloseTo(50.976, 3);
  });

  it("torque margin [nasa-std-5017a, form of the rule]: 50.98 / (3 x 13.10) - 1", () => {
    expect(printed("Torque margin at each point", "TM")).toBeCloseTo(50.976 / (3 * 13.1) - 1, 3);
  });
});

it("a step holds against what the program used, or is none", () => {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "coldturn: 1\n" } });
  const steps = new Steps(dossier, []);
  steps.given("a", "a length", "length", 2, "drawing");
  expect(steps.step("b", "twice", "length", "2 * a", 4)).toBe(4);
  expect(() => steps.step("c", "thrice", "length", "3 * a", 6.1)).toThrow(Disagreement);
  expect(() => steps.step("b", "again", "length", "a")).toThrow("stands for two values");
  expect(() => steps.step("d", "of nothing", "length", "q * a")).toThrow("q is not known");
});
