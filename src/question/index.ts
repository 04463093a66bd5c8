export type { Answer, Driver, Gap, Table } from "./answer.js";
export { answersOf } from "./answers.js";
export { cautions } from "./cautions.js";
export type {
  Check,
  CheckDefinition,
  FailedCheck,
  KnownCheck,
  Limit,
  UnknownCheck,
  Verdict,
} from "./check.js";
export type { Evidence } from "./context.js";
export { bandWords, chanceWords, checkWords, limitWords, percentWords, valueWords } from "./words.js";
