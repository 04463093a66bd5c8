/** A file of an older format version, written anew in the present one; every character that no step speaks of stays. */
import { isMap, isNode, parseDocument } from "yaml";
import { Refusal } from "../fault/index.js";
import type { SourceFile } from "./document.js";
import { asCurrent, type FileForm, hazardForm, standForm, valveForm } from "./formatVersion.js";

/** The kinds of files that say their version and are written by hand, so that they can be migrated. */
export const fileForms: readonly FileForm[] = [valveForm, hazardForm, standForm];

/** What would become of a file. */
export interface MigratedFile {
  readonly from: number;
  readonly to: number;
  /** Each change, in words; the version at the head comes last. */
  readonly steps: readonly string[];
  readonly text: string;
}

/**
 * The file in the present form; undefined where it is of that form already.
 * Refuses one that cannot be read, or that is of a newer version
 */
export function migratedFile(form: FileForm, file: SourceFile): MigratedFile | undefined {
  const { parsed, text, version, steps } = asCurrent(form, file);
  if (parsed.document === undefined) throw new Refusal(parsed.faults);
  // What the version is, only its own field can say: a wrong word there is a fault like any other.
  if (version === undefined || version >= form.version) return undefined;
  const marked = withMark(text, form);
  if (marked === text) return undefined;
  return {
    from: version,
    to: form.version,
    steps: [...steps, `${form.mark}: ${form.version} says at the head of which version the file is`],
    text: marked,
  };
}

/** The text with its version in front of the first field, or behind the name that stands there blank. */
function withMark(text: string, { mark, version }: FileForm): string {
  const document = parseDocument(text, { version: "1.2", logLevel: "silent", prettyErrors: false });
  const root: unknown = document.contents;
  if (!isMap(root)) return text;
  const [first] = root.items;
  const own = root.items.find(({ key }) => isNode(key) && String(key) === mark)?.key;
  const [start, end] = rangeOf(own ?? first?.key) ?? [];
  if (start === undefined || end === undefined) return text;
  if (own !== undefined) {
    const colon = /^["']?[ \t]*:/.exec(text.slice(end))?.[0].length;
    return colon === undefined ? text : `${text.slice(0, end + colon)} ${version}${text.slice(end + colon)}`;
  }
  const indent = /[ \t]*$/.exec(text.slice(0, start))?.[0] ?? "";
  const lineEnd = text.includes("\r\n") ? "\r\n" : "\n";
  const behind = root.flow === true ? ", " : `${lineEnd}${indent}`;
  return `${text.slice(0, start)}${mark}: ${version}${behind}${text.slice(start)}`;
}

function rangeOf(node: unknown): readonly number[] | undefined {
  return isNode(node) ? (node.range ?? undefined) : undefined;
}
