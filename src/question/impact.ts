/**
 * Question 5: will its own motion break it? What carries the torque against the peaks of its own motion
 * and against the locked rotor (strength.ts), and what keeps the pressure in (boundary.ts).
 */
import { boundaryFinding } from "./boundary.js";
import type { Finding, Question } from "./question.js";
import { strengthFinding } from "./strength.js";

/** Question 5. */
export const impact: Question = {
  id: "impact",
  number: 5,
  words: "Will its own motion break it?",
  answer: (context): Finding => {
    const strength = strengthFinding(context);
    const boundary = boundaryFinding(context);
    return {
      sentence: `${strength.sentence} ${boundary.sentence}`.trim(),
      checks: [...strength.checks, ...boundary.checks],
      figures: strength.figures,
      tables: [...strength.tables, ...boundary.tables],
      drivers: [...strength.drivers, ...boundary.drivers].toSorted((a, b) => b.share - a.share),
      notices: strength.notices,
    };
  },
};
