/**
 * The unfinished folder of an import: hidden in the dossier until it is whole, then given its name in one step.
 * A kill at any instant leaves it behind with a note of who made it; the next import says so and clears it.
 */
import { randomBytes } from "node:crypto";
import { mkdir, mkdtemp, open, readdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import type { Notice } from "../fault/index.js";
import { now } from "./clock.js";
import { kindAt } from "./readFile.js";
import { refuseFile, refuseSystem } from "./system.js";

/** The process that makes it, and something that makes it unique. */
const form = /^\.import\.(?:(\d+)\.)?[0-9a-f]+\.part$/;
const ownerName = "owner.json";
/** Folder for what is needed only on the way. */
const scratchName = "scratch";

export interface Staging {
  /** Becomes the folder of the run. */
  readonly folder: string;
  /** For what is needed only on the way; gone afterwards. */
  readonly scratch: string;
}

/**
 * Acts in an unfinished folder, which is removed unless it was finished.
 * @param dossier  its folder; undefined to write nothing there, as in a dry run
 */
export async function withStaging<T>(
  dossier: string | undefined,
  files: readonly string[],
  act: (staging: Staging) => Promise<T>,
): Promise<T> {
  const folder = await made(dossier, files);
  try {
    return await act({ folder, scratch: join(folder, scratchName) });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function made(dossier: string | undefined, files: readonly string[]): Promise<string> {
  try {
    if (dossier === undefined) {
      const folder = await mkdtemp(join(tmpdir(), "coldturn-import-"));
      await mkdir(join(folder, scratchName));
      return folder;
    }
    const folder = join(dossier, `.import.${process.pid}.${randomBytes(6).toString("hex")}.part`);
    await mkdir(join(folder, scratchName), { recursive: true });
    await writeFile(join(folder, ownerName), JSON.stringify({ pid: process.pid, began: now(), files }));
    return folder;
  } catch (error) {
    return refuseSystem(error, dossier ?? tmpdir(), "write");
  }
}

/** Gives a staged folder its name, flushed to the disk. Refuses a name that is taken, a full disk. */
export async function finishStaging({ folder, scratch }: Staging, path: string): Promise<void> {
  try {
    if ((await kindAt(path)) !== "nothing") {
      refuseFile(path, {
        code: "file-exists",
        found: "there is something of this name already",
        allowed: "Nothing is overwritten unless you ask for it.",
        mend: "Choose another name, or move the old one away",
      });
    }
    await rm(scratch, { recursive: true, force: true });
    for (const name of await readdir(folder)) {
      if (name === ownerName) continue;
      const file = await open(join(folder, name), "r+");
      await file.sync();
      await file.close();
    }
    await rm(join(folder, ownerName), { force: true });
    await mkdir(dirname(path), { recursive: true });
    await rename(folder, path);
  } catch (error) {
    refuseSystem(error, path, "write");
  }
}

/** A folder without a note of its owner is left alone this long: its owner may be about to write it [ms]. */
const youngest = 60_000;

/** Clears what killed imports left behind, and says so. */
export async function clearBrokenImports(dossier: string): Promise<readonly Notice[]> {
  const broken = await foundBroken(dossier);
  for (const { name } of broken) await rm(join(dossier, name), { recursive: true, force: true });
  return broken.map(({ name, words }) => ({
    code: "import-broken-off",
    text: `an import${words} was broken off before it was whole; its unfinished folder ${name} was removed. No run of it counts: import the log again`,
  }));
}

/** Tells what killed imports left behind, and leaves it there. */
export async function brokenImports(dossier: string): Promise<readonly Notice[]> {
  return (await foundBroken(dossier)).map(({ name, words }) => ({
    code: "import-broken-off",
    text: `an import${words} was broken off before it was whole: its log is no run, and nothing here rests on it. Import the log again, which also removes its unfinished folder ${name}; or delete that folder`,
  }));
}

async function foundBroken(
  dossier: string,
): Promise<readonly { readonly name: string; readonly words: string }[]> {
  const names = (await readdir(dossier).catch(() => [])).filter((name) => form.test(name));
  const owners = await Promise.all(
    names.map(async (name) => ({ name, ...(await ownerOf(join(dossier, name), form.exec(name)?.[1])) })),
  );
  return owners.filter(({ isAlive }) => !isAlive);
}

interface Owner {
  readonly isAlive: boolean;
  /** What it imported and when it began, as far as it had written that. */
  readonly words: string;
}

async function ownerOf(folder: string, process: string | undefined): Promise<Owner> {
  const text = await readFile(join(folder, ownerName), "utf8").catch(() => "");
  const found = /"pid":(\d+),"began":"([^"]*)","files":\[([^\]]*)\]/.exec(text);
  if (found === null && process !== undefined) return { isAlive: isRunning(Number(process)), words: "" };
  if (found === null) {
    const changed = (await stat(folder).catch(() => undefined))?.mtimeMs ?? 0;
    return { isAlive: Date.parse(now()) - changed < youngest, words: "" };
  }
  const files = (found[3] ?? "").replaceAll('"', "").replaceAll(",", ", ");
  return { isAlive: isRunning(Number(found[1])), words: ` of ${files}, begun ${found[2]},` };
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}
