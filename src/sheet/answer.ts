/** One question with everything its answer holds. */
import type { Answer, Driver, Gap, Table } from "../question/index.js";
import { checkCard, checkId } from "./check.js";
import { html, type Inset, type Markup } from "./markup.js";
import { noticeList } from "./notice.js";
import { picture } from "./picture.js";
import { dataTable } from "./table.js";
import { judgementClass, judgementMark, judgementOf } from "./verdict.js";

/** Anchor of a question. */
export function questionId(number: number): string {
  return `question-${number}`;
}

export function answerSection(answer: Answer): Markup {
  const {
    id,
    number,
    question,
    verdict,
    sentence,
    figures,
    tables,
    drivers,
    checks,
    gaps,
    notices,
    cautions,
  } = answer;
  const anchor = questionId(number);
  return html`<section class="question ${judgementClass(verdict)}" id="${anchor}" aria-labelledby="${anchor}-title">
<div class="ask"><p class="numeral" aria-hidden="true">${number}</p>
<h3 id="${anchor}-title"><span class="unseen">Question ${number}: </span>${question}</h3>
${judgementMark(verdict)}</div>
<p class="sentence">${sentence}</p>
${
  figures.length === 0
    ? ""
    : html`<div class="pictures">${figures.map((figure, index) => picture(figure, `picture-${number}-${index + 1}`, `${id}-${figure.id}`))}</div>
`
}${
  checks.length === 0
    ? ""
    : html`<h4>Checks</h4>
<div class="checks">${checks.map((check, index) => checkCard(check, checkId(number, index)))}</div>
`
}${
  tables.length === 0
    ? ""
    : html`<h4>Numbers</h4>
<div class="tables">${tables.map(answerTable)}</div>
`
}${driverList(drivers)}${gapList(gaps, answer)}${noticeList(notices, "h4")}${cautionList(cautions)}</section>
`;
}

function answerTable({ title, columns, rows }: Table): Markup {
  return dataTable({ caption: title, columns, rows: rows.map((cells) => cells.map(judged)) });
}

/** A cell that is a verdict or a finding gets its shape. */
function judged(cell: string): Inset {
  const judgement = judgementOf(cell);
  return judgement === undefined ? cell : judgementMark(judgement);
}

function driverList(drivers: readonly Driver[]): Inset {
  if (drivers.length === 0) return "";
  return html`<h4>What drives it</h4>
<ul class="drivers">
${drivers.map(
  ({
    path,
    label,
    words,
    share,
  }) => html`<li><span class="bar" aria-hidden="true"><span style="inline-size:${Math.round(100 * share)}%"></span></span><strong>${label}</strong> ${words} <code>${path}</code></li>
`,
)}</ul>
`;
}

function gapList(gaps: readonly Gap[], { checks }: Answer): Inset {
  if (gaps.length === 0) return "";
  const nameOf = (id: string) => checks.find((check) => check.id === id)?.name ?? id;
  return html`<h4>Not known</h4>
<ul>
${gaps.map(
  ({
    path,
    label,
    blocks,
  }) => html`<li>${label === path ? "" : html`<strong>${label}</strong> `}<code>${path}</code> holds up ${blocks.map(nameOf).join(", ")}</li>
`,
)}</ul>
`;
}

function cautionList(cautions: readonly string[]): Inset {
  if (cautions.length === 0) return "";
  return html`<aside class="caution" aria-label="Caution"><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></aside>
`;
}
