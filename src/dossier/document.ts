/**
 * A file's text as a YAML 1.2 tree whose nodes know their place. What is no YAML, or is built to
 * exhaust the reader, is refused here; what the values mean is the business of read.ts.
 */
import { type Alias, Composer, CST, type Document, isScalar, type Node, Parser, visit } from "yaml";
import { type Fault, Refusal } from "../fault/index.js";
import { type Locator, locator } from "./position.js";

/** The deepest field of any file lies five levels down. */
const deepestNesting = 20;

/** How much a file may hold; beyond it nothing of it is read. */
export interface FileLimits {
  /** Length of its text [characters]. */
  readonly largest: number;
  /** Fields and items of lists in all. */
  readonly mostFields: number;
}

/** A valve file has some 10 kB, and with all fields and twenty cases some six hundred; this leaves room for comments. */
const valveLimits: FileLimits = { largest: 1_000_000, mostFields: 5_000 };

/** One file, as given. */
export interface SourceFile {
  /** Name shown to the user, as `valve.yaml` or a path. */
  readonly path: string;
  readonly text: string;
}

/** A file as a tree, or without one where it cannot be read. */
export interface ParsedFile {
  readonly locate: Locator;
  readonly document?: Document.Parsed;
  readonly faults: readonly Fault[];
  /** What each reference (*) stands for; a reference without its label is missing here. */
  readonly targets: ReadonlyMap<Alias, Node>;
  /** Offsets of keys that stand twice in their section; neither value counts. */
  readonly repeatedKeys: ReadonlySet<number>;
}

/** Parses a file. A tree comes with faults only where these leave it whole (a key written twice). */
export function parseFile(file: SourceFile, limits: FileLimits = valveLimits): ParsedFile {
  // A byte order mark is no character of the first line.
  const text = file.text.replace(/^\uFEFF/, "");
  const locate = locator(file.path, text);
  const failed = (...faults: Fault[]): ParsedFile => ({
    locate,
    faults,
    targets: new Map(),
    repeatedKeys: new Set(),
  });

  if (text.length > limits.largest) return failed(tooLarge(locate, text.length, limits));
  const strange = strangeCharacter(locate, text);
  if (strange !== undefined) return failed(strange);
  const tokens = [...new Parser().parse(text)];
  const exhausting = exhaustingShape(locate, tokens, limits);
  if (exhausting !== undefined) return failed(exhausting);

  const composer = new Composer({ version: "1.2", prettyErrors: false, logLevel: "silent" });
  const [document, second] = composer.compose(tokens, true, text.length);
  if (document === undefined) return failed(emptyFault(locate));
  if (second !== undefined && document.errors.length === 0) {
    const [start, end] = second.range;
    return failed(syntaxFault(locate, { code: "MULTIPLE_DOCS", message: "", pos: [start, end] }));
  }
  const repeated = document.errors.filter((error) => error.code === "DUPLICATE_KEY");
  const broken = document.errors.filter((error) => error.code !== "DUPLICATE_KEY");
  if (broken.length > 0) return failed(...broken.slice(0, 5).map((error) => syntaxFault(locate, error)));
  const tags = document.warnings.map((warning) => tagFault(locate, warning.pos));
  if (tags.length > 0) return failed(...tags);
  if (isBlank(document.contents)) return failed(emptyFault(locate));
  return {
    locate,
    document,
    targets: targetsOf(document),
    faults: repeated.map((error) => repeatedFault(locate, text, error.pos[0])),
    repeatedKeys: new Set(repeated.map((error) => error.pos[0])),
  };
}

/**
 * The values of a file as plain data.
 * Refuses one with any fault, and one with references (*): they may name themselves, and what they multiply has no bound
 */
export function plainDataOf({ document, faults, locate }: ParsedFile): unknown {
  if (document === undefined || faults.length > 0) throw new Refusal(faults);
  visit(document, {
    Alias: (_, { range }) => {
      throw new Refusal([referenceFault(locate, range ?? [0, 0, 0])]);
    },
  });
  return document.toJS();
}

function referenceFault(locate: Locator, [start, end]: readonly [number, number, number]): Fault {
  return {
    code: "record-reference",
    where: locate.place(start, end),
    found: "a reference (*) to another place of the file",
    allowed: "A record says each value where it stands.",
    mend: "Write the value out",
  };
}

function isBlank(contents: unknown): boolean {
  return contents === null || (isScalar(contents) && contents.value === null);
}

/** Follows all references in one walk; looking each up by itself would walk the file for each. */
function targetsOf(document: Document.Parsed): ReadonlyMap<Alias, Node> {
  const labelled = new Map<string, Node>();
  const targets = new Map<Alias, Node>();
  visit(document, {
    Value: (_, node) => {
      if (node.anchor !== undefined) labelled.set(node.anchor, node);
    },
    Alias: (_, alias) => {
      const target = labelled.get(alias.source);
      if (target !== undefined) targets.set(alias, target);
    },
  });
  return targets;
}

function tooLarge(locate: Locator, length: number, { largest }: FileLimits): Fault {
  return {
    code: "file-too-large",
    where: withoutSource(locate),
    found: `${Math.round(length / 1000)} kB of text`,
    allowed: `A file of the dossier has at most ${largest / 1000} kB; it holds declared values, not logs.`,
    mend: "Move measured data to a run of their own",
  };
}

/** The file alone; its first line would show nothing. */
function withoutSource(locate: Locator): Fault["where"] {
  const { file } = locate.place(0, 0);
  return file === undefined ? {} : { file };
}

