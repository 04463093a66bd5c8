/** One question with everything its answer holds. */
import {
  type Answer,
  type Driver,
  type Gap,
  measureWords,
  requirementTitle,
  type Table,
  waitingNames,
  waiverTitle,
} from "../question/index.js";
import { checkTable } from "./check.js";
import { html, type Inset, type Markup, pathText, prose } from "./markup.js";
import { noticeList } from "./notice.js";
import { picture } from "./picture.js";
import { dataTable } from "./table.js";
import { judgementClass, judgementMark, judgementOf } from "./verdict.js";

/** Anchor of a question. */
export function questionId(number: number): string {
  return `question-${number}`;
}

/** Sentence, pictures, checks, numbers, drivers, what is not known, notices, cautions. */
export function answerSection(answer: Answer): Markup {
  const { number, question, verdict, sentence, checks, notices, cautions } = answer;
  const anchor = questionId(number);
  return html`<section class="question ${judgementClass(verdict)}" id="${anchor}" aria-labelledby="${anchor}-title">
<h3 id="${anchor}-title"><span><span class="unseen">Question ${number}: </span>${question}</span> <span class="margin"><span class="numeral" aria-hidden="true">${number}</span> ${judgementMark(verdict)}</span></h3>
<p class="sentence">${prose(sentence)}</p>
${pictures(answer)}${part("Checks", checks, () => checkTable(checks, number))}${part("Numbers", ownTables(answer), answerTables)}${part("What drives it", answer.drivers, driverList)}${part("Not known", answer.gaps, (gaps) => gapList(gaps, answer))}${noticeList(notices, "h4")}${part("", cautions, cautionList)}</section>
`;
}

/** A headed part; nothing where there is nothing to show. */
function part<T>(title: string, items: readonly T[], body: (items: readonly T[]) => Markup): Inset {
  if (items.length === 0) return "";
  return html`${
    title === ""
      ? ""
      : html`<h4>${title}</h4>
`
  }${body(items)}`;
}

function pictures({ id, number, figures }: Answer): Inset {
  if (figures.length === 0) return "";
  const one = (figure: Answer["figures"][number], index: number) =>
    picture(figure, `picture-${number}-${index + 1}`, `${id}-${figure.id}`);
  return html`<div class="pictures">
${figures.map(one)}</div>
`;
}

/** Requirements and waivers are parts of the sheet. */
function ownTables({ tables }: Answer): readonly Table[] {
  return tables.filter(({ title }) => title !== requirementTitle && title !== waiverTitle);
}

function answerTables(tables: readonly Table[]): Markup {
  const one = ({ title, columns, rows }: Table) =>
    dataTable({ caption: title, columns, rows: rows.map((cells) => cells.map(judged)) });
  return html`<div class="tables">
${tables.map(one)}</div>
`;
}

/** A cell that is a verdict or a finding gets its shape, the path of a field its places to break. */
function judged(cell: string): Inset {
  const judgement = judgementOf(cell);
  if (judgement !== undefined) return judgementMark(judgement);
  return /^[a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)+$/.test(cell) ? pathText(cell) : prose(cell);
}

function driverList(drivers: readonly Driver[]): Markup {
  const one = ({
    path,
    label,
    words,
    share,
  }: Driver) => html`<li><span class="bar" aria-hidden="true"><span style="inline-size:${Math.round(100 * Math.min(Math.max(share, 0), 1))}%"></span></span><span><strong>${label}</strong>: ${prose(words)} <small>${pathText(path)}</small></span></li>
`;
  const measures = [...new Set(drivers.map(({ measure }) => measure))];
  return html`<ul class="drivers">
${drivers.map(one)}</ul>
${measures.map(
  (measure) => html`<p><small>${prose(measureWords[measure])}</small></p>
`,
)}`;
}

function gapList(gaps: readonly Gap[], answer: Answer): Markup {
  const one = (gap: Gap) => {
    const { path, label } = gap;
    const names = waitingNames([answer], gap).join(", ");
    return html`<li>${label === path ? prose(path) : html`<strong>${label}</strong> ${pathText(path)}`}, for: ${names}</li>
`;
  };
  return html`<ul>
${gaps.map(one)}</ul>
`;
}

function cautionList(cautions: readonly string[]): Markup {
  return html`<div class="caution" role="note" aria-label="Caution"><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></div>
`;
}
