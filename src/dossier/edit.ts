/**
 * Machine edits of a hand-written file. The text is cut where a value stands and the new one put in;
 * every other character stays: comments, order, quotes, alignment, line ends.
 */
import {
  isAlias,
  isCollection,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  visit,
  type YAMLMap,
} from "yaml";
import { refuse } from "../fault/index.js";
import type { SectionField } from "./field.js";
import { asCurrent, valveForm } from "./formatVersion.js";
import { keyText, plainValue } from "./node.js";
import { fieldAt, type Step, stepsOf } from "./path.js";
import { valveFile } from "./schema.js";

/** One value to be written. */
export interface ValueEdit {
  /** As `drive.stages[0].efficiency`. Sections that are missing are made, list items are not. */
  readonly path: string;
  /** As a person would write it: `0.11 +/- 0.015`, or `{ from: 300 N, to: 500 N }`. */
  readonly value: string;
}

/**
 * The text of a valve file with other values.
 *
 * @param text     the file as it is
 * @param changes  values by path, applied one after the other
 * @returns        the new text; lines without a change are the same, byte for byte
 * Refuses         a text that is no YAML, a path that names no single value, a list item that does not
 *                 exist, a value that stands in several places by label (&) and reference (*), a file of
 *                 an older format version in which the field may have another name
 */
export function editValveText(text: string, changes: readonly ValueEdit[]): string {
  refuseOlder(text);
  return editText(valveFile, text, changes);
}

/** The same of a file with other fields. @param fields  that it may have */
export function editText(fields: SectionField, text: string, changes: readonly ValueEdit[]): string {
  const mark = text.startsWith("\uFEFF") ? "\uFEFF" : "";
  return mark + changes.reduce((so, change) => editOne(fields, so, change), text.slice(mark.length));
}

/**
 * The text of a valve file with one value left out: its name stays with nothing behind it, which reads as a
 * field that is not there, so that comments and order stay and the value can come back to its place.
 *
 * @returns the new text; the same where the field is left out already
 * Refuses  as `editValveText`
 */
export function leaveOutValue(text: string, path: string): string {
  refuseOlder(text);
  const mark = text.startsWith("\uFEFF") ? "\uFEFF" : "";
  const body = text.slice(mark.length);
  const steps = stepsToValue(valveFile, path);
  const root = rootOf(body) ?? refuseText();
  const node = nodeAt(root, steps);
  const map = nodeAt(root, steps.slice(0, -1));
  const pair = isMap(map) ? pairOf(map, String(steps.at(-1))) : undefined;
  if (isBlank(node) || !isMap(map) || pair === undefined) return text;
  const value = cutForValue(body, map, pair, node, path);
  const start = colonBehind(body, pair, path);
  // Inside braces a colon needs a space behind it.
  const needsSpace = map.flow === true && !/\s/.test(body[value.end] ?? "");
  const cut: Cut = { ...value, start, before: needsSpace ? " " : "" };
  const end = keptColumn(body, cut, "");
  const edited = `${body.slice(0, start)}${cut.before}${cut.after}${end.padding}${body.slice(end.offset)}`;
  if (!isBlank(nodeAt(rootOf(edited), steps)))
    throw new Error(`leaving out ${path} did not come out as meant`);
  return mark + edited;
}

/** Where a value goes: the characters to replace, and how it is written there. */
interface Cut {
  readonly start: number;
  readonly end: number;
  /** Text in front of the value and behind it. */
  readonly before: string;
  readonly after: string;
  /** Whether the value stands inside braces. */
  readonly context: "block" | "flow";
}

function editOne(fields: SectionField, text: string, { path, value }: ValueEdit): string {
  const steps = stepsToValue(fields, path);
  const root = rootOf(text) ?? refuseText();
  const cut = cutFor(text, root, steps, path);
  const words = valueText(value, cut.context);
  const end = keptColumn(text, cut, words);
  const edited = `${text.slice(0, cut.start)}${cut.before}${words}${cut.after}${end.padding}${text.slice(end.offset)}`;
  const standing = nodeAt(rootOf(edited), steps);
  const wanted = nodeAt(rootOf(`value: ${words}`), ["value"]);
  if (standing === undefined || wanted === undefined || !sameValue(standing, wanted)) {
    throw new Error(`the edit of ${path} to ${words} did not come out as written`);
  }
  return edited;
}

/** The steps to a single value. */
function stepsToValue(fields: SectionField, path: string): readonly Step[] {
  const steps = stepsOf(path);
  const kind = fieldAt(fields, path)?.kind;
  return steps === undefined || kind === undefined || kind === "section" || kind === "list"
    ? refusePath(path)
    : steps;
}

function rootOf(text: string): YAMLMap | undefined {
  const document = parseDocument(text, { version: "1.2", logLevel: "silent", prettyErrors: false });
  return document.errors.length === 0 && isMap(document.contents) ? document.contents : undefined;
}

