export type { Answer, Driver, Gap, Table } from "./answer.js";
export { answerAlone, answerBeside, answersOf, firstAnswers, jointAnswer, testAnswer } from "./answers.js";
export { cautionsOf, hazardsOf } from "./cautions.js";
export {
  type Check,
  type CheckDefinition,
  type FailedCheck,
  type KnownCheck,
  type Limit,
  type UnknownCheck,
  type Verdict,
  worstOf,
  worstVerdict,
} from "./check.js";
export type { Decision, Evidence, KeptPlan } from "./context.js";
export { type Coverage, coverageOf, insteadWords, type Serving } from "./coverage.js";
export { type Hazard, type Register, registerOf } from "./hazardRegister.js";
export { historyFigure, historyTable } from "./historyFigure.js";
export { measureWords } from "./measureWords.js";
export { bestCostWords, nextFigure, nextTable } from "./nextFigures.js";
export {
  abortWords,
  expectedBandWords,
  expectedWords,
  filterWords,
  type PlannedRun,
  planTable,
  planTests,
  type RecordedRun,
  rangeWords,
  rateWords,
  stateWords,
  type TestPlan,
  uncertaintyWords,
} from "./plan/index.js";
export { nobody } from "./requirements.js";
export { scheduleFinding } from "./schedule.js";
export { seriesChecks, seriesFigures, seriesTable } from "./seriesFigures.js";
export type { EvidenceItem, Requirement, ServingCheck, Waiver, WaiverState } from "./standRecord.js";
export { decisionsTitle, requirementTitle, sheetsTitle, waiverTitle } from "./standTables.js";
export { waitingNames } from "./waitingNames.js";
export {
  checkWords,
  limitWords,
  marginWords,
  needWords,
  percentWords,
  probabilityWords,
  spreadWords,
  valueWords,
} from "./words.js";
