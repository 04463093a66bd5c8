/** What the checks of a sheet cover: every consideration and every failure mode of data/checklists, gaps included. */
import { type Answer, coverageOf, insteadWords, type Serving, worstOf } from "../question/index.js";
import { checkId } from "./check.js";
import { fileWords, html, type Inset, type Markup } from "./markup.js";
import { dataTable } from "./table.js";
import { judgementMark, judgementShape } from "./verdict.js";

export function coveragePart(answers: readonly Answer[]): Markup {
  const { design, failures } = coverageOf(answers);
  return html`<p>Each check declares what it serves. That a check holds does not rule a failure mode out: it is one margin, on its assumptions.</p>
${dataTable({
  caption: "Design considerations",
  columns: ["topic", "consideration", "verdict", "checks"],
  rows: design.map(({ topic, name, servedBy }) => [
    topic,
    name,
    judgementMark(worstOf(servedBy.map((one) => one.verdict))),
    servedBy.length === 0 ? html`<strong>gap: no check of this case</strong>` : links(servedBy),
  ]),
})}${dataTable({
  caption: "Failure modes",
  columns: ["failure mode", "checks", "what no check computes"],
  rows: failures.map(({ name, servedBy, leaves, instead = [] }) => [
    name,
    servedBy.length === 0 ? html`<strong>gap: no check of this case</strong>` : links(servedBy),
    left(leaves, instead.map(insteadWords)),
  ]),
})}`;
}

/** Each check with the shape of its verdict. */
function links(servedBy: readonly Serving[]): Inset {
  return servedBy.map(
    ({ name, question, place, verdict }, n) =>
      html`${n === 0 ? "" : ", "}<a href="#${checkId(question, place)}">${judgementShape(verdict)}<span class="unseen">${verdict}: </span>${name}</a>`,
  );
}

function left(leaves: string | undefined, instead: readonly string[]): Inset {
  if (leaves === undefined && instead.length === 0) return "";
  const beside =
    instead.length === 0
      ? ""
      : html` <small>Beside it: ${instead.map((words, n) => html`${n === 0 ? "" : "; "}${fileWords(words)}`)}.</small>`;
  return html`${leaves === undefined ? "" : fileWords(leaves)}${beside}`;
}
