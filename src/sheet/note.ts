/** A calculation note as one HTML document that needs neither network nor script. */
import {
  answerWords,
  type CheckNote,
  disagreementWords,
  howToRead,
  type NoteHead,
  type NoteLine,
  type NotePart,
  noteNumber,
  numbersIn,
  type QuestionNote,
} from "../note/index.js";
import { fileWords, hashText, html, type Inset, type Markup, pathText, prose, visible } from "./markup.js";
import { bibliography, citedKeys, sourceText } from "./sources.js";
import { styleSheet } from "./style.js";
import { dataTable } from "./table.js";
import { judgementClass, judgementMark } from "./verdict.js";

/**
 * The notes of some answers.
 * @returns a whole HTML document; same notes, same bytes
 */
export function noteHtml(notes: readonly QuestionNote[], head: NoteHead): string {
  const { valve, caseId, model, file, sha256 } = head;
  const title = `${visible(valve)}, ${visible(caseId)}: calculation note`;
  const keys = citedKeys(notes.flatMap((note) => note.notes.flatMap(sourcesOf)));
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="color-scheme" content="light dark">
<title>${title}</title>
${styleSheet(title)}
</head>
<body>
<main>
<section class="part" aria-labelledby="note-title"><h1 id="note-title">Calculation note: ${valve}, ${caseId}</h1>
<p>Model ${model}, file <code>${file}</code>, SHA-256 ${hashText(sha256)}.</p>
<p>${howToRead}</p>
</section>
${notes.map(questionPart)}${
  keys.length === 0
    ? ""
    : html`<section class="part" id="sources"><h2>Sources</h2>
${bibliography(keys)}</section>
`
}</main>
</body>
</html>
`.markup;
}

function sourcesOf({ check, parts }: CheckNote): readonly string[] {
  return [check.source, ...parts.flatMap(({ lines }) => lines.flatMap(({ origin }) => origin?.source ?? []))];
}

function questionPart({ number, question, notes, inputs, cautions }: QuestionNote): Markup {
  return html`<section class="part" id="question-${number}"><h2>${number} ${question}</h2>
${notes.length === 0 ? html`<p>No check of its own: its verdict rests on those of the other questions.</p>` : notes.map(checkPart)}${
  inputs.length === 0
    ? ""
    : dataTable({
        caption: "Declared values that the methods read",
        columns: ["field", "value", "from"],
        rows: inputs.map(({ path, written, from }) => [pathText(path), prose(written), from]),
      })
}${
  cautions.length === 0
    ? ""
    : html`<div class="caution" role="note" aria-label="Caution"><ul>${cautions.map((words) => html`<li>${words}</li>`)}</ul></div>
`
}</section>
`;
}

/** Sections of the valve file that a method reads. */
function readsWords(reads: readonly string[]): Inset {
  if (reads.length === 0) return "";
  const paths = reads.map((path, n) => html`${n === 0 ? "" : ", "}${pathText(path)}`);
  return html` It reads ${paths}, listed below the question.`;
}

function checkPart(note: CheckNote): Markup {
  const { check, parts, method, disagreement } = note;
  return html`<section class="question ${judgementClass(check.verdict)}"><h3>${check.name} <span class="margin">${judgementMark(check.verdict)}</span></h3>
<p class="sentence">${prose(answerWords(check))}</p>
<dl><dt>Check</dt><dd><code>${check.id}</code>${check.standing === "judged" ? "" : ", for information"}</dd><dt>Equation</dt><dd>${check.equation}</dd><dt>Source</dt><dd>${sourceText(check.source)}</dd></dl>
${
  disagreement === undefined
    ? ""
    : html`<p><strong>${disagreementWords(disagreement)}</strong></p>
`
}${
  method === undefined
    ? ""
    : html`<p><strong>Method.</strong> ${fileWords(method.words)}${readsWords(method.reads)}</p>
${method.control.length === 0 ? "" : dataTable({ caption: "Control", columns: ["control", "value"], rows: method.control })}`
}${parts.map((part) => partSection(part, parts))}${
  check.assumptions.length === 0
    ? ""
    : html`<h4>Taken for granted</h4><ul>${check.assumptions.map((words) => html`<li>${words}</li>`)}</ul>
`
}</section>
`;
}

function partSection({ title, words, lines }: NotePart, parts: readonly NotePart[]): Markup {
  const given = lines.filter(({ equation }) => equation === undefined);
  const steps = lines.filter(({ equation }) => equation !== undefined);
  return html`<h4>${title}</h4>
${words === undefined ? "" : html`<p>${words}</p>`}${
  given.length === 0
    ? ""
    : dataTable(
        {
          caption: `Values: ${title}`,
          columns: ["symbol", "value", "meaning", "from"],
          rows: given.map((line): readonly Inset[] => [
            html`<code>${line.symbol}</code>`,
            valueCell(line),
            line.meaning,
            originCell(line),
          ]),
        },
        "unseen",
      )
}${
  steps.length === 0
    ? ""
    : dataTable(
        {
          caption: `Steps: ${title}`,
          columns: ["symbol", "equation, and with numbers", "result", "meaning"],
          rows: steps.map((line): readonly Inset[] => [
            html`<code>${line.symbol}</code>`,
            html`<code>${line.equation ?? ""}</code><br><code>= ${numbersIn(line.equation ?? "", parts)}</code>`,
            valueCell(line),
            line.meaning,
          ]),
        },
        "unseen",
      )
}`;
}

function valueCell({ value, unit, usual }: NoteLine): Markup {
  return html`${prose(unit === "" ? noteNumber(value) : `${noteNumber(value)} ${unit}`)}${usual === "" ? "" : html` <small>${prose(usual)}</small>`}`;
}

function originCell({ origin }: NoteLine): Inset {
  if (origin === undefined) return "";
  const { path, words, source } = origin;
  return html`${path === undefined ? "" : html`${pathText(path)}: `}${words}${source === undefined ? "" : html` (${sourceText(source)})`}`;
}
