/** The checks of a question: value, band, limit, margin, probability, verdict, and what they rest on. */
import {
  type Check,
  limitWords,
  marginWords,
  needWords,
  percentWords,
  probabilityWords,
  spreadWords,
  valueWords,
} from "../question/index.js";
import { html, type Inset, type Markup, prose } from "./markup.js";
import { sourceText } from "./sources.js";
import { dataCell, tableAround } from "./table.js";
import { judgementClass, judgementMark } from "./verdict.js";

/** Anchor of a check. @param number of its question; @param index in its list */
export function checkId(number: number, index: number): string {
  return `check-${number}-${index + 1}`;
}

const columns = [
  "check",
  "value and band",
  "limit",
  "margin",
  "probability of meeting the limit",
  "verdict",
] as const;

/** All checks of a question, each with a second row for equation, source and assumptions. */
export function checkTable(checks: readonly Check[], number: number): Markup {
  return tableAround(
    { caption: `Checks of question ${number}`, captionLook: "unseen", columns, className: "checks" },
    checks.map((check, index) => checkRows(check, checkId(number, index))),
  );
}

function checkRows(check: Check, id: string): Markup {
  const { name, verdict, standing, equation, source, assumptions } = check;
  const cells: readonly Inset[] = [
    html`${name}${standing === "judged" ? "" : html` <small>for information</small>`}`,
    valueCell(check),
    limitCell(check),
    check.kind === "known" ? prose(marginWords(check)) : "",
    probabilityCell(check),
    judgementMark(verdict),
  ];
  return html`<tbody role="rowgroup" id="${id}" class="${judgementClass(verdict)}">
<tr role="row">${cells.map((cell, index) => dataCell(cell, columns[index] ?? "", index))}</tr>
<tr role="row" class="ground"><td role="cell" colspan="${columns.length}"><details><summary>Equation, source, assumptions<span class="unseen"> of ${name}</span></summary>
<dl><dt>Equation</dt><dd>${equation}</dd><dt>Source</dt><dd>${sourceText(source)}</dd><dt>Assumptions</dt><dd><ul>${assumptions.map((assumption) => html`<li>${assumption}</li>`)}</ul></dd></dl></details></td></tr>
</tbody>
`;
}

function valueCell(check: Check): Inset {
  if (check.kind === "unknown") return html`<span class="needs">needs ${needWords(check).join(", ")}</span>`;
  if (check.kind === "failed") return check.finding;
  const { value, band, dimension, unit } = check;
  const spread = spreadWords(check);
  return html`<strong>${prose(valueWords(value, band, dimension, unit))}</strong>${spread === "" ? "" : html` <small>${prose(spread)}</small>`}`;
}

function limitCell(check: Check): Inset {
  if (check.kind === "unknown" || check.limit === undefined) return "";
  const { limit, dimension, unit } = check;
  return html`${prose(limitWords(limit, dimension, unit))} <small>${limit.words}</small>`;
}

function probabilityCell(check: Check): Inset {
  if (check.kind === "unknown" || check.probability === undefined) return "";
  // The interval below the estimate, so that neither is broken in a narrow column.
  const [, estimate = "", interval] = /^(.*?)(?: \((.*)\))?$/.exec(probabilityWords(check.probability)) ?? [];
  const within = interval === undefined ? "" : html` <small>${prose(interval)}</small>`;
  if (Number.isNaN(check.wanted)) return html`${prose(estimate)}${within}`;
  return html`${prose(estimate)}${within} <small>wanted ${prose(percentWords(check.wanted))}</small>`;
}
