/** Head, strip of the twelve verdicts, overview, cautions and the place for the decision. */
import type { Answer, Decision, Verdict } from "../question/index.js";
import { questionId } from "./answer.js";
import type { SheetContent } from "./content.js";
import { hashText, html, type Inset, instantText, type Markup, prose } from "./markup.js";
import { dataTable } from "./table.js";
import { judgementClass, judgementMark, judgementShape } from "./verdict.js";

/** Which valve, which case, when, and what this sheet is and is not. @param name of the valve */
export function headPart({ prediction, day }: SheetContent, name: string): Markup {
  const { dossier, caseId, model, options } = prediction;
  const { description, cases } = dossier.valve;
  const ofCase = cases?.find(({ id }) => id === caseId)?.description;
  const facts: readonly (readonly [string, Inset])[] = [
    ["Case", ofCase === undefined ? caseId : `${caseId}: ${ofCase}`],
    ["Judged for the day", day],
    ["Model version", model],
    ["Band", options.samples === 0 ? "not computed" : `${options.samples} samples, seed ${options.seed}`],
  ];
  return html`<header class="head">
<div>
<p class="kind">Go / no-go sheet</p>
<h1>${name}</h1>
${
  description === undefined
    ? ""
    : html`<p>${description}</p>
`
}</div>
<dl class="plate">${facts.map(([term, fact]) => html`<div><dt>${term}</dt><dd>${fact}</dd></div>`)}</dl>
<div class="standing">
<p><strong>What it is:</strong> a computed judgement. Numbers of a model, under the assumptions stated here, are held against the limits that the valve file gives.</p>
<p><strong>What it is not:</strong> a release. It accepts no risk and signs nothing. Whether a test goes ahead is decided by the responsible people on the stand, under local rules.</p>
${othersWords(prediction)}</div>
</header>`;
}

/** The conditions that this sheet says nothing of: one sheet judges one case. */
function othersWords({ dossier, caseId }: SheetContent["prediction"]): Markup | string {
  const others = ["duty", ...(dossier.valve.cases ?? []).flatMap(({ id }) => id ?? [])].filter(
    (id) => id !== caseId,
  );
  if (others.length === 0) return "";
  return html`<p><strong>What it does not judge:</strong> ${others.join(", ")}. Each of them is a case with pressures and temperatures of its own, and a valve that does its duty can fail there: the start before the engine burns asks for another opening than the engine that runs. <code>coldturn sheet --case</code> prints the sheet of each.</p>
`;
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

const meanings: readonly (readonly [Verdict, string])[] = [
  ["fails", "the nominal value does not meet the limit, or there is no such value"],
  ["thin", "the nominal value meets the limit, but with less probability than wanted"],
  ["not known", "an input or a piece of evidence is missing; nothing is assumed in its place"],
  ["holds", "the limit is kept with the wanted probability"],
];

/** The questions with verdict and sentence, and what the verdicts mean. */
export function overviewPart(answers: readonly Answer[]): Markup {
  return html`${dataTable(
    {
      caption: "The questions and their answers",
      columns: ["question", "verdict", "answer"],
      rows: answers.map(({ number, question, verdict, sentence }) => [
        html`<a href="#${questionId(number)}">${number} ${question}</a>`,
        judgementMark(verdict),
        prose(sentence),
      ]),
    },
    "unseen",
    "overview",
  )}<dl class="meanings">
${meanings.map(
  ([verdict, words]) => html`<div><dt>${judgementMark(verdict)}</dt><dd>${words}</dd></div>
`,
)}</dl>
<p>A question has the worst verdict of its checks, in this order.</p>
`;
}

/** All cautions in one place, for whoever reads nothing else. */
export function cautionsPart(answers: readonly Answer[]): Markup {
  const one = ({
    number,
    question,
    cautions,
  }: Answer) => html`<li><h3>${number} ${question}</h3><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></li>
`;
  return html`<p>Work with this valve can hurt people. What follows is no instruction: local codes and licensed practice decide.</p>
<ul class="caution cautions">
${answers.filter(({ cautions }) => cautions.length > 0).map(one)}</ul>
`;
}

/** What persons of a team decided, or lines for a pen: the program decides nothing. */
export function decisionPart(decisions: readonly Decision[]): Markup {
  if (decisions.length > 0) return decisionTable(decisions);
  const lines = ["Decision, with its conditions", "Name and role", "Date and time"];
  return html`<p>For the responsible people, by hand. The program writes nothing here.</p>
<ul class="lines">
${lines.map(
  (line) => html`<li>${line}</li>
`,
)}</ul>
`;
}

function decisionTable(decisions: readonly Decision[]): Markup {
  return html`<p>As two persons typed it, each on a login of their own, and as the team's database keeps it. Each stands for the sheet whose SHA-256 is named, and for no other; the program adds nothing.</p>
${dataTable(
  {
    caption: "Decisions",
    columns: ["who", "decision", "when", "reason", "sheet", "standing"],
    rows: decisions.map(({ name, login, word, at, why, sheet, sha256, standing }): readonly Inset[] => [
      html`${name} <small>login ${login}</small>`,
      word,
      instantText(at),
      why,
      html`${sheet} <small>${hashText(sha256)}</small>`,
      standing,
    ]),
  },
  "unseen",
)}`;
}
