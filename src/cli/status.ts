/** The exit status of answers. */
import type { Answer } from "../question/index.js";

/**
 * 0 where every check that is judged holds, else 1: a check that is not known does not hold. A
 * question for which there is no check yet does not count; it is printed as not known.
 */
export function answersStatus(answers: readonly Pick<Answer, "checks">[]): 0 | 1 {
  const judged = answers.flatMap(({ checks }) => checks.filter(({ standing }) => standing === "judged"));
  return judged.length > 0 && judged.every(({ verdict }) => verdict === "holds") ? 0 : 1;
}
