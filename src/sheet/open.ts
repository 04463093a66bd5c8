/** What is open: what fails, what is thin, what is not known and what waits for it. */
import { type Answer, type Check, checkWords } from "../question/index.js";
import { questionId } from "./answer.js";
import { checkId } from "./check.js";
import { html, type Inset, type Markup } from "./markup.js";
import { dataTable } from "./table.js";
import { judgementMark } from "./verdict.js";

interface Placed {
  readonly check: Check;
  readonly number: number;
  readonly id: string;
}

export function openItems(answers: readonly Answer[]): Markup {
  const placed = answers.flatMap(({ number, checks }) =>
    checks.map((check, index): Placed => ({ check, number, id: checkId(number, index) })),
  );
  const judged = placed.filter(({ check }) => check.standing === "judged");
  const shown = placed.filter(({ check }) => check.standing === "information" && check.verdict !== "holds");
  return html`${checkList(
    "Fails",
    "No check that is judged fails.",
    judged.filter(({ check }) => check.verdict === "fails"),
  )}${checkList(
    "Thin",
    "No check that is judged is thin.",
    judged.filter(({ check }) => check.verdict === "thin"),
  )}${unknownPart(answers)}${shown.length === 0 ? "" : checkList("Outside its limit, for information alone", "", shown)}`;
}

function checkList(title: string, none: string, items: readonly Placed[]): Markup {
  return html`<h3>${title}</h3>
${
  items.length === 0
    ? html`<p>${none}</p>`
    : html`<ul class="open">
${items.map(
  ({
    check,
    number,
    id,
  }) => html`<li>${judgementMark(check.verdict)} <span><a href="#${id}">${check.name}</a> (question ${number}): ${checkWords(check)}</span></li>
`,
)}</ul>`
}
`;
}

/** Missing fields with what waits for them, then the questions that no check answers. */
function unknownPart(answers: readonly Answer[]): Markup {
  const names = new Map(answers.flatMap(({ checks }) => checks.map(({ id, name }) => [id, name])));
  const gaps = new Map<string, { readonly label: string; readonly waiting: Set<string> }>();
  for (const { gaps: own } of answers) {
    for (const { path, label, blocks } of own) {
      const gap = gaps.get(path) ?? { label, waiting: new Set<string>() };
      for (const id of blocks) gap.waiting.add(names.get(id) ?? id);
      gaps.set(path, gap);
    }
  }
  const whole = answers.filter(({ verdict, checks }) => verdict === "not known" && checks.length === 0);
  const rows = [...gaps].map(([path, { label, waiting }]): readonly Inset[] => [
    html`<code>${path}</code>`,
    label,
    [...waiting].join(", "),
  ]);
  return html`<h3>Not known</h3>
${rows.length === 0 ? html`<p>No check waits for a field or for evidence.</p>` : dataTable({ caption: "What nobody gave, and what waits for it", columns: ["field or evidence", "in words", "checks that wait for it"], rows })}${
  whole.length === 0
    ? ""
    : html`<p>Questions that nothing answers yet:</p>
<ul class="open">
${whole.map(
  ({
    number,
    question,
    sentence,
  }) => html`<li>${judgementMark("not known")} <span><a href="#${questionId(number)}">${number} ${question}</a> ${sentence}</span></li>
`,
)}</ul>`
}
`;
}
