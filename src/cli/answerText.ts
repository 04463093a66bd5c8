/** Answers on a page: question with verdict, sentence, pictures, drivers, checks, what is missing, cautions. */
import type { UsedDefault } from "../dossier/index.js";
import { drawText } from "../picture/index.js";
import { type Answer, type Check, checkWords, measureWords, probabilityWords } from "../question/index.js";
import { waitingLines } from "./gapText.js";
import { type Page, padded, paragraph, strong, widthOf } from "./page.js";
import { tableLines } from "./table.js";
import { verdictText, verdictWidth } from "./verdictText.js";

const indent = "   ";

/** Number and question, the verdict at the right end of the line. */
export function questionLine(page: Page, { number, question, verdict }: Answer): string {
  const title = strong(page, `${String(number).padStart(2)} ${question}`);
  return `${padded(title, page.columns - verdictWidth)}${verdictText(page, verdict)}`.trimEnd();
}

/**
 * A check with its numbers: "● holds      Opening time: 203 ms (95 % between 185 and 249 ms), at most 800 ms".
 * @param isExplained  with equation, source and what it rests on below
 */
export function checkLines(page: Page, checks: readonly Check[], isExplained = false): readonly string[] {
  return checks.flatMap((check) => {
    const standing = check.standing === "judged" ? "" : " (for information)";
    const chance =
      check.kind === "unknown" || check.probability === undefined
        ? ""
        : `; probability of meeting the limit ${probabilityWords(check.probability)}`;
    const lead = `${indent}${verdictText(page, check.verdict)}  `;
    return [
      ...paragraph(page, `${check.name}${standing}: ${checkWords(check)}${chance}`, lead),
      ...(isExplained ? whyLines(page, check) : []),
    ];
  });
}

/** What a check is computed by, where that is from, and what it takes for granted. */
function whyLines(page: Page, { equation, source, assumptions }: Check): readonly string[] {
  const inner = `${indent}${" ".repeat(verdictWidth)}`;
  return [
    ...paragraph(page, equation, `${inner}by    `),
    ...paragraph(page, source, `${inner}from  `),
    ...assumptions.flatMap((words) => paragraph(page, words, `${inner}given `)),
  ];
}

/** Height of a picture [lines]: two of them with their words fit a usual window. */
const pictureRows = 22;

/** Drivers with a line of their own; the rest is named together. */
const mostDrivers = 6;

/** What of an answer is shown beside its sentence, drivers, checks, gaps and cautions. */
export interface Shown {
  readonly isDrawn: (figureId: string) => boolean;
  readonly isListed: (table: Answer["tables"][number]) => boolean;
  /** Equation, source and assumptions below each check. */
  readonly isExplained?: boolean;
}

/** A whole answer. */
export function answerLines(page: Page, answer: Answer, shown: Shown): readonly string[] {
  const { sentence, checks, notices, cautions } = answer;
  const pictures = answer.figures.filter(({ id }) => shown.isDrawn(id));
  const block = (title: string, lines: readonly string[]): readonly string[] =>
    lines.length === 0 ? [] : ["", ...paragraph(page, strong(page, title), indent), ...lines];
  const items = (mark: string, texts: readonly string[]): readonly string[] =>
    texts.flatMap((text) => paragraph(page, text, `${indent}${mark} `));
  return [
    questionLine(page, answer),
    ...paragraph(page, sentence, indent),
    ...pictures.flatMap((figure) => ["", ...pictureLines(page, figure)]),
    ...answer.tables
      .filter(shown.isListed)
      .flatMap(({ title, columns, rows }) => block(title, tableLines(page, columns, rows, indent.length))),
    ...block("What drives it", driverLines(page, answer)),
    ...block("Checks", checkLines(page, checks, shown.isExplained)),
    ...block("Not known, and the checks that wait for it", waitingLines(page, [answer], indent)),
    ...block(
      "Notices",
      items(
        "-",
        notices.map(({ field, text }) => (field === undefined ? text : `${field}: ${text}`)),
      ),
    ),
    ...block("Caution", items("!", cautions)),
  ];
}

function driverLines(page: Page, { drivers }: Answer): readonly string[] {
  const rest = drivers.slice(mostDrivers);
  const largest = rest[0];
  const measures = [...new Set(drivers.map(({ measure }) => measure))];
  return [
    ...drivers
      .slice(0, mostDrivers)
      .flatMap(({ label, share, alone }) =>
        paragraph(page, `${label}${aloneWords(alone)}`, `${indent}${percent(share)}  `),
      ),
    ...(largest === undefined
      ? []
      : [`${indent}and ${rest.length} more, each ${percent(largest.share).trim()} or less`]),
    ...measures.flatMap((measure) => paragraph(page, measureWords[measure], indent)),
  ];
}

/** " (alone 35 %)" beside a total effect. */
function aloneWords(alone: number | undefined): string {
  return alone === undefined ? "" : ` (alone ${percent(alone).trim()})`;
}

function percent(share: number): string {
  return `${String(Math.round(100 * share)).padStart(3)} %`;
}

function pictureLines(page: Page, figure: Answer["figures"][number]): readonly string[] {
  const { columns, unicode, colour } = page;
  return drawText(figure, { columns: columns - indent.length, rows: pictureRows, unicode, colour })
    .split("\n")
    .map((line) => (widthOf(line) === 0 ? "" : `${indent}${line}`));
}

/** Values that the program supplied, each with its reason. */
export function defaultLines(page: Page, defaults: readonly UsedDefault[]): readonly string[] {
  return defaults.flatMap(({ field, value, reason }) => [
    ...paragraph(page, `${field} = ${value}`, "  "),
    ...paragraph(page, reason, "      "),
  ]);
}

/** The same, short: of a long list its beginning and how many rows more there are. */
export function shortDefaultLines(page: Page, defaults: readonly UsedDefault[]): readonly string[] {
  const width = Math.max(0, ...defaults.map(({ field }) => widthOf(field)));
  const room = Math.max(page.columns - width - 4, 20);
  return tableLines(
    page,
    [],
    defaults.map(({ field, value }) => [field, shortList(value, room)]),
  );
}

/** "0 deg: 0; 10 deg: 0.005 and 9 more rows"; a text that is no list, or fits, stays whole. */
function shortList(value: string, room: number): string {
  const rows = value.split("; ");
  if (widthOf(value) <= room || rows.length === 1) return value;
  const begun = (count: number) => {
    const rest = rows.length - count;
    return `${rows.slice(0, count).join("; ")} and ${rest} more row${rest > 1 ? "s" : ""}`;
  };
  let count = 1;
  while (count + 1 < rows.length && widthOf(begun(count + 1)) <= room) count++;
  return begun(count);
}
