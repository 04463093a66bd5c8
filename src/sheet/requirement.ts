/** The requirements with the checks that serve them, and the waivers, as question 12 has them on record. */
import { type Answer, nobody, type Requirement, type ServingCheck, type Waiver } from "../question/index.js";
import { checkId } from "./check.js";
import { html, type Inset, type Markup, pathText, prose } from "./markup.js";
import { dataCell, dataTable, tableAround } from "./table.js";
import { judgementClass, judgementMark } from "./verdict.js";

const columns = [
  "check",
  "value and band",
  "limit",
  "margin",
  "verdict",
  "evidence",
  "open, and who owes it",
] as const;

/** Each requirement with its checks below it. */
export function requirementsPart(answers: readonly Answer[]): Markup {
  const requirements = answers.flatMap((answer) => answer.requirements ?? []);
  if (requirements.length === 0)
    return html`<p>None: no check is judged in these conditions.</p>
`;
  return html`<p>What the valve file asks for, then the rules of the questions. A check that serves several requirements stands under each.</p>
${tableAround(
  {
    caption: "Requirements and the checks that serve them",
    captionLook: "unseen",
    columns,
    className: "checks",
  },
  requirements.map(requirementRows),
)}`;
}

function requirementRows({ name, field, asked, verdict, checks }: Requirement): Markup {
  const what = field === undefined ? "" : html` ${pathText(field)}`;
  const typed = asked === "" ? "" : html`: ${prose(asked)}`;
  return html`<tbody role="rowgroup" class="${judgementClass(verdict)}">
<tr role="row"><th scope="rowgroup" role="rowheader" colspan="${columns.length}">${name}${what}${typed}</th></tr>
${checks.map(checkRow)}</tbody>
`;
}

function checkRow(check: ServingCheck): Markup {
  const { name, question, index, verdict, value, band, limit, margin, evidence, open, owner, waiver } = check;
  const mark = judgementMark(verdict);
  const cells: readonly Inset[] = [
    html`<a href="#${checkId(question, index)}">${name}</a>`,
    band === "" ? prose(value) : html`${prose(value)} <small>${prose(band)}</small>`,
    prose(limit),
    prose(margin),
    waiver?.state === "stands"
      ? html`${mark} <small>waived by ${waiver.who} until ${waiver.expires}</small>`
      : mark,
    prose(evidence.map(({ words }) => words).join("; ")),
    open.length === 0 ? "" : html`${prose(open.join("; "))} <small>owed by: ${owner}</small>`,
  ];
  return html`<tr role="row" class="${judgementClass(verdict)}">${cells.map((cell, at) => dataCell(cell, columns[at] ?? "", at))}</tr>
`;
}

/** What is waived, by whom and until when; a waiver that does not count says why. */
export function waiversPart(answers: readonly Answer[], isFaulty: boolean): Markup {
  const waivers = answers.flatMap((answer) => answer.waivers ?? []);
  const faulty = isFaulty
    ? html`<p><strong>stand.yaml has faults, told under what is open: what it waives, and who owes what, is not known as a whole.</strong></p>
`
    : "";
  if (waivers.length === 0)
    return isFaulty
      ? html`${faulty}`
      : html`<p>None: no check is waived in these conditions.</p>
`;
  return html`${faulty}<p>A waiver changes no verdict: it says that the responsible people know of it and why they go on.</p>
${dataTable(
  {
    caption: "Waivers",
    columns: ["check", "counts", "waived", "reason", "who", "date", "expires"],
    rows: waivers.map(waiverCells),
  },
  "unseen",
)}`;
}

function waiverCells({ check, name = check, waived, reason, who, date, expires, state, why }: Waiver) {
  return [
    name,
    state === "stands" ? "yes" : html`no, ${state} <small>${prose(why)}</small>`,
    prose(waived.value === "" ? waived.verdict : `${waived.verdict}, up to ${waived.value}`),
    reason,
    who === "" ? nobody : who,
    date,
    expires,
  ] satisfies readonly Inset[];
}
