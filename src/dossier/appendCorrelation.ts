/** A further row in the list of correlations of a valve file, all else as it was, byte for byte. */
import { isMap, isScalar, isSeq, type Pair, parseDocument } from "yaml";

/** @param row  as a person would write it, `{ first: ..., second: ..., rank: 0.6 }`;  @returns the new text */
export function appendCorrelation(text: string, row: string): string {
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  const pair = pairOf(text);
  if (pair === undefined) {
    const begun = text.endsWith("\n") || text === "" ? text : `${text}${end}`;
    return `${begun}${end}correlations:${end}  - ${row}${end}`;
  }
  const list = pair.value;
  const range = isSeq(list) ? list.range : undefined;
  // A list without rows yet: the first goes below its name.
  if (!isSeq(list) || range === undefined || range === null)
    return insertedBelow(text, beginOf(pair.key), `${end}  - ${row}`);
  if (list.flow === true) {
    const close = text.lastIndexOf("]", range[1] - 1);
    const comma = list.items.length === 0 ? "" : ",";
    return `${text.slice(0, close).trimEnd()}${comma} ${row} ${text.slice(close)}`;
  }
  const lineBegin = text.lastIndexOf("\n", beginOf(list.items[0]) - 1) + 1;
  const indent = /^[ \t]*/.exec(text.slice(lineBegin))?.[0] ?? "";
  let last = range[1];
  while (/\s/.test(text[last - 1] ?? "")) last--;
  return insertedBelow(text, last, `${end}${indent}- ${row}`);
}

/** Puts a line below the one of a character, whose comment stays. */
function insertedBelow(text: string, at: number, line: string): string {
  const lineEnd = /\r?\n/.exec(text.slice(at));
  const where = lineEnd === null ? text.length : at + lineEnd.index;
  return `${text.slice(0, where)}${line}${text.slice(where)}`;
}

function pairOf(text: string): Pair | undefined {
  const { contents } = parseDocument(text, { version: "1.2", logLevel: "silent", prettyErrors: false });
  if (!isMap(contents)) return undefined;
  return contents.items.find(({ key }) => isScalar(key) && key.value === "correlations");
}

function beginOf(node: unknown): number {
  const range = (node as { range?: readonly number[] | null } | undefined)?.range;
  return range?.[0] ?? 0;
}