function nodeOf(item: unknown): Node | undefined {
  return isScalar(item) || isCollection(item) || isAlias(item) ? item : undefined;
}

function nodeAt(root: Node | undefined, steps: readonly Step[]): Node | undefined {
  let here = root;
  for (const step of steps) {
    if (typeof step === "number") here = isSeq(here) ? nodeOf(here.items[step]) : undefined;
    else here = isMap(here) ? nodeOf(pairOf(here, step)?.value) : undefined;
  }
  return here;
}

function pairOf(map: YAMLMap, name: string): Pair | undefined {
  return map.items.find((item) => keyText(item) === name);
}

function sameValue(a: Node, b: Node): boolean {
  return JSON.stringify(plainValue(a)) === JSON.stringify(plainValue(b));
}

function isBlank(node: Node | undefined): boolean {
  return node === undefined || (isScalar(node) && node.value === null);
}

/** Follows the path as far as the file goes: the value is replaced there, or put in with what is missing. */
function cutFor(text: string, root: YAMLMap, steps: readonly Step[], path: string): Cut {
  let map = root;
  let rest = steps;
  for (;;) {
    const [name, next, ...others] = rest;
    if (typeof name !== "string") return refuseItem(path);
    const pair = pairOf(map, name);
    if (pair === undefined) return cutForNewField(text, map, rest, path);
    const node = nodeOf(pair.value);
    if (next === undefined) return cutForValue(text, map, pair, node, path);
    if (isBlank(node)) return cutForBlankSection(text, map, pair, rest.slice(1), path);
    const item = typeof next === "number" && isSeq(node) ? nodeOf(node.items[next]) : node;
    if (isAlias(node) || isAlias(item)) return refuseReference(path);
    if (!isMap(item) || (typeof next === "number" && !isSeq(node))) return refuseItem(path);
    map = item;
    rest = typeof next === "number" ? others : rest.slice(1);
  }
}

function cutForValue(text: string, map: YAMLMap, pair: Pair, node: Node | undefined, path: string): Cut {
  if (node !== undefined && !isAlias(node) && node.anchor !== undefined) return refuseReference(path);
  const context = map.flow === true ? "flow" : "block";
  const colon = colonBehind(text, pair, path);
  if (isBlank(node)) return { start: colon, end: colon, before: " ", after: "", context };
  const [start, end] = node?.range ?? [colon, colon];
  const isBlockForm = isCollection(node)
    ? node.flow !== true
    : isScalar(node) && /^BLOCK/.test(node.type ?? "");
  if (!isBlockForm) {
    const isLast = restOfLine(text, end).trim() === "";
    return { start, end, before: "", after: isCollection(node) && isLast ? commentsIn(node) : "", context };
  }
  const last = text.slice(0, end).trimEnd().length;
  return { start: colon, end: last, before: " ", after: commentsIn(node), context };
}

function restOfLine(text: string, offset: number): string {
  return /.*/.exec(text.slice(offset))?.[0] ?? "";
}

/** Comments inside a value that goes, to be kept behind the one that comes. */
function commentsIn(node: Node | undefined): string {
  if (node === undefined) return "";
  const found: string[] = [];
  visit(node, {
    Node: (_, inner) => {
      found.push(...[inner.commentBefore, inner.comment].flatMap((words) => words?.split("\n") ?? []));
    },
  });
  const words = found.map((line) => line.trim()).filter((line) => line !== "");
  return words.length === 0 ? "" : ` # ${words.join("; ")}`;
}

/** Offset behind the colon of a pair. */
function colonBehind(text: string, pair: Pair, path: string): number {
  const keyEnd = nodeOf(pair.key)?.range?.[1];
  const colon = keyEnd === undefined ? null : /^[ \t]*:/.exec(text.slice(keyEnd));
  return keyEnd === undefined || colon === null ? refuseItem(path) : keyEnd + colon[0].length;
}

/** A field that its section does not have yet: behind the last one there is. */
function cutForNewField(text: string, map: YAMLMap, steps: readonly Step[], path: string): Cut {
  const [open, close] = map.range ?? [0, 0];
  if (map.flow === true) {
    const inside = text.slice(open, close - 1).trimEnd();
    const start = open + inside.length;
    const { opening, closing } = braced(steps, path);
    const comma = inside === "{" ? " " : inside.endsWith(",") ? " " : ", ";
    const after = inside === "{" && text[start] === "}" ? `${closing} ` : closing;
    return { start, end: start, before: `${comma}${opening}`, after, context: "flow" };
  }
  const first = nodeOf(map.items[0]?.key)?.range?.[0] ?? open;
  return newLines(text, lastOffset(text, map), columnOf(text, first), steps, path);
}

