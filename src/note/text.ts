/** A note as Markdown: a table of the values, then each equation with its numbers and its result. */
import {
  type Check,
  checkWords,
  limitWords,
  needWords,
  percentWords,
  probabilityWords,
} from "../question/index.js";
import { withNumbers } from "./expression.js";
import type { CheckNote, NoteLine, NoteMethod, NotePart, QuestionNote } from "./note.js";
import { noteNumber } from "./number.js";

/** What stands above the notes. */
export interface NoteHead {
  readonly valve: string;
  readonly caseId: string;
  readonly model: string;
  readonly file: string;
  readonly sha256: string;
}

/** How a note is to be read, for every form of it. */
export const howToRead =
  "Every number is in coherent SI units and has seven digits, so that each equation can be worked out as it stands; what is rounded on the way may move the last ones. Nominal values: what is uncertain has its band in the answer. A value has its field of the valve file, or the data it is from; a result its equation. Where an integration or an equation of state gives the number, its method and residuals stand here, and an estimate by hand beside it.";

/** @returns a whole Markdown document */
export function noteText(notes: readonly QuestionNote[], head: NoteHead): string {
  const { valve, caseId, model, file, sha256 } = head;
  return `${[
    `# Calculation note: ${valve}, ${caseId}`,
    "",
    `Model ${model}, file \`${file}\`, SHA-256 \`${sha256}\`.`,
    "",
    howToRead,
    ...notes.flatMap(questionLines),
  ].join("\n")}\n`;
}

function questionLines({ number, question, notes, inputs, cautions }: QuestionNote): readonly string[] {
  return [
    "",
    `## ${number} ${question}`,
    ...(notes.length === 0
      ? ["", "No check of its own: its verdict rests on those of the other questions."]
      : []),
    ...notes.flatMap(checkLines),
    ...inputLines(inputs),
    ...(cautions.length === 0 ? [] : ["", "**Cautions**", "", ...cautions.map((words) => `- ${words}`)]),
  ];
}

function checkLines(note: CheckNote): readonly string[] {
  const { check, parts, method, disagreement } = note;
  return [
    "",
    `### ${check.name}`,
    "",
    `- check: \`${check.id}\`, ${verdictWords(check)}`,
    `- equation: ${code(check.equation)}`,
    `- source: ${check.source}`,
    `- answer: ${answerWords(check)}`,
    ...(disagreement === undefined ? [] : ["", disagreementWords(disagreement)]),
    ...(method === undefined ? [] : methodLines(method)),
    ...parts.flatMap((part) => partLines(part, parts)),
    ...(check.assumptions.length === 0
      ? []
      : ["", "Taken for granted:", "", ...check.assumptions.map((words) => `- ${words}`)]),
  ];
}

/** What is said in place of steps that do not give what the program used. */
export function disagreementWords(words: string): string {
  return `The steps are not printed: ${words}. This is a defect of the program; please report it with the dossier.`;
}

export function verdictWords(check: Check): string {
  return check.standing === "judged" ? check.verdict : `${check.verdict}, for information`;
}

/** Value, band, limit and probability in one line. */
export function answerWords(check: Check): string {
  if (check.kind === "unknown") return `not known: needs ${needWords(check).join(", ")}`;
  if (check.kind === "failed") {
    const { limit, dimension, unit, finding } = check;
    return limit === undefined ? finding : `${finding}; limit ${limitWords(limit, dimension, unit)}`;
  }
  const { probability, wanted } = check;
  const chance =
    probability === undefined
      ? ""
      : `; probability of meeting the limit ${probabilityWords(probability)}${Number.isNaN(wanted) ? "" : `, wanted ${percentWords(wanted)}`}`;
  return `${checkWords(check)} (${check.limit.words})${chance}`;
}

function methodLines({ words, control, reads }: NoteMethod): readonly string[] {
  return [
    "",
    `**Method.** ${words}${reads.length === 0 ? "" : ` It reads ${reads.map(code).join(", ")}, listed below the question.`}`,
    ...(control.length === 0
      ? []
      : ["", "| control | value |", "|---|---|", ...control.map((cells) => row(cells))]),
  ];
}

/** The declared values that the methods of a question read. */
function inputLines(inputs: QuestionNote["inputs"]): readonly string[] {
  if (inputs.length === 0) return [];
  return [
    "",
    "### Declared values that the methods read",
    "",
    "| field | value | from |",
    "|---|---|---|",
    ...inputs.map(({ path, written, from }) => row([code(path), written, from])),
  ];
}

function partLines({ title, words, lines }: NotePart, parts: readonly NotePart[]): readonly string[] {
  const given = lines.filter(({ equation }) => equation === undefined);
  const steps = lines.filter(({ equation }) => equation !== undefined);
  return [
    "",
    `**${title}**`,
    ...(words === undefined ? [] : ["", words]),
    ...(given.length === 0
      ? []
      : [
          "",
          "| symbol | value | unit | as usual | meaning | from |",
          "|---|---|---|---|---|---|",
          ...given.map(givenRow),
        ]),
    ...(steps.length === 0 ? [] : ["", "```text", ...steps.flatMap((step) => stepLines(step, parts)), "```"]),
  ];
}

function givenRow({ symbol, value, unit, usual, meaning, origin }: NoteLine): string {
  const source = origin?.source === undefined ? "" : ` (${origin.source})`;
  const path = origin?.path === undefined ? "" : `${code(origin.path)}: `;
  return row([symbol, noteNumber(value), unit, usual, meaning, `${path}${origin?.words ?? ""}${source}`]);
}

/** The equation in symbols, with its numbers, and its result. */
function stepLines(step: NoteLine, parts: readonly NotePart[]): readonly string[] {
  const { symbol, equation = "", value, unit, usual, meaning } = step;
  const result = `${noteNumber(value)}${unit === "" ? "" : ` ${unit}`}`;
  return [
    `${symbol} = ${equation}`,
    `    = ${numbersIn(equation, parts)}`,
    `    = ${result}`,
    `    ${meaning}${usual === "" ? "" : `: ${usual}`}`,
  ];
}

/** The right side of an equation with the printed values of its symbols. */
export function numbersIn(equation: string, parts: readonly NotePart[]): string {
  const values = new Map(
    parts.flatMap(({ lines }) => lines.map(({ symbol, value }) => [symbol, value] as const)),
  );
  return withNumbers(equation, (symbol) => {
    const text = noteNumber(values.get(symbol) ?? Number.NaN);
    return /^[\d.]+$/.test(text) ? text : `(${text})`;
  });
}

function row(cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
}

function code(text: string): string {
  return `\`${text}\``;
}
