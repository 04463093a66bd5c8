/**
 * The cards of a test plan: one HTML document, a page with the order of the runs and a page for each of them, to
 * be printed in black and white and filled in with a pen. What people set, measure and decide is left empty.
 */
import {
  abortWords,
  expectedBandWords,
  expectedWords,
  filterWords,
  type PlannedRun,
  planTable,
  rangeWords,
  rateWords,
  stateWords,
  type TestPlan,
  uncertaintyWords,
} from "../question/index.js";
import { cardStyle } from "./cardStyle.js";
import { hashText, html, type Inset, instantText, type Markup, pathText, prose, visible } from "./markup.js";

/** What cards are printed from. Same content, same bytes. */
export interface CardsContent {
  readonly plan: TestPlan;
  /** When it is printed, ISO 8601 with zone. */
  readonly printedAt: string;
}

/** The cards of a plan as a whole HTML document. */
export function cardsHtml(content: CardsContent): string {
  const { plan } = content;
  const title = titleOf(content);
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${title}</title>
${cardStyle(title)}
</head>
<body>
<main>
${overview(content)}${plan.runs.map((run) => card(run, content))}</main>
</body>
</html>
`.markup;
}

/** Stands at the foot of every page. */
function titleOf({ plan }: CardsContent): string {
  return `${visible(plan.valve ?? namelessValve)}, ${visible(plan.caseId)}: test plan`;
}

const namelessValve = "valve without a name";

/** A box for a pen: drawn where there is a style, brackets where there is none. */
const box: Markup = html`<span class="box">[ ]</span>`;
const ticked: Markup = html`<span class="box on">[x]</span>`;
/** Room for a pen. */
const blank: Markup = html`<span class="blank">${"\u00a0"}</span>`;

function overview({ plan, printedAt }: CardsContent): Markup {
  const { columns, rows } = planTable(plan);
  return html`<section class="card" id="plan">
<header><p class="kind">Test plan</p><h1>${plan.valve ?? namelessValve}</h1></header>
<p>For the decision on ${plan.caseId}. Printed ${instantText(printedAt)}, model ${plan.model}, ${bandText(plan)}.</p>
<p><strong>A plan proposes.</strong> It commands nothing, sets no redline and releases no run. Who makes a run, and whether, is decided by the responsible people under local codes and licensed practice.</p>
<h2>Runs in their order</h2>
${table(
  columns,
  rows.map((cells) =>
    cells.map((cell, i): Inset => (/^[0-9a-f]{12}$/.test(cell) && i === 5 ? hashText(cell) : prose(cell))),
  ),
)}
${list(
  "Not planned",
  plan.notPlanned.map(({ what, why }) => html`<strong>${what}</strong>: ${prose(why)}`),
)}${list(
  "Open, and closed by no run: an input, an inspection or another design does",
  plan.openElsewhere.map(
    ({ question, name, verdict, words }) =>
      html`<strong>${name}</strong> (question ${question}): ${verdict}, ${prose(words)}`,
  ),
  "dense",
)}<h2>Files</h2>
${table(
  ["file", "SHA-256"],
  plan.files.map(({ name, sha256 }) => [pathText(name), hashText(sha256)]),
)}
</section>
`;
}

function bandText({ options }: TestPlan): string {
  return options.samples === 0
    ? "nominal values alone"
    : `bands of ${options.samples} samples with seed ${options.seed}`;
}

function card(run: PlannedRun, content: CardsContent): Markup {
  const { plan } = content;
  return html`<section class="card" id="run-${run.number}" aria-labelledby="run-${run.number}-title">
<header><p class="kind">Run ${run.number} of ${plan.runs.length} <span class="stage">${run.stageWords}</span> <span class="state ${run.state === "to be made" ? "open" : run.state}">${stateWords(run)}</span></p>
<h1 id="run-${run.number}-title">${run.title}</h1></header>
${seal(run)}<div class="two">
<div>${conditions(run)}</div>
<div>${standing(run)}</div>
</div>
${derived(run)}${expected(run)}${limits(run)}${instruments(run)}${calls(run)}${foot(content)}</section>
`;
}

function conditions({ caseId, conditions: terms, strokes, hold_s }: PlannedRun): Markup {
  const rows: readonly (readonly [string, Inset])[] = [
    ["case", caseId],
    ...terms.map(({ term, words }) => [term, prose(words)] as const),
  ];
  return html`<h2>Conditions</h2>
<dl>${rows.map(([term, words]) => html`<dt>${term}</dt><dd>${words}</dd>`)}</dl>
${strokes === undefined ? "" : html`<p><strong>Strokes:</strong> ${prose(strokes.words)}.</p>`}${
  hold_s === undefined
    ? ""
    : html`<p><strong>Hold:</strong> ${unbroken(`${Math.ceil(hold_s / 60)} min`)} at least, after the gas has settled.</p>`
}`;
}

/** What was made, what it waits for, what it would close. */
function standing({ made, waitsFor, closes, narrows, state }: PlannedRun): Markup {
  return html`${list(
    "Made already",
    made.map(
      ({ id, isTicked, words }) => html`${isTicked ? ticked : box} <strong>${id}</strong>: ${prose(words)}`,
    ),
    "boxes",
  )}${list(
    state === "made" ? "A repeat waits for" : "Waits for",
    waitsFor.map((reason) => html`${box} ${prose(reason)}`),
    "boxes",
  )}${list("Would close", [
    ...closes.map(({ name, words }) => html`<strong>${name}</strong>: ${prose(words)}`),
    ...(narrows === undefined ? [] : [html`${prose(narrows)}`]),
  ])}`;
}

function derived({ derivedCase }: PlannedRun): Inset {
  if (derivedCase === undefined) return "";
  return html`<p>These conditions are derived: valve.yaml has no such case. As lines below <code>cases:</code></p>
<div class="typed">${derivedCase.map((line) => html`<p><code>${unbroken(line)}</code></p>`)}</div>
`;
}

function expected({ expected: values, kind }: PlannedRun): Inset {
  if (values.length === 0 && kind === "leak")
    return html`<h2>Expected</h2><p>Not known: no model predicts a leak, and the allowed one, or the volume that it leaves, is not given.</p>`;
  if (values.length === 0) return html`<h2>Expected</h2><p>Not known: nothing is predicted for this run.</p>`;
  return html`<h2>Expected</h2>
${table(
  ["quantity", "expected", "band", "from", "measured"],
  values.map((one) => [
    one.name,
    html`<strong>${unbroken(expectedWords(one))}</strong>`,
    unbroken(expectedBandWords(one)),
    one.from,
    blank,
  ]),
  "filled",
)}`;
}

function limits({ limits: rows }: PlannedRun): Inset {
  if (rows.length === 0)
    return html`<h2>Stop the run at</h2><p>Not known: no check gives a limit for this run.</p>`;
  return html`<h2>Stop the run at</h2>
${table(
  ["quantity", "proposed", "limit of the check (question)", "set to"],
  rows.map((one) => [
    one.quantity,
    one.limit === undefined
      ? html`<em>${abortWords(one)}</em>`
      : html`<strong>${unbroken(abortWords(one))}</strong>`,
    html`${one.check} (${one.question})${one.limit === undefined ? html`: ${prose(one.because)}` : ""}`,
    blank,
  ]),
  "filled",
)}`;
}

function instruments({ instruments: rows }: PlannedRun): Inset {
  if (rows.length === 0)
    return html`<h2>Instruments</h2><p>Not known: nothing is predicted for this run.</p>`;
  const [first] = rows;
  return html`<h2>Instruments</h2>
${table(
  ["channel", "range", "rate at least", "filter from", "u at most", "sensor, calibrated until"],
  rows.map((one) => [
    html`${box} ${one.channel}`,
    ...[rangeWords(one), rateWords(one), filterWords(one), uncertaintyWords(one)].map(unbroken),
    blank,
  ]),
  "filled instruments",
)}
<p class="note">Full scale 1.5 times the upper end of the band, and 1.1 times the limit. u: standard uncertainty, a third of that by the inputs unless said otherwise. ${first === undefined ? "" : prose(`${upperFirst(first.why)}.`)}</p>
`;
}

function calls({ cautions, hazards }: PlannedRun): Markup {
  return html`${list(
    "Call out before the run",
    cautions.map((caution) => html`${box} ${caution}`),
    "boxes columns",
  )}${list(
    "Hazards of the register that its checks speak of",
    hazards.map(
      ({ name, control, open }) =>
        html`${box} <strong>${name}</strong>${open.length === 0 ? "" : html` <em>(open)</em>`}: ${prose(control === "" ? "control not given" : control)}`,
    ),
    "boxes columns small",
  )}`;
}

function seal({ seal: state }: PlannedRun): Markup {
  return html`<div class="seal"><strong>Sealed prediction</strong> ${sealBody(state)}</div>
`;
}

function sealBody(state: PlannedRun["seal"]): Markup {
  switch (state.kind) {
    case "sealed":
      return html`SHA-256 ${hashText(state.sha256)}, made ${instantText(state.made)}`;
    case "outdated":
      return html`${box} ${prose(state.why)}. The newest, made ${instantText(state.made)}: ${hashText(state.sha256)}; <code>${state.command}</code>`;
    case "none":
      return html`${box} ${prose(state.why)}: <code>${state.command}</code>`;
    case "not asked":
      return html`${prose(state.why)}`;
  }
}

/** What people write, and what the card was made from. */
function foot({ plan, printedAt }: CardsContent): Markup {
  const lines = ["Run id, date and time", "Decision to make it, with conditions", "Names and roles"];
  return html`<ul class="lines">${lines.map((line) => html`<li>${line}</li>`)}</ul>
<p class="note">A card proposes: it commands nothing and releases no run. Local codes and licensed practice decide. Printed ${instantText(printedAt)}, model ${plan.model}, ${bandText(plan)}. ${plan.files.map(({ name, sha256 }) => html`${pathText(name)} ${hashText(sha256)} `)}</p>
`;
}

function list(title: string, items: readonly Markup[], className = ""): Inset {
  if (items.length === 0) return "";
  return html`<h2>${title}</h2>
<ul class="${className}">${items.map((item) => html`<li>${item}</li>`)}</ul>
`;
}

function table(columns: readonly string[], rows: readonly (readonly Inset[])[], className = ""): Markup {
  return html`<table class="${className}"><thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>
${rows.map(
  (cells) => html`<tr>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>
`,
)}</tbody></table>`;
}

/** A cell of numbers, on one line. */
function unbroken(text: string): string {
  return text.replaceAll(" ", "\u00a0");
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
