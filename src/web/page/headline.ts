/** The one number of an answer that is shown large: that of its worst judged check. */
import {
  type Answer,
  type Check,
  checkWords,
  limitWords,
  needWords,
  spreadWords,
  valueWords,
} from "../../question/index.js";
import type { Variant } from "../state/workbench.js";

export interface Headline {
  readonly name: string;
  /** Number with unit, or what stands in its place. */
  readonly number: string;
  readonly band: string;
  readonly limit: string;
}

/** Verdicts of answers, as a variant keeps them. */
export function verdictsOf(answers: readonly { readonly answer: Answer }[]): Variant["verdicts"] {
  return answers.map(({ answer }) => {
    const head = headlineOf(answer);
    return {
      number: answer.number,
      verdict: answer.verdict,
      words: head === undefined ? "" : `${head.name}: ${head.number}`,
    };
  });
}

/** The check that an answer's verdict comes from, or the first of them. */
export function headCheck({ checks, verdict }: Answer): Check | undefined {
  const judged = checks.filter(({ standing }) => standing === "judged");
  return (
    judged.find((check) => check.verdict === verdict && check.kind === "known") ??
    judged.find((check) => check.verdict === verdict) ??
    judged[0] ??
    checks[0]
  );
}

/** The words of a headline; of an answer without checks only its verdict is left. */
export function headlineOf(answer: Answer): Headline | undefined {
  const check = headCheck(answer);
  if (check === undefined) return undefined;
  const { name } = check;
  if (check.kind === "unknown")
    return { name, number: "not known", band: "", limit: `needs ${needWords(check).slice(0, 2).join(", ")}` };
  if (check.kind === "failed") return { name, number: "fails", band: "", limit: checkWords(check) };
  const { value, band, dimension, unit, limit } = check;
  return {
    name,
    number: valueWords(value, band, dimension, unit),
    band: spreadWords(check),
    limit: limitWords(limit, dimension, unit),
  };
}
