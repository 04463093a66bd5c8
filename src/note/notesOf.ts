/** The notes of the answers: each check with its values, steps, method and margin. */
import type { Answer, Check, KnownCheck } from "../question/index.js";
import { makers } from "./makers.js";
import type { CheckNote, NotePart, QuestionNote } from "./note.js";
import { Disagreement, NoSuchSteps } from "./steps.js";
import { type NoteCase, Workings } from "./workings.js";

/** As much of an answer as its notes take. */
export type NotedAnswer = Pick<Answer, "number" | "question" | "checks" | "cautions">;

/**
 * Notes of one answer.
 * @param id  only the checks of this id; left out: all of them
 */
export function notesOf(answer: NotedAnswer, given: NoteCase, id?: string): QuestionNote {
  const of = new Workings(given);
  const { number, question, checks, cautions } = answer;
  const notes = checks
    .filter((check) => id === undefined || check.id === id)
    .map((check) => noteOf(check, number, of));
  const reads = [...new Set(notes.flatMap(({ method }) => method?.reads ?? []))];
  const inputs = reads.flatMap((section) => of.newSteps().declaredIn(section));
  return {
    number,
    question,
    notes,
    inputs: inputs.filter(({ path }, n) => inputs.findIndex((one) => one.path === path) === n),
    cautions,
  };
}

/** One check. What has no value has no steps: it says what it needs, or what was found in place of a number. */
function noteOf(check: Check, question: number, of: Workings): CheckNote {
  const none = { check, question, parts: [], method: undefined, disagreement: undefined };
  if (check.kind !== "known") return none;
  const steps = of.newSteps();
  try {
    makers[check.id]?.(steps, of, check, check.value);
    return { ...none, parts: [...steps.parts, ...marginPart(check)], method: steps.methodUsed };
  } catch (thrown) {
    if (thrown instanceof Disagreement)
      return { ...none, parts: marginPart(check), disagreement: thrown.message };
    if (!(thrown instanceof NoSuchSteps)) throw thrown;
    // A form that the steps do not replay: the value and its margin stand, the equation above them.
    return { ...none, parts: marginPart(check) };
  }
}

/** The value against its limit. */
function marginPart(check: KnownCheck): readonly NotePart[] {
  const { value, limit, margin, dimension } = check;
  const { most, least } = limit;
  const unit = check.siUnit?.replace("(a)", "") ?? "";
  const line = { unit, usual: "" } as const;
  const given = (symbol: string, meaning: string, of: number, words: string) => ({
    ...line,
    symbol,
    meaning,
    value: of,
    origin: { words },
  });
  const equation =
    most !== undefined && least !== undefined
      ? "min(X_most - X, X - X_least)"
      : most === undefined
        ? "X - X_least"
        : "X_most - X";
  return [
    {
      title: "Against the limit",
      lines: [
        given("X", `${dimension}: value of the check`, value, "result above"),
        ...(least === undefined ? [] : [given("X_least", "at least", least, limit.words)]),
        ...(most === undefined ? [] : [given("X_most", "at most", most, limit.words)]),
        ...(most === undefined && least === undefined
          ? []
          : [{ ...line, symbol: "M", meaning: "margin, positive inside", value: margin, equation }]),
      ],
    },
  ];
}