/** A section that is named but blank: its first field goes below the name, or in braces inside braces. */
function cutForBlankSection(
  text: string,
  map: YAMLMap,
  pair: Pair,
  steps: readonly Step[],
  path: string,
): Cut {
  const colon = colonBehind(text, pair, path);
  if (map.flow === true) {
    const { opening, closing } = braced(steps, path);
    return { start: colon, end: colon, before: ` { ${opening}`, after: `${closing} }`, context: "flow" };
  }
  const column = columnOf(text, nodeOf(pair.key)?.range?.[0] ?? 0);
  return newLines(text, colon, column + 2, steps, path);
}

/** The remaining steps as nested braces: `stem: { diameter: ` and ` }`. */
function braced(
  steps: readonly Step[],
  path: string,
): { readonly opening: string; readonly closing: string } {
  const names = steps.map((step) => (typeof step === "string" ? step : refuseItem(path)));
  const depth = names.length - 1;
  return { opening: `${names.join(": { ")}: `, closing: " }".repeat(depth) };
}

/** The remaining steps as new lines behind the line of an offset. */
function newLines(text: string, offset: number, column: number, steps: readonly Step[], path: string): Cut {
  const names = steps.map((step) => (typeof step === "string" ? step : refuseItem(path)));
  const lineEnd = /\r?\n|$/.exec(text.slice(offset));
  const at = offset + (lineEnd?.index ?? 0);
  const eol = text.includes("\r\n") ? "\r\n" : "\n";
  const lines = names.map((name, depth) => `${eol}${" ".repeat(column + 2 * depth)}${name}:`);
  return { start: at, end: at, before: `${lines.join("")} `, after: "", context: "block" };
}

function columnOf(text: string, offset: number): number {
  return offset - (text.lastIndexOf("\n", offset - 1) + 1);
}

/** Offset of the last character that belongs to a block section, comments behind it apart. */
function lastOffset(text: string, map: YAMLMap): number {
  const last = map.items.at(-1);
  const key = nodeOf(last?.key);
  const value = nodeOf(last?.value);
  const end = isBlank(value) ? key?.range?.[1] : value?.range?.[1];
  return text.slice(0, end ?? 0).trimEnd().length;
}

/** A value as text that means the same inside braces or outside. */
function valueText(value: string, context: Cut["context"]): string {
  const plain = value.replaceAll(/\s+/g, " ").trim();
  const sample = context === "flow" ? `{ value: ${plain} }` : `value: ${plain}`;
  const read = nodeAt(rootOf(sample), ["value"]);
  const isMapping = plain.startsWith("{") && isMap(read);
  return isMapping || (isScalar(read) && plainValue(read) === plain) ? plain : JSON.stringify(plain);
}

/**
 * Where the text goes on behind an edit. A comment on the same line stays in its column where the new
 * value leaves room for it.
 */
function keptColumn(
  text: string,
  cut: Cut,
  words: string,
): { readonly offset: number; readonly padding: string } {
  const gap = /^( +)#/.exec(text.slice(cut.end))?.[1]?.length;
  if (gap === undefined || cut.before.includes("\n")) return { offset: cut.end, padding: "" };
  const grown = cut.before.length + words.length + cut.after.length - (cut.end - cut.start);
  return { offset: cut.end + gap, padding: " ".repeat(Math.max(1, gap - grown)) };
}

function refuseOlder(text: string): void {
  // Told apart without reading the file: an edit of the page waits for this.
  if (valveForm.migrations.every(({ apply }) => apply(text) === text)) return;
  const { steps, version } = asCurrent(valveForm, { path: valveForm.file, text });
  if (steps.length === 0) return;
  refuse(
    "edit-older-format",
    `the valve file is of format version ${version}: ${steps.join("; ")}`,
    "A value is written into a file of the present form alone, so that no field stands in it twice under two names.",
    "Give `coldturn migrate` with --write, which keeps a backup; then repeat the edit",
  );
}

function refusePath(path: string): never {
  return refuse(
    "edit-no-value",
    `${path} names no single value`,
    "An edit writes one value of the valve file at a time.",
    "Name the field by its path, as `drive.stages[0].efficiency`",
  );
}

function refuseText(): never {
  return refuse(
    "edit-unreadable",
    "the valve file cannot be read as it is",
    "A value can only be written into a file whose fields can be found.",
    "Mend the faults that `coldturn check` reports, then repeat the edit",
  );
}

function refuseItem(path: string): never {
  return refuse(
    "edit-no-place",
    `the file has no place for ${path}`,
    "An edit makes sections that are missing, but no items of a list: what they are, only a person knows.",
    "Write the item into the file by hand",
  );
}

function refuseReference(path: string): never {
  return refuse(
    "edit-shared",
    `the value at ${path} stands in several places, by a label (&) and a reference (*)`,
    "A change would move all of them.",
    "Write the value out where it is meant, then repeat the edit",
  );
}
