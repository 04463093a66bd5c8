/** The page that a command prints on: how wide, with which characters, with colour or without. */
import { cellsOf, plainText, wrap } from "../picture/index.js";

export interface Page {
  /** Cells across. */
  readonly columns: number;
  /** Whether more than ASCII can be shown. */
  readonly unicode: boolean;
  readonly colour: boolean;
}

/** Where text goes, as far as a page depends on it. */
export interface Stream {
  readonly isTTY?: boolean;
  readonly columns?: number;
}

/** Lines longer than this tire the eye; narrower than this no picture fits. */
const widest = 120;
const narrowest = 40;
/** A file or a pipe has no width of its own. */
const widthWithoutTerminal = 100;

/** The page of a stream in an environment. */
export function pageOf(stream: Stream, environment: NodeJS.ProcessEnv): Page {
  const isTerminal = stream.isTTY === true;
  const wish = Number(environment.COLUMNS);
  const given = isTerminal ? stream.columns : Number.isInteger(wish) && wish > 0 ? wish : undefined;
  return {
    columns: Math.min(Math.max(given ?? widthWithoutTerminal, narrowest), widest),
    unicode: !isTerminal || speaksUnicode(environment),
    colour: wantsColour(isTerminal, environment),
  };
}

/** Colour on a terminal alone, unless the environment says otherwise (NO_COLOR, FORCE_COLOR: common practice). */
function wantsColour(isTerminal: boolean, { NO_COLOR, FORCE_COLOR, TERM }: NodeJS.ProcessEnv): boolean {
  if (NO_COLOR !== undefined && NO_COLOR !== "") return false;
  if (FORCE_COLOR !== undefined && FORCE_COLOR !== "") return FORCE_COLOR !== "0";
  return isTerminal && TERM !== "dumb";
}

function speaksUnicode({ LC_ALL, LC_CTYPE, LANG, TERM, WT_SESSION }: NodeJS.ProcessEnv): boolean {
  if (TERM === "linux" || TERM === "dumb") return false;
  const locale = [LC_ALL, LC_CTYPE, LANG].find((value) => value !== undefined && value !== "");
  return WT_SESSION !== undefined || process.platform === "darwin" || /utf-?8/i.test(locale ?? "");
}

/** Terminal colours by their SGR code; the words beside them say the same. */
export function coloured(page: Page, text: string, code: number): string {
  return page.colour ? `\u001b[${code}m${text}\u001b[0m` : text;
}

const bold = 1;
export function strong(page: Page, text: string): string {
  return coloured(page, text, bold);
}

/** Cells a text takes; colour codes take none. */
export function widthOf(text: string): number {
  return cellsOf(text.replaceAll(colourCode, ""));
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: the codes that `coloured` writes
const colourCode = /\u001b\[\d+m/g;

/** Text padded to a number of cells. */
export function padded(text: string, cells: number): string {
  return text + " ".repeat(Math.max(0, cells - widthOf(text)));
}

/**
 * A paragraph, broken at spaces to the width of the page.
 *
 * @param lead  stands in front of the first line; the others are indented by its width
 */
export function paragraph(page: Page, text: string, lead = ""): readonly string[] {
  const indent = widthOf(lead);
  const lines = wrapped(text, Math.max(page.columns - indent, 20));
  return lines.map((line, index) => `${index === 0 ? lead : " ".repeat(indent)}${line}`);
}

/** Lines of a text, broken at its ends of line and at spaces to a number of cells; a number and its unit stay on one line. */
export function wrapped(text: string, cells: number): readonly string[] {
  return text
    .split("\n")
    .flatMap((line) => wrap(withUnitsGlued(line), cells, cellsOf))
    .map((line) => line.replaceAll(noBreak, " "));
}

const noBreak = "\u00a0";

/** A text in which the spaces between numbers and units, and inside `N m`, do not break. */
export function withUnitsGlued(text: string): string {
  return text
    .replaceAll(/(\d) (?=[%A-Za-z][^ ]{0,5}( |$))/g, `$1${noBreak}`)
    .replaceAll(`${noBreak}N m`, `${noBreak}N${noBreak}m`);
}

/** A command to type, on a line of its own that is not broken, so that it can be copied. */
export function typed(words: string): string {
  return `  ${words}`;
}

/** A path as a shell takes it. */
export function shellWord(path: string): string {
  return /^[\w./~+@%:,=-]+$/.test(path) ? path : `'${path.replaceAll("'", "'\\''")}'`;
}

/** Lines under a title with a blank line ahead; nothing where there are none. */
export function section(page: Page, title: string, lines: readonly string[]): readonly string[] {
  return lines.length === 0 ? [] : ["", strong(page, title), ...lines];
}

/**
 * Text as it may go to a terminal: nothing that a file or a name holds can steer it. Line feeds and
 * tabs stay, and the page's own colours.
 */
export function printable(page: Page, text: string): string {
  const clean = text.replaceAll(steering, (_, own: string | undefined) =>
    own !== undefined && page.colour ? own : "",
  );
  return page.unicode ? clean : plainText(clean);
}

const steering =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  /(\u001b\[\d+m)|[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
