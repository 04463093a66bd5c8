/** Question 12: may it go on the stand? The program lists what holds and what is open; the people there decide. */
import type { Answer, Table } from "./answer.js";
import { type Check, type Verdict, worstOf } from "./check.js";
import type { Evidence } from "./context.js";
import { hazardFinding } from "./hazardTables.js";
import type { Finding, Question, StandPart } from "./question.js";
import { standFigures } from "./standFigures.js";
import { standFinding } from "./standTables.js";
import { checkWords, listWords, probabilityWords } from "./words.js";

/** Question 12. */
export const stand: Question = {
  id: "stand",
  number: 12,
  words: "May it go on the stand?",
  answer: (context, earlier): Finding & StandPart => {
    const hazards = hazardFinding(context, earlier);
    const said = standFinding(context, earlier);
    const verdicts: readonly Verdict[] = earlier.map(({ verdict }) => verdict);
    return {
      sentence: sentence(earlier, [said.words, hazards?.sentence ?? ""]),
      checks: [],
      verdict: worstOf(hazards?.isOpen === true ? [...verdicts, "not known"] : verdicts),
      tables: [
        questionTable(earlier),
        ...said.tables,
        ...planTables(context.evidence),
        checkTable(earlier),
        ...(hazards?.tables ?? []),
      ],
      requirements: said.requirements,
      waivers: said.waivers,
      notices: earlier.flatMap(({ notices }) => notices),
      figures: standFigures(judgedOf(earlier)),
    };
  },
};

/** The runs of the plan as last made, with its day and what has changed since. */
function planTables({ plan }: Evidence): readonly Table[] {
  if (plan === undefined) return [];
  const { made, found, changed } = plan;
  const since = changed.length === 0 ? "" : `; outdated: ${listWords(changed)} changed since`;
  return [
    {
      ...found.table,
      title: `${found.table.title}, planned ${made.slice(0, 10)}, cards in ${found.cards}${since}`,
    },
  ];
}

function judgedOf(answers: readonly Answer[]): readonly Check[] {
  return answers.flatMap(({ checks }) => checks.filter(({ standing }) => standing === "judged"));
}

/** @param further what waivers, sheets and the register of hazards say; "" for nothing */
function sentence(answers: readonly Answer[], further: readonly string[]): string {
  const checks = judgedOf(answers);
  const count = (wanted: Verdict) => checks.filter(({ verdict }) => verdict === wanted).length;
  const open = answers.filter(({ verdict }) => verdict === "not known").map(({ number }) => number);
  const openWords =
    open.length === 0 ? "" : `; open in whole: question${open.length > 1 ? "s" : ""} ${open.join(", ")}`;
  const [holds, thin, fails, unknown] = [count("holds"), count("thin"), count("fails"), count("not known")];
  return `Of ${checks.length} checks ${holds} hold${holds === 1 ? "s" : ""}, ${thin} ${isOrAre(thin)} thin, ${fails} fail${fails === 1 ? "s" : ""} and ${unknown} ${isOrAre(unknown)} not known${openWords}. ${further.map((words) => (words === "" ? "" : `${words} `)).join("")}Whether it goes on the stand is for the responsible people to say.`;
}

function isOrAre(count: number): string {
  return count === 1 ? "is" : "are";
}

function questionTable(answers: readonly Answer[]): Table {
  return {
    title: "The questions",
    columns: ["question", "verdict"],
    rows: answers.map(({ number, question, verdict }) => [`${number} ${question}`, verdict]),
  };
}

function checkTable(answers: readonly Answer[]): Table {
  return {
    title: "The checks",
    columns: ["check", "verdict", "value and limit", "probability of meeting the limit"],
    rows: answers.flatMap(({ checks }) =>
      checks.map((check) => [
        check.standing === "judged" ? check.name : `${check.name} (for information)`,
        check.verdict,
        checkWords(check),
        check.kind === "unknown" || check.probability === undefined
          ? ""
          : probabilityWords(check.probability),
      ]),
    ),
  };
}
