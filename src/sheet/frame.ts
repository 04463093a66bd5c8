/** Head, strip of the twelve verdicts, overview, cautions and the place for the decision. */
import type { Answer } from "../question/index.js";
import { questionId } from "./answer.js";
import type { SheetContent } from "./content.js";
import { html, type Markup } from "./markup.js";
import { dataTable } from "./table.js";
import { judgementClass, judgementMark, judgementShape } from "./verdict.js";

export function headPart({ prediction, printedAt }: SheetContent, name: string): Markup {
  const { dossier, caseId, model, options } = prediction;
  const { description } = dossier.valve;
  const ofCase = dossier.valve.cases?.find(({ id }) => id === caseId)?.description;
  return html`<header class="head">
<p class="kind">Go / no-go sheet</p>
<h1>${name}</h1>
${
  description === undefined
    ? ""
    : html`<p class="about">${description}</p>
`
}<dl class="facts">
<div><dt>Case</dt><dd>${caseId}${ofCase === undefined ? "" : `: ${ofCase}`}</dd></div>
<div><dt>Printed</dt><dd><time datetime="${printedAt}">${printedAt.replace("T", " ")}</time></dd></div>
<div><dt>Model version</dt><dd>${model}</dd></div>
<div><dt>Samples</dt><dd>${options.samples} with seed ${options.seed}</dd></div>
</dl>
<p class="is">This sheet is a computed judgement: numbers of a model under the assumptions stated below, held against the limits that the valve file gives.</p>
<p class="is">It is no release. It accepts no risk and signs nothing. Whether a test goes ahead is decided by the responsible people on the stand, under local rules.</p>
</header>`;
}

/** The twelve verdicts at one glance, each a link to its question. */
export function questionStrip(answers: readonly Answer[]): Markup {
  return html`<nav class="strip" aria-label="Questions"><ol>
${answers.map(
  ({
    number,
    question,
    verdict,
  }) => html`<li><a class="${judgementClass(verdict)}" href="#${questionId(number)}"><span>${number}</span>${judgementShape(verdict)}<span class="unseen">${question} ${verdict}</span></a></li>
`,
)}</ol></nav>`;
}

export function overviewPart(answers: readonly Answer[]): Markup {
  return dataTable(
    {
      caption: "The questions and their answers",
      columns: ["question", "verdict", "answer"],
      rows: answers.map(({ number, question, verdict, sentence }) => [
        html`<a href="#${questionId(number)}">${number} ${question}</a>`,
        judgementMark(verdict),
        sentence,
      ]),
    },
    "unseen",
  );
}

export function cautionsPart(answers: readonly Answer[]): Markup {
  return html`<p>Work with this valve can hurt people. What follows is no instruction: local codes and licensed practice decide.</p>
<div class="cautions">
${answers
  .filter(({ cautions }) => cautions.length > 0)
  .map(
    ({
      number,
      question,
      cautions,
    }) => html`<div class="caution"><h3>${number} ${question}</h3><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></div>
`,
  )}</div>
`;
}

/** Lines for a pen: the program leaves them empty. */
export function decisionPart(): Markup {
  return html`<p>For the responsible people, by hand. The program writes nothing here.</p>
<dl class="lines">
<div><dt>Decision and its conditions</dt><dd></dd></div>
<div><dt>Name and role</dt><dd></dd></div>
<div><dt>Date and time</dt><dd></dd></div>
</dl>
`;
}
