/**
 * What a question is. To add one, or to give one a model:
 *   1. write src/question/<question>.ts with a `Question`: its words and the function that answers it
 *      from a context (never from a file, a clock or a random number);
 *   2. add its line to the list in list.ts;
 *   3. add its cautions to cautions.ts, the rows of its checks to docs/checks.md, and its tests.
 */
import type { Notice } from "../fault/index.js";
import type { Figure } from "../picture/index.js";
import type { Answer, Driver, Table } from "./answer.js";
import type { Check, Verdict } from "./check.js";
import type { Context } from "./context.js";

/** What a question itself says; the frame of the answer is made around it. */
export interface Finding {
  readonly sentence: string;
  readonly checks: readonly Check[];
  readonly figures?: readonly Figure[];
  readonly tables?: readonly Table[];
  readonly drivers?: readonly Driver[];
  readonly notices?: readonly Notice[];
  /** Where the checks alone do not make the verdict. */
  readonly verdict?: Verdict;
}

/** What question 12 says besides. */
export type StandPart = Pick<Answer, "requirements" | "waivers">;

/** One question an engineer asks of a valve. */
export interface Question {
  readonly id: string;
  readonly number: number;
  /** As the engineer asks it. */
  readonly words: string;
  /** @param earlier answers to the questions before it in the list */
  readonly answer: (context: Context, earlier: readonly Answer[]) => Finding & StandPart;
}
