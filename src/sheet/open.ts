/** What is open: what fails, what is thin, what is not known and what waits for it. */
import { type Answer, type Check, checkWords, waitingNames } from "../question/index.js";
import { questionId } from "./answer.js";
import { checkId } from "./check.js";
import { html, type Inset, type Markup, pathText, prose } from "./markup.js";
import { dataTable } from "./table.js";
import { judgementMark } from "./verdict.js";

/** A check with its place on the sheet. */
interface Placed {
  readonly check: Check;
  readonly number: number;
  readonly id: string;
}

/** Fails and thin first, then what nobody gave, then what counts for nothing but is worth knowing. */
export function openItems(answers: readonly Answer[]): Markup {
  const placed = answers.flatMap(({ number, checks }) =>
    checks.map((check, index): Placed => ({ check, number, id: checkId(number, index) })),
  );
  const judged = (verdict: Check["verdict"]) =>
    placed.filter(({ check }) => check.standing === "judged" && check.verdict === verdict);
  const shown = placed.filter(({ check }) => check.standing === "information" && check.verdict !== "holds");
  return html`<h3>Fails</h3>
${checkList(judged("fails"), "No check that is judged fails.")}<h3>Thin</h3>
${checkList(judged("thin"), "No check that is judged is thin.")}<h3>Not known</h3>
${gapTable(answers)}${unanswered(answers)}${
  shown.length === 0
    ? ""
    : html`<h3>For information, not counted in any verdict</h3>
${checkList(shown, "")}`
}`;
}

function checkList(items: readonly Placed[], none: string): Markup {
  if (items.length === 0)
    return html`<p>${none}</p>
`;
  return html`<ul class="open">
${items.map(
  ({
    check,
    number,
    id,
  }) => html`<li>${judgementMark(check.verdict)} <span><a href="#${id}">${check.name}</a>, question ${number}: ${prose(checkWords(check))}</span></li>
`,
)}</ul>
`;
}

/** Missing fields and pieces of evidence with the checks that wait for them. */
function gapTable(answers: readonly Answer[]): Markup {
  const gaps = new Map<string, { readonly label: string; readonly waiting: Set<string> }>();
  for (const one of answers.flatMap(({ gaps: own }) => own)) {
    const gap = gaps.get(one.path) ?? { label: one.label, waiting: new Set<string>() };
    for (const name of waitingNames(answers, one)) gap.waiting.add(name);
    gaps.set(one.path, gap);
  }
  if (gaps.size === 0)
    return html`<p>No check waits for a field or for evidence.</p>
`;
  return dataTable({
    caption: "What nobody gave, and what waits for it",
    columns: ["field or evidence", "checks that wait for it"],
    rows: [...gaps].map(([path, { label, waiting }]): readonly Inset[] => [
      label === path ? prose(path) : html`${label} <small>${pathText(path)}</small>`,
      [...waiting].join(", "),
    ]),
  });
}

/** Questions that no check answers; their own sentence says what would. */
function unanswered(answers: readonly Answer[]): Inset {
  const whole = answers.filter(({ verdict, checks }) => verdict === "not known" && checks.length === 0);
  if (whole.length === 0) return "";
  return html`<p>Not answered at all; each question says what would answer it:</p>
<ul class="open short">
${whole.map(
  ({
    number,
    question,
  }) => html`<li>${judgementMark("not known")} <a href="#${questionId(number)}">${number} ${question}</a></li>
`,
)}</ul>
`;
}
