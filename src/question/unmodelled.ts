/**
 * The questions that this version has no model for. Each is asked all the same, answered 'not known',
 * and says which evidence would answer it; a question leaves this file when it gets its model.
 */
import type { Question } from "./question.js";

function unmodelled(id: string, number: number, words: string, evidence: string): Question {
  return {
    id,
    number,
    words,
    answer: () => ({
      sentence: `Not known: this version has no model for it. What would answer it: ${evidence}.`,
      checks: [],
    }),
  };
}

/** Question 10. */
export const start = unmodelled(
  "start",
  10,
  "How does the engine start?",
  "the volumes to fill on both sides, both valves' opening times with their bands, and records of cold-flow starts",
);
