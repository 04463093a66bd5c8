/** Sheets of a dossier as files: what one rests on, the record inside, and which are out of date. */
import { readdir, readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import { promisify } from "node:util";
import { inflate } from "node:zlib";
import {
  changedSince,
  type HashedFile,
  readSheetRecord,
  recordTextIn,
  type SheetRecord,
  sinceWords,
} from "../sheet/index.js";
import { hashFile } from "./hashFile.js";
import { kindAt, namesIn, readBytes } from "./readFile.js";
import { isSystemError, refuseFile, refuseSystem } from "./system.js";

/** Files that answers are made from: written by people, imported, sealed, or worked out and kept. */
const singles = ["valve.yaml", "hazards.yaml", "stand.yaml"] as const;
const folders = ["parts", "sensors", "predictions", "next", "plan", "runs"] as const;

/** Paths of all files that a sheet of this dossier rests on, parts joined by strokes, in order. */
async function sheetPaths(folder: string): Promise<readonly string[]> {
  const own = await Promise.all(
    singles.map(async (name) => ((await kindAt(join(folder, name))) === "file" ? [name] : [])),
  );
  const below = await Promise.all(folders.map((name) => pathsBelow(folder, name)));
  // Cards are printed from the plan, and nothing rests on them.
  const answered = below.flat().filter((path) => !path.startsWith("plan/") || path.endsWith(".json"));
  return [...own.flat(), ...answered.sort()];
}

async function pathsBelow(folder: string, below: string): Promise<readonly string[]> {
  try {
    const found: string[] = [];
    for (const entry of await readdir(join(folder, below), { withFileTypes: true })) {
      if (entry.name.startsWith(".")) continue;
      const path = `${below}/${entry.name}`;
      if (entry.isDirectory()) found.push(...(await pathsBelow(folder, path)));
      else found.push(path);
    }
    return found;
  } catch (error) {
    if (isSystemError(error, "ENOENT") || isSystemError(error, "ENOTDIR")) return [];
    return refuseSystem(error, join(folder, below), "read");
  }
}

/** Every file that a sheet of this dossier rests on, with its hash. */
export async function sheetFiles(folder: string): Promise<readonly HashedFile[]> {
  const files: HashedFile[] = [];
  for (const name of await sheetPaths(folder))
    files.push({ name, sha256: (await hashFile(join(folder, name))).sha256 });
  return files;
}

const startOfPdf = "%PDF-";

/** The record of a sheet, HTML or PDF. Refuses a file without one. */
export async function readSheetFile(path: string): Promise<SheetRecord> {
  const record = await recordOf(Buffer.from(await readBytes(path)));
  if (record !== undefined) return record;
  return refuseFile(path, {
    code: "sheet-without-record",
    found: "this file has no record of a sheet in it",
    allowed:
      "A sheet, HTML or PDF, carries what it rests on; other files, and sheets of older programs, do not.",
    mend: "Name a file that `coldturn sheet` wrote",
  });
}

async function recordOf(bytes: Buffer): Promise<SheetRecord | undefined> {
  const isPdf = bytes.subarray(0, startOfPdf.length).toString("latin1") === startOfPdf;
  const text = isPdf ? await attachedText(bytes) : recordTextIn(bytes.toString("utf8"));
  return text === undefined ? undefined : readSheetRecord(text);
}

const inflated = promisify(inflate);
const streamStart = Buffer.from("stream");
const streamEnd = Buffer.from("endstream");
/** A record is some 100 kB; a few bytes of a file that came from elsewhere can be packed from many more [byte]. */
const largestStream = 32e6;
/** The record begins so. */
const recordStart = `{"format":"coldturn-sheet/`;

/** The record attached to a PDF: the one stream, packed or plain, that begins as a record does. */
async function attachedText(bytes: Buffer): Promise<string | undefined> {
  for (let at = bytes.indexOf(streamStart); at >= 0; ) {
    let from = at + streamStart.length;
    while (bytes[from] === 0x0d || bytes[from] === 0x0a) from++;
    const end = bytes.indexOf(streamEnd, from);
    if (end < 0) return undefined;
    const content = await unpacked(bytes.subarray(from, end));
    if (content?.subarray(0, recordStart.length).toString("utf8") === recordStart)
      return content.toString("utf8");
    at = bytes.indexOf(streamStart, end + streamEnd.length);
  }
  return undefined;
}

async function unpacked(content: Buffer): Promise<Buffer | undefined> {
  if (content.subarray(0, recordStart.length).toString("latin1") === recordStart)
    return content.subarray(0, content.lastIndexOf(0x7d) + 1);
  return await inflated(content, { maxOutputLength: largestStream }).catch(() => undefined);
}

/** A sheet in the folder `sheets` of a dossier, and what has changed since it was printed. */
export interface StandingSheet {
  readonly name: string;
  readonly changed: readonly string[];
}

/**
 * The sheets of a dossier. To be quick, files larger than this are looked at by their name alone: they are
 * logs, and the record of their run, which is small, bears their hash.
 */
const quickBytes = 4 * 1024 * 1024;

export async function standingSheets(folder: string): Promise<readonly StandingSheet[]> {
  const names = (await namesIn(join(folder, "sheets"))).filter((name) => /\.(html|pdf)$/i.test(name));
  if (names.length === 0) return [];
  const paths = await sheetPaths(folder);
  const sheets = await Promise.all(names.map((name) => recordIn(folder, name)));
  const hashes = new Map<string, string | undefined>();
  for (const path of paths) hashes.set(path, await quickHash(join(folder, path)));
  return sheets.map(({ name, record }) => {
    if (record === undefined) return { name, changed: ["it has no record of what it rests on"] };
    const then = new Map(record.files.map((file) => [file.name, file.sha256]));
    const files = paths.map((path) => ({ name: path, sha256: hashes.get(path) ?? then.get(path) ?? "" }));
    return { name, changed: sinceWords(changedSince(record, files)) };
  });
}

async function recordIn(folder: string, file: string) {
  const name = `sheets/${file}`;
  const bytes = await readFile(join(folder, name)).catch(() => undefined);
  return { name, record: bytes === undefined ? undefined : await recordOf(bytes) };
}

async function quickHash(path: string): Promise<string | undefined> {
  const found = await stat(path).catch(() => undefined);
  if (found === undefined || found.size > quickBytes) return undefined;
  return (await hashFile(path)).sha256;
}
