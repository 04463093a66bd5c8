/**
 * Writing files so that a kill at any instant leaves the old or the new one whole: write beside, flush
 * to the disk, rename, flush the folder. Whole folders are made the same way.
 */
import { randomBytes } from "node:crypto";
import {
  access,
  constants,
  link,
  mkdir,
  open,
  readdir,
  readFile,
  realpath,
  rename,
  rm,
  stat,
} from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { sha256 } from "./hash.js";
import { isSystemError, refuseFile, refuseSystem } from "./system.js";

/** When a file that stands there already may be replaced: never, always, or while it is still the one that was read. */
export type Replace = "never" | "always" | { readonly sha256: string };

/**
 * Writes a file whole or not at all. Folders on the way are made.
 *
 * @param path  as the user knows it; a link is followed, not replaced
 * Refuses      a file that stands there (`never`), a file that somebody else has changed since it was
 *              read, a file or disk that is not to be written, a disk that is full
 */
export async function writeWhole(
  path: string,
  content: string | Uint8Array,
  replace: Replace,
): Promise<void> {
  try {
    const target = await realpath(path).catch(() => path);
    const folder = dirname(target);
    await mkdir(folder, { recursive: true });
    const beside = besideName(target);
    try {
      if (replace !== "never") await requireWritable(target);
      await writeFlushed(beside, content, await modeOf(target));
      await moveInto(beside, target, replace, path);
      await flushFolder(folder);
    } finally {
      await rm(beside, { force: true });
    }
    await removeLeftovers(target);
  } catch (error) {
    refuseSystem(error, path, "write");
  }
}

/** Refuses a file to write whose folder is not there: a slip of the pen makes no folders. */
export async function requireFolderOf(path: string): Promise<void> {
  const folder = dirname(path);
  const found = await stat(folder).catch(() => undefined);
  if (found !== undefined) return;
  refuseFile(path, {
    code: "folder-missing",
    found: `the folder ${folder} is not there`,
    allowed: "A file is written into a folder that is there; of a mistyped path no folder is made.",
    mend: `Make it with \`mkdir -p ${folder}\`, or correct the path`,
  });
}

/**
 * Makes a folder with its files, whole or not at all; it is never replaced.
 *
 * @param fill  writes the files into the folder it is given, which gets its name afterwards
 */
export async function makeWholeFolder(path: string, fill: (folder: string) => Promise<void>): Promise<void> {
  try {
    await mkdir(dirname(path), { recursive: true });
    const beside = besideName(path);
    try {
      await mkdir(beside);
      await fill(beside);
      await flushAll(beside);
      if (await isThere(path)) refuseExisting(path);
      await rename(beside, path);
      await flushFolder(dirname(path));
    } finally {
      await rm(beside, { force: true, recursive: true });
    }
    await removeLeftovers(path);
  } catch (error) {
    if (isSystemError(error, "ENOTEMPTY")) refuseExisting(path);
    refuseSystem(error, path, "write");
  }
}

/** Name of the unfinished file: hidden, and with an ending that nothing else reads. */
function besideName(path: string): string {
  const unique = randomBytes(6).toString("hex");
  return join(dirname(path), `.${basename(path)}.${unique}${unfinished}`);
}

const unfinished = ".part";

async function writeFlushed(path: string, content: string | Uint8Array, mode: number): Promise<void> {
  const file = await open(path, "wx", mode);
  try {
    await file.writeFile(content);
    await file.sync();
  } finally {
    await file.close();
  }
}

/** A file that its owner has locked stays, though the rights of its folder alone would let it be replaced. */
async function requireWritable(path: string): Promise<void> {
  if (await isThere(path)) await access(path, constants.W_OK);
}

/** Rights of the file that is replaced, or the usual ones. */
async function modeOf(path: string): Promise<number> {
  const found = await stat(path).catch(() => undefined);
  return found?.isFile() === true ? found.mode & 0o777 : 0o666;
}

async function moveInto(beside: string, target: string, replace: Replace, shown: string): Promise<void> {
  if (replace === "never") {
    if (await linkInto(beside, target)) return;
    if (await isThere(target)) refuseExisting(shown);
  } else if (replace !== "always") {
    const found = await readFile(target).catch(() => undefined);
    if (found === undefined || sha256(found) !== replace.sha256) refuseChanged(shown);
  }
  await rename(beside, target);
}

/** Gives the finished file its name unless the name is taken: one step of the system. */
async function linkInto(beside: string, target: string): Promise<boolean> {
  try {
    await link(beside, target);
    return true;
  } catch (error) {
    if (isSystemError(error, "EEXIST")) return false;
    // Some network and stick file systems have no links: the look before the rename has to do.
    if (isSystemError(error, "EPERM") || isSystemError(error, "ENOTSUP") || isSystemError(error, "ENOSYS"))
      return false;
    throw error;
  }
}

async function isThere(path: string): Promise<boolean> {
  return await stat(path).then(
    () => true,
    () => false,
  );
}

async function flush(path: string): Promise<void> {
  const file = await open(path, "r+");
  try {
    await file.sync();
  } finally {
    await file.close();
  }
}

/** Flushes all that lies in a folder, and the folder. */
async function flushAll(folder: string): Promise<void> {
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    await (entry.isDirectory() ? flushAll(path) : flush(path));
  }
  await flushFolder(folder);
}

/** Makes a rename last. Systems that cannot flush a folder write its entries by themselves. */
async function flushFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } catch (error) {
    if (!isSystemError(error, "EINVAL") && !isSystemError(error, "ENOTSUP")) throw error;
  } finally {
    await handle.close();
  }
}

/** An unfinished file this much older than the one just written belongs to nobody any more [ms]. */
const leftAfter = 60 * 60 * 1000;

/** Removes what killed writers of the same file have left beside it. The file is written: nothing here can fail it. */
async function removeLeftovers(path: string): Promise<void> {
  const folder = dirname(path);
  const written = await changedAt(path);
  for (const name of await readdir(folder).catch(() => [])) {
    if (!name.startsWith(`.${basename(path)}.`) || !name.endsWith(unfinished)) continue;
    if (written - (await changedAt(join(folder, name))) > leftAfter)
      await rm(join(folder, name), { force: true, recursive: true }).catch(() => undefined);
  }
}

/** When an entry was last changed, not a number if it is gone [ms]. */
async function changedAt(path: string): Promise<number> {
  const found = await stat(path).catch(() => undefined);
  return found?.ctimeMs ?? Number.NaN;
}

function refuseExisting(path: string): never {
  return refuseFile(path, {
    code: "file-exists",
    found: "there is something of this name already",
    allowed: "Nothing is overwritten unless you ask for it.",
    mend: "Choose another name, or move the old one away",
  });
}

function refuseChanged(path: string): never {
  return refuseFile(path, {
    code: "file-changed",
    found: "the file was changed by somebody else since it was read",
    allowed: "Their change is not overwritten; nothing was written.",
    mend: "Give the same command again: it starts from the file as it is now",
  });
}
