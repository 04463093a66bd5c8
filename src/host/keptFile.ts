/**
 * What a command found, kept as JSON under its own hash, with what it rests on. What a run showed lies
 * beside it and goes stale when the model, a file of the dossier, the run's record or its original
 * changes; then it counts as not there, as does a file that somebody has edited.
 */
import { join } from "node:path";
import { evidence } from "./evidence.js";
import { sha256 } from "./hash.js";
import { kindAt, readText } from "./readFile.js";
import type { StoredRun } from "./runFolder.js";
import { writeWhole } from "./wholeFile.js";

/** What it rests on: name and hash of each file. */
export type RestsOn = readonly { readonly name: string; readonly sha256: string }[];

/** A kind of kept file. `T` must be plain data, columns of numbers included. */
export interface Kept<T> {
  readonly fileName: string;
  readonly format: string;
  readonly write: (run: StoredRun, dossier: RestsOn, model: string, finding: T) => Promise<string>;
  /** Undefined where nothing is kept, or what is kept holds no more. */
  readonly read: (run: StoredRun, dossier: RestsOn, model: string) => Promise<T | undefined>;
}

/** Makes a kind of kept file. */
export function kept<T>(fileName: string, format: string): Kept<T> {
  return {
    fileName,
    format,
    write: async (run, dossier, model, finding) => {
      const path = join(run.folder, fileName);
      await writeKept(path, { format, model, restsOn: allFiles(run, dossier), finding });
      return path;
    },
    read: async (run, dossier, model) => {
      const stored = await readKept<T>(join(run.folder, fileName), format);
      if (stored?.model !== model) return undefined;
      const { canonicalJson } = await evidence();
      const isFresh = canonicalJson(stored.restsOn) === canonicalJson(allFiles(run, dossier));
      return isFresh ? stored.finding : undefined;
    },
  };
}

/** What was kept, and what it rests on. */
export interface Stored<T> {
  readonly format: string;
  readonly model: string;
  readonly restsOn: RestsOn;
  readonly finding: T;
}

/** Keeps what was found. The finding must be plain data, columns of numbers included. */
export async function writeKept<T>(path: string, content: Stored<T>): Promise<void> {
  const plain: unknown = JSON.parse(JSON.stringify(content, plainColumns));
  const { canonicalJson } = await evidence();
  const sealed = { sha256: sha256(canonicalJson(plain)), ...content };
  await writeWhole(path, `${JSON.stringify(sealed, plainColumns, 1)}\n`, "always");
}

/** What was kept, whether or not it still holds; undefined where there is nothing whole and unedited. */
export async function readKept<T>(path: string, format: string): Promise<Stored<T> | undefined> {
  if ((await kindAt(path)) !== "file") return undefined;
  const { text } = await readText(path);
  return parsed<T>(text, format, await evidence());
}

function allFiles({ file, record }: StoredRun, dossier: RestsOn): RestsOn {
  return [
    ...dossier,
    { name: "run.yaml", sha256: file.sha256 },
    { name: record.original.file, sha256: record.original.sha256 },
  ];
}

/** The content, if it is one and nobody has edited it. */
function parsed<T>(
  text: string,
  format: string,
  { canonicalJson, isNestedDeeply }: Awaited<ReturnType<typeof evidence>>,
): Stored<T> | undefined {
  try {
    const plain: unknown = JSON.parse(text);
    if (typeof plain !== "object" || plain === null || !("sha256" in plain) || isNestedDeeply(plain))
      return undefined;
    const { sha256: seal, ...content } = plain;
    if (sha256(canonicalJson(content)) !== seal || !("format" in content) || content.format !== format)
      return undefined;
    // Whole and unedited, so it is what this program wrote.
    return JSON.parse(JSON.stringify(content), withColumns) as Stored<T>;
  } catch (thrown) {
    if (thrown instanceof SyntaxError) return undefined;
    throw thrown;
  }
}

function plainColumns(_: string, value: unknown): unknown {
  return value instanceof Float64Array ? { column: [...value] } : value;
}

function withColumns(_: string, value: unknown): unknown {
  if (typeof value !== "object" || value === null) return value;
  // JSON has no NaN: in a list of numbers a gap was written as null.
  if (Array.isArray(value)) return value.map((item: unknown) => item ?? Number.NaN);
  if ("column" in value && Array.isArray(value.column) && Object.keys(value).length === 1)
    return Float64Array.from(value.column, Number);
  return value;
}
