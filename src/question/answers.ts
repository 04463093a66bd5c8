/** The answers to all questions about one prediction. */
import type { JointReconciliation } from "../evidence/index.js";
import { OwnAnswers, type Prediction } from "../predict/index.js";
import type { Answer } from "./answer.js";
import { cautionsOf, hazardsOf } from "./cautions.js";
import { type Check, worstVerdict } from "./check.js";
import { type Context, contextOf, type Evidence } from "./context.js";
import { gapsOf } from "./gaps.js";
import { questions } from "./list.js";
import type { Question } from "./question.js";
import { siUnitOf } from "./siUnit.js";
import { testAgreement } from "./testAgreement.js";
import { jointSentence, jointTables } from "./testJoint.js";
import { jointFigures } from "./testJointFigures.js";
import { withFaults } from "./withFaults.js";

/**
 * Answers every question, in order.
 *
 * @param prediction  of one case
 * @param evidence    what tests have shown so far; without it question 11 is not known
 * @param own         of the same case, where they were worked out ahead
 * @param begun       the first of the answers, where they have been given
 * @returns           one answer per question; a missing input turns its own checks to not known
 */
export function answersOf(
  prediction: Prediction,
  evidence: Evidence = { reconciliations: [] },
  own?: OwnAnswers,
  begun: readonly Answer[] = [],
): readonly Answer[] {
  const context = contextOf(prediction, evidence, own);
  const answers = [...begun];
  for (const question of questions.slice(begun.length)) answers.push(answerTo(question, context, answers));
  return answers;
}

/** So many questions are answered by the strokes alone. */
const byStrokes = 3;

/** The answers that can be given as soon as the strokes are done; the parameters are those of `answersOf`. */
export function firstAnswers(prediction: Prediction, evidence: Evidence, own: OwnAnswers): readonly Answer[] {
  const context = contextOf(prediction, evidence, own);
  const answers: Answer[] = [];
  for (const question of questions.slice(0, byStrokes)) answers.push(answerTo(question, context, answers));
  return answers;
}

/** One of the questions 1 to 11 alone, by its number; the others are not worked out. */
export function answerAlone(prediction: Prediction, number: number): Answer {
  const { dossier, caseId, options } = prediction;
  return answerBeside(prediction, { reconciliations: [] }, new OwnAnswers(dossier, caseId, options), number);
}

/** One of the questions 1 to 11 alone, beside what was worked out already. @param own of the same case */
export function answerBeside(
  prediction: Prediction,
  evidence: Evidence,
  own: OwnAnswers,
  number: number,
): Answer {
  const question = questions.find((one) => one.number === number);
  if (question === undefined) throw new RangeError(`no question ${number}`);
  return answerTo(question, contextOf(prediction, evidence, own), []);
}

/** Question 11 alone, which reads no other answer. @param prediction, evidence as above */
export function testAnswer(prediction: Prediction, evidence: Evidence): Answer {
  return answerTo(testAgreement, contextOf(prediction, evidence), []);
}

/** One question alone. @param earlier answers to the questions before it */
export function answerTo(
  { id, number, words, answer }: Question,
  context: Context,
  earlier: readonly Answer[],
): Answer {
  const finding = answer(context, earlier);
  const checks = finding.checks.map((check) => withSiUnit(withFaults(context, check)));
  return {
    id,
    number,
    question: words,
    verdict: finding.verdict ?? worstVerdict(checks),
    sentence: finding.sentence,
    figures: finding.figures ?? [],
    tables: finding.tables ?? [],
    drivers: finding.drivers ?? [],
    checks,
    gaps: gapsOf(context, checks),
    notices: finding.notices ?? [],
    cautions: cautionsOf(id, hazardsOf(context.duty, context.conditions)),
    ...(finding.requirements === undefined ? {} : { requirements: finding.requirements }),
    ...(finding.waivers === undefined ? {} : { waivers: finding.waivers }),
  };
}

/**
 * What several runs together say, as an answer of question 11 about nothing else.
 * @param prediction  of one of the runs' cases
 */
export function jointAnswer(prediction: Prediction, joint: JointReconciliation): Answer {
  const context = contextOf(prediction, { reconciliations: [], joint });
  return {
    id: testAgreement.id,
    number: testAgreement.number,
    question: testAgreement.words,
    verdict: "not known",
    sentence: jointSentence(context, joint),
    figures: jointFigures(context),
    tables: jointTables(context),
    drivers: [],
    checks: [],
    gaps: [],
    notices: [],
    cautions: [],
  };
}

function withSiUnit(check: Check): Check {
  const siUnit = siUnitOf(check.dimension);
  return siUnit === undefined ? check : { ...check, siUnit };
}
