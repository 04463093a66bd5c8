export type { RecordedRun } from "./madeRun.js";
export { type PlannedRun, planTests, type TestPlan } from "./plan.js";
export { planTable, stateWords } from "./planTable.js";
export {
  abortWords,
  expectedBandWords,
  expectedWords,
  filterWords,
  rangeWords,
  rateWords,
  uncertaintyWords,
} from "./planWords.js";
