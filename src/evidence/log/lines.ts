/** Lines of a log and their cells. */
import Papa from "papaparse";
import { Refusal } from "../../fault/index.js";

/** One line of the table or ahead of it; `line` counts from 1. A quoted cell may span further lines. */
export interface LogLine {
  readonly line: number;
  readonly text: string;
}

/** Delimiters by the names they have in a mapping. `spaces` is any run of blanks. */
export const delimiters = { comma: ",", semicolon: ";", tab: "\t", pipe: "|", spaces: " " } as const;
export type Delimiter = keyof typeof delimiters;

/** A line longer than this is no line of a table. */
const longestLine = 100_000;
/** Lines that one quoted cell may span; a lone quote, as in 3/4", would swallow the file. */
const mostQuotedLines = 5;

/**
 * Lines of a text, whatever ends them.
 *
 * Refuses  a line of more than 100,000 characters
 */
export function linesOf(text: string): readonly LogLine[] {
  const raw = text.split(/\r\n|\n|\r/);
  const lines: LogLine[] = [];
  for (let i = 0; i < raw.length; i++) {
    let line = raw[i] ?? "";
    if (line.length > longestLine) refuseLong(i + 1, line);
    const start = i;
    const closing = opensQuote(line) ? closingLine(raw, i) : i;
    if (closing > i) {
      i = closing;
      line = raw.slice(start, i + 1).join("\n");
    }
    lines.push({ line: start + 1, text: line });
  }
  return lines;
}

/** True if a cell begins with a quote that its line does not close. */
function opensQuote(line: string): boolean {
  return quotesIn(line) % 2 === 1 && /(^|[,;\t|])\s*"/.test(line);
}

/** The line in which a quoted cell ends; the same line if it does not end soon. */
function closingLine(raw: readonly string[], from: number): number {
  let quotes = quotesIn(raw[from] ?? "");
  for (let i = from + 1; i < Math.min(raw.length, from + 1 + mostQuotedLines); i++) {
    quotes += quotesIn(raw[i] ?? "");
    if (quotes % 2 === 0) return i;
  }
  return from;
}

function quotesIn(line: string): number {
  return line.split('"').length - 1;
}

/** Cells of a line, without blanks around them. */
export function cellsOf(text: string, delimiter: Delimiter): readonly string[] {
  const sign = delimiters[delimiter];
  const line = delimiter === "spaces" ? text.trim().replaceAll(/ +/g, " ") : text;
  if (!line.includes('"')) return line.split(sign).map((cell) => cell.trim());
  const row = Papa.parse<readonly string[]>(line, { delimiter: sign, quoteChar: '"', newline: "\n" }).data;
  // A cell that spans lines leaves one row; a stray quote can leave more.
  return row.flat().map((cell) => cell.trim());
}

function refuseLong(line: number, text: string): never {
  throw new Refusal([
    {
      code: "log-line-too-long",
      where: { line, column: 1, length: 20, sourceLine: text.slice(0, 200) },
      found: `line ${line} has ${text.length} characters`,
      allowed: `A line of a log has at most ${longestLine} characters.`,
      mend: "Check the line ends of the file; export it with one row on each line.",
    },
  ]);
}
