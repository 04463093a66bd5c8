/** The questions, in the order in which an engineer asks them. */
import { cold } from "./cold.js";
import { flow } from "./flow.js";
import { impact } from "./impact.js";
import { opening } from "./opening.js";
import { oxygen } from "./oxygen.js";
import type { Question } from "./question.js";
import { stand } from "./stand.js";
import { start } from "./start.js";
import { line } from "./surge.js";
import { testAgreement } from "./testAgreement.js";
import { throttling } from "./throttling.js";
import { trapped } from "./trapped.js";
import { turning } from "./turning.js";

/** Every question; an answer may read those before it. */
export const questions: readonly Question[] = [
  flow,
  turning,
  opening,
  throttling,
  impact,
  cold,
  trapped,
  oxygen,
  line,
  start,
  testAgreement,
  stand,
];
