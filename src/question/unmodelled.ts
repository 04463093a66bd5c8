/**
 * The questions that this version has no model for. Each is asked all the same, answered 'not known',
 * and says which evidence would answer it; a question leaves this file when it gets its model.
 */
import { boundaryFinding } from "./boundary.js";
import { reactionOf } from "./cautions.js";
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

const ownMotion = unmodelled(
  "impact",
  5,
  "Will its own motion break it?",
  "the torsion of each stem section and the gears' momentary torque held against stall and stop impact, or a stroke against the stop with the stem's torque measured",
);

/** Question 5: of what its motion does nothing is known yet; of the pressure boundary what boundary.ts finds. */
export const impact: Question = {
  ...ownMotion,
  answer: (context, earlier) => {
    const boundary = boundaryFinding(context);
    const { sentence } = ownMotion.answer(context, earlier);
    return { ...boundary, verdict: "not known", sentence: `${sentence} ${boundary.sentence}`.trim() };
  },
};

const ignition = unmodelled(
  "oxygen",
  8,
  "Can oxygen ignite it?",
  "each wetted part with its material, gas velocities and compression temperatures, the cleaning record and the lubricant's batch, put before an oxygen specialist",
);

/** Question 8. Without an oxidiser in duty and cases it does not apply, which is no word on anything else. */
export const oxygen: Question = {
  ...ignition,
  answer: (context, earlier) => {
    const { duty, cases = [] } = context.prediction.dossier.valve;
    const fluids = [duty, ...cases].map((given) => given?.fluid);
    if (fluids.map(reactionOf).some((reaction) => reaction === undefined || reaction === "oxidiser"))
      return ignition.answer(context, earlier);
    const names = [...new Set(fluids)].filter((name) => name !== "none");
    const subject =
      names.length === 0
        ? "the valve is dry in duty and cases"
        : `${names.join(" and ")} ${names.length > 1 ? "are" : "is"} no oxidiser`;
    return {
      sentence: `Does not apply: ${subject}. Nothing is said of an oxidiser that reaches the valve otherwise, nor of a fuel in air.`,
      checks: [],
    };
  },
};

/** Question 9. */
export const line = unmodelled(
  "line",
  9,
  "What does the line feel?",
  "a water-hammer calculation with the line's lengths, walls and branches and this valve's motion, or fast pressure records of a closing",
);

/** Question 10. */
export const start = unmodelled(
  "start",
  10,
  "How does the engine start?",
  "the volumes to fill on both sides, both valves' opening times with their bands, and records of cold-flow starts",
);
