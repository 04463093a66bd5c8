/**
 * Format versions of the hand-written files, and the steps that lead from one to the next. A file names its
 * version at its head (`coldturn: 1`); one without the name is of version 0, from before it was settled.
 *
 * A file of an older version is read as if its steps were done and says so; it is written anew on request
 * alone (`coldturn migrate`). Of a newer version nothing is read: a name may mean something else there.
 *
 * To change the form of a file so that old ones read otherwise:
 *   1. Raise `version` of its form here, and the bounds of its field in the schema.
 *   2. Add a migration from the version before to `migrations`, at the end. It must leave every character that
 *      it does not speak of, and give the same text where nothing of it applies.
 *   3. Put a file of the old version into test/dossier/formats/, with the file that it becomes.
 */
import { isMap, isScalar, parseDocument } from "yaml";
import type { Fault, Notice, Place } from "../fault/index.js";
import { type ParsedFile, parseFile, type SourceFile } from "./document.js";
import { scalarText } from "./node.js";

/** One step from a version to the next. */
export interface Migration {
  /** The version that it starts from; it leads to the next one. */
  readonly from: number;
  /** What it does, for the person whose file it is. */
  readonly says: string;
  readonly apply: (text: string) => string;
}

/** How a kind of file tells its version. */
export interface FileForm {
  /** Its name in the folder of a dossier. */
  readonly file: string;
  /** The field that holds the version. */
  readonly mark: string;
  /** The version that this program writes. */
  readonly version: number;
  /** In the order in which they are done. */
  readonly migrations: readonly Migration[];
}

export const valveForm: FileForm = {
  file: "valve.yaml",
  mark: "coldturn",
  version: 1,
  migrations: [
    {
      from: 0,
      says: "drive.hold.largest_swing is called drive.hold.largest_error, the distance from the set point at rest or hunting",
      apply: (text) => renamed(text, ["drive", "hold", "largest_swing"], "largest_error"),
    },
  ],
};

export const hazardForm: FileForm = {
  file: "hazards.yaml",
  mark: "coldturn_hazards",
  version: 1,
  migrations: [],
};

export const standForm: FileForm = {
  file: "stand.yaml",
  mark: "coldturn_stand",
  version: 1,
  migrations: [],
};

/** A file as the present form has it. */
export interface CurrentFile {
  readonly parsed: ParsedFile;
  readonly text: string;
  /** The version that the file says it is of; undefined where it cannot be told. */
  readonly version: number | undefined;
  /** What was done to it on the way, in words; empty where it reads as it stands. */
  readonly steps: readonly string[];
}

/** Reads a file in the present form, whatever version it is of. Of a newer one nothing is left but the fault. */
export function asCurrent(form: FileForm, file: SourceFile): CurrentFile {
  const parsed = parseFile(file);
  const asItStands = { parsed, text: file.text, version: undefined, steps: [] };
  const root: unknown = parsed.document?.contents;
  if (!isMap(root)) return asItStands;
  const pair = root.items.find(({ key }) => isScalar(key) && scalarText(key) === form.mark);
  const node = pair?.value;
  const isBlank = node === null || node === undefined || (isScalar(node) && node.value === null);
  const version = isBlank ? 0 : isScalar(node) ? Number(scalarText(node)) : Number.NaN;
  if (!Number.isInteger(version) || version < 0) return asItStands;
  if (version > form.version && isScalar(node)) {
    const [start = 0, end = 0] = node.range ?? [];
    const { document: _, ...rest } = parsed;
    const fault = newerFault(parsed.locate.place(start, end, form.mark), version, form.version);
    return { ...asItStands, parsed: { ...rest, faults: [fault] }, version };
  }
  // A zero that was written is none of the versions that a file can name: the field says so itself.
  if (version === 0 && !isBlank) return asItStands;
  const steps: string[] = [];
  const text = form.migrations
    .filter(({ from }) => from >= version)
    .reduce((so, { says, apply }) => {
      const next = apply(so);
      if (next !== so) steps.push(says);
      return next;
    }, file.text);
  return { parsed: steps.length === 0 ? parsed : parseFile({ ...file, text }), text, version, steps };
}

/** That a file is of a version this program does not know yet. @param reads  the last version that it knows */
export function newerFault(where: Place, found: number, reads: number): Fault {
  return {
    code: "format-newer",
    where,
    found: `the file is of format version ${found}`,
    allowed: `This program knows version ${reads} and those before it. In a newer one a name may mean something else: nothing of the file is read.`,
    mend: "Use the version of Coldturn that wrote it, or a newer one",
  };
}

/** That a file was read with the steps of a migration done; none where it reads as it stands. */
export function olderNotices(form: FileForm, { version, steps }: CurrentFile): readonly Notice[] {
  if (steps.length === 0) return [];
  return [
    {
      code: "format-older",
      text: `${form.file} is of format version ${version} and was read as version ${form.version}: ${steps.join("; ")}. The file stays as it is; \`coldturn migrate\` shows what would change, and with --write changes it, with a backup beside it`,
    },
  ];
}

/** The text with another name for one field; the same text where the field is not there, or the new name is too. */
function renamed(text: string, path: readonly string[], to: string): string {
  const old = path.at(-1) ?? "";
  if (!text.includes(old)) return text;
  const document = parseDocument(text, { version: "1.2", logLevel: "silent", prettyErrors: false });
  if (document.errors.length > 0) return text;
  const map = path
    .slice(0, -1)
    .reduce<unknown>((here, step) => (isMap(here) ? here.get(step, true) : undefined), document.contents);
  if (!isMap(map) || map.has(to)) return text;
  const key: unknown = map.items.find((pair) => isScalar(pair.key) && pair.key.value === old)?.key;
  const range = isScalar(key) ? key.range : undefined;
  return range == null ? text : `${text.slice(0, range[0])}${to}${text.slice(range[1])}`;
}
