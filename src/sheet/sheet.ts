/**
 * The go / no-go sheet: one HTML document that needs neither network nor script. The order is that of
 * the person who leads a test: what it is, the twelve verdicts, what is open, each question, what
 * tests showed, what all of it rests on, what can hurt.
 */
import { answerSection } from "./answer.js";
import type { SheetContent } from "./content.js";
import { coveragePart } from "./coverage.js";
import { evidencePart } from "./evidence.js";
import { defaultsPart, filesPart, inputsPart, sourcesPart } from "./foundation.js";
import { cautionsPart, decisionPart, headPart, overviewPart, questionStrip } from "./frame.js";
import { html, type Markup, visible } from "./markup.js";
import { noticeList } from "./notice.js";
import { openItems } from "./open.js";
import { printSource } from "./print/print.js";
import { recordPart, recordText, sheetRecord } from "./record.js";
import { requirementsPart, waiversPart } from "./requirement.js";
import { styleSheet } from "./style.js";

/** A part of the sheet with its heading and its place in the table of contents. */
interface Part {
  readonly id: string;
  readonly title: string;
  readonly body: Markup;
}

/**
 * The sheet of one case.
 *
 * @param content  answers and what they rest on, hashes and the time of printing included
 * @returns        a whole HTML document; same content, same bytes
 */
export function sheetHtml(content: SheetContent): string {
  const { prediction, answers, defaults, files, notices, decisions = [] } = content;
  const name = prediction.dossier.valve.name ?? namelessValve;
  const title = sheetTitle(content);
  const parts: readonly Part[] = [
    { id: "overview", title: "Overview", body: overviewPart(answers) },
    { id: "requirements", title: "Requirements", body: requirementsPart(answers) },
    { id: "waivers", title: "Waivers", body: waiversPart(answers, content.isStandFaulty === true) },
    {
      id: "open",
      title: "What is open",
      body: html`${openItems(answers)}${noticeList(notices, "h3")}`,
    },
    { id: "questions", title: "The questions", body: html`${answers.map(answerSection)}` },
    { id: "coverage", title: "Coverage", body: coveragePart(answers) },
    { id: "evidence", title: "Evidence", body: evidencePart(content) },
    { id: "inputs", title: "Inputs as read", body: inputsPart(content) },
    { id: "defaults", title: "Defaults used", body: defaultsPart(defaults) },
    { id: "sources", title: "Sources", body: sourcesPart(content) },
    { id: "cautions", title: "Cautions", body: cautionsPart(answers) },
    { id: "files", title: "Files", body: filesPart(files) },
    { id: "decision", title: "Decision", body: decisionPart(decisions) },
  ];
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
<nav class="skip" aria-label="Skip"><a href="#overview">Skip to the overview</a> <a href="#open">Skip to what is open</a> <a href="#cautions">Skip to the cautions</a></nav>
${headPart(content, name)}
${questionStrip(answers)}
<nav class="contents" aria-label="Contents"><ul>${parts.map(({ id, title: words }) => html`<li><a href="#${id}">${words}</a></li>`)}</ul></nav>
<main>
${parts.map(partSection)}</main>
${recordPart(sheetRecord(content))}</body>
</html>
`.markup;
}

/** Name of the valve and its case, as title and at the foot of each page. */
function sheetTitle({ prediction: { dossier, caseId } }: SheetContent): string {
  return `${visible(dossier.valve.name ?? namelessValve)}, ${visible(caseId)}: go / no-go sheet`;
}

const namelessValve = "valve without a name";

/**
 * The same sheet for the typesetter, with the same record inside.
 *
 * @param content  as for `sheetHtml`
 */
export async function sheetPrintSource(content: SheetContent): Promise<string> {
  const text = recordText(sheetRecord(content));
  const says = "what this sheet rests on and what it found, for programs";
  return await printSource(sheetHtml(content), {
    day: content.day,
    attachments: [{ name: "sheet-record.json", text, says }],
  });
}

function partSection({ id, title, body }: Part): Markup {
  return html`<section class="part" id="${id}" aria-labelledby="${id}-title">
<h2 id="${id}-title">${title}</h2>
${body}</section>
`;
}