function strangeCharacter(locate: Locator, text: string): Fault | undefined {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  const at = text.search(/[\uFFFD\u0000-\u0008\u000B\u000C\u000E-\u001F]/);
  if (at < 0) return undefined;
  const found = text[at] === "\uFFFD" ? "bytes that are no UTF-8 text" : "a control character";
  return {
    code: "file-not-text",
    where: locate.place(at, at + 1),
    found,
    allowed: "Files of the dossier are plain text, encoded as UTF-8.",
    mend: 'Save the file as "UTF-8" in the editor; a degree sign or a Greek letter often brings in another encoding',
  };
}

/**
 * Looks for more levels or fields than any file has, before the tree is built: the tokens are made
 * without recursion and in linear time, the tree is not.
 */
function exhaustingShape(
  locate: Locator,
  tokens: readonly CST.Token[],
  { mostFields }: FileLimits,
): Fault | undefined {
  const pending: { readonly token: CST.Token; readonly depth: number }[] = tokens.map((token) => ({
    token,
    depth: 0,
  }));
  let fields = 0;
  for (let next = pending.pop(); next !== undefined; next = pending.pop()) {
    const { token, depth } = next;
    if (depth > deepestNesting) return nestingFault(locate, token.offset);
    if (token.type === "document" && token.value !== undefined) pending.push({ token: token.value, depth });
    if (!CST.isCollection(token)) continue;
    fields += token.items.length;
    if (fields > mostFields) return tooManyFault(locate, token.offset, mostFields);
    for (const { key, value } of token.items) {
      if (key) pending.push({ token: key, depth: depth + 1 });
      if (value) pending.push({ token: value, depth: depth + 1 });
    }
  }
  return undefined;
}

function nestingFault(locate: Locator, offset: number): Fault {
  return {
    code: "file-nesting",
    where: locate.place(offset, offset + 1),
    found: `more than ${deepestNesting} levels of nesting`,
    allowed: "No field lies deeper than five levels.",
    mend: "Look for brackets that were never closed",
  };
}

function tooManyFault(locate: Locator, offset: number, mostFields: number): Fault {
  return {
    code: "file-too-many-fields",
    where: locate.place(offset, offset + 1),
    found: `more than ${mostFields} fields`,
    allowed: "A file of the dossier has some hundred fields.",
    mend: "Move measured data to a run of their own",
  };
}

function emptyFault(locate: Locator): Fault {
  return {
    code: "file-empty",
    where: withoutSource(locate),
    found: "the file holds no field",
    allowed: "A file of the dossier is a list of `name: value` lines.",
    mend: "Start from the file that `coldturn new` writes (hazards.yaml: `coldturn hazards`)",
  };
}

function repeatedFault(locate: Locator, text: string, offset: number): Fault {
  const key = /^[^\s:]+/.exec(text.slice(offset))?.[0] ?? "a name";
  return {
    code: "key-repeated",
    where: locate.place(offset, offset + key.length),
    found: `${key} stands twice in this section`,
    allowed: "Each field is given once; which of two values is meant, nobody can tell.",
    mend: "Delete one of the two",
  };
}

function tagFault(locate: Locator, [start, end]: readonly [number, number]): Fault {
  return {
    code: "yaml-tag",
    where: locate.place(start, end),
    found: "a type tag (a word after an exclamation mark)",
    allowed: "Values are plain words, numbers and strings.",
    mend: "Leave out the tag, or put the value in quotes",
  };
}

/** What a syntax error of YAML means to a person who writes a valve file. */
const syntaxWords: Readonly<
  Record<string, { readonly code?: string; readonly found: string; readonly mend: string }>
> = {
  TAB_AS_INDENT: {
    code: "yaml-tab",
    found: "a tab before the first word of the line",
    mend: "Indent with two spaces for each level",
  },
  MULTIPLE_DOCS: {
    found: "a second document begins here",
    mend: "Delete the line with three dashes; one file describes one valve",
  },
  BAD_INDENT: {
    found: "the indentation does not fit the lines above, or a bracket was never closed",
    mend: "Start every field of a section in the same column, and close each bracket",
  },
  BLOCK_AS_IMPLICIT_KEY: {
    found: "two colons in one line, or a line below it that is indented too far",
    mend: "Put each field on a line of its own, in the column of its neighbours; put a text with a colon in quotes",
  },
  MULTILINE_IMPLICIT_KEY: {
    found: "a line without a colon where a field is expected, or one that is indented too far",
    mend: "Write `name: value`, with a space behind the colon, in the column of its neighbours",
  },
  MISSING_CHAR: {
    found: "a quotation mark, colon, comma or bracket is missing",
    mend: "Close every quotation and bracket, and put a space behind each colon",
  },
  BAD_SCALAR_START: {
    found: "a value that begins with a sign that YAML keeps for itself",
    mend: "Put the value in quotes",
  },
  BAD_ALIAS: { found: "a reference (*) or label (&) without a name", mend: "Put the value in quotes" },
  UNEXPECTED_TOKEN: {
    found: "something that belongs to no field",
    mend: "Write each field as `name: value` on a line of its own, and list items with a dash and a space",
  },
};

function syntaxFault(
  locate: Locator,
  error: { readonly code: string; readonly message: string; readonly pos: readonly [number, number] },
): Fault {
  const words = syntaxWords[error.code];
  const [start, end] = error.pos;
  return {
    code: words?.code ?? "yaml-syntax",
    where: locate.place(start, Math.max(end, start + 1)),
    found: words?.found ?? `no YAML: ${error.message}`,
    allowed: "The file is YAML 1.2: `name: value` lines, sections by indentation.",
    mend: words?.mend ?? "Mend the line shown; the fields are read once the file is YAML",
  };
}
