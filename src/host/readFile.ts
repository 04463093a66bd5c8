/** Reading files, with a refusal for what cannot be read. */
import { readdir, readFile, stat } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { nearName } from "../fault/index.js";
import { sha256 } from "./hash.js";
import { isSystemError, refuseFile, refuseSystem } from "./system.js";

/** A text file as it was when it was read. */
export interface TextFile {
  /** As the user knows it. */
  readonly path: string;
  readonly text: string;
  /** Of the bytes; tells later whether somebody else has written the file since. */
  readonly sha256: string;
}

/** A hand-written file is far smaller; whoever names a log or a picture by mistake is told at once. */
const largestText = 20_000_000;

/**
 * A text file.
 * Refuses one that is missing (with a near name from its folder), a folder, not permitted, or not UTF-8.
 */
export async function readText(path: string): Promise<TextFile> {
  const bytes = await readBytes(path, largestText);
  return { path, text: textOf(bytes, path), sha256: sha256(bytes) };
}

/** The bytes of a file. Refuses as `readText`, but for what they mean. @param largest [byte] */
export async function readBytes(path: string, largest = Number.POSITIVE_INFINITY): Promise<Uint8Array> {
  try {
    const found = await stat(path);
    if (found.isFile() && found.size > largest) {
      refuseFile(path, {
        code: "file-too-large",
        found: `the file has ${(found.size / 1e6).toFixed(0)} MB`,
        allowed: `A file written by hand has at most ${largest / 1e6} MB.`,
        mend: "Look whether this is the file you meant",
      });
    }
    return await readFile(path);
  } catch (error) {
    if (isSystemError(error, "ENOENT")) return await refuseMissing(path);
    return refuseSystem(error, path, "read");
  }
}

/** Names in a folder in order, those that begin with a point left out; none if the folder is missing. */
export async function namesIn(folder: string): Promise<readonly string[]> {
  try {
    const names = await readdir(folder);
    return names.filter((name) => !name.startsWith(".")).sort();
  } catch (error) {
    if (isSystemError(error, "ENOENT")) return [];
    return refuseSystem(error, folder, "read");
  }
}

/** What stands at a path. */
export async function kindAt(path: string): Promise<"file" | "folder" | "nothing"> {
  try {
    const found = await stat(path);
    return found.isDirectory() ? "folder" : "file";
  } catch (error) {
    if (isSystemError(error, "ENOENT") || isSystemError(error, "ENOTDIR")) return "nothing";
    return refuseSystem(error, path, "read");
  }
}

/** Refuses a path at which nothing stands, with a near name of the same folder. */
export async function refuseMissing(path: string): Promise<never> {
  const folder = dirname(path);
  const isFolderThere = (await kindAt(folder)) === "folder";
  const names = isFolderThere ? await namesIn(folder) : [];
  const near = nearName(basename(path), names);
  return refuseFile(path, {
    code: "file-missing",
    found: "there is no such file or folder",
    allowed: isFolderThere ? "" : `There is no folder ${folder} either.`,
    mend: "Look for a misspelt name, or for another folder to start from",
    ...(near === undefined ? {} : { near: join(folder, near) }),
  });
}

function textOf(bytes: Uint8Array, path: string): string {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return refuseBytes(bytes, path);
  }
}

/** Refuses bytes that are no UTF-8; the line is that of the first stray byte. */
function refuseBytes(bytes: Uint8Array, path: string): never {
  const shown = new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
  const line = shown.slice(0, Math.max(shown.indexOf("\uFFFD"), 0)).split("\n").length;
  const isBinary = bytes.subarray(0, 8000).includes(0);
  return refuseFile(path, {
    code: "file-not-text",
    found: isBinary ? "the file is no text" : `bytes that are no UTF-8 text, first in line ${line}`,
    allowed: "Files of the dossier are plain text, encoded as UTF-8.",
    mend: isBinary
      ? "Look whether this is the file you meant"
      : 'Save the file as "UTF-8" in the editor; a degree sign or a Greek letter often brings in another encoding',
  });
}
