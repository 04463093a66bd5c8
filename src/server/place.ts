/** Which files of a dossier the page may read and write, and that none of them leads out of its folder. */
import { lstat, realpath } from "node:fs/promises";
import { dirname, isAbsolute, join, sep } from "node:path";
import { refuse } from "../fault/index.js";

/** The files that a person writes, by their path from the folder of the dossier. */
const texts = [
  /^valve\.yaml$/,
  /^hazards\.yaml$/,
  /^stand\.yaml$/,
  /^(parts|sensors|variants)\/[^/]+\.ya?ml$/i,
  /^runs\/[^/]+\/run\.yaml$/,
] as const;

/** Characters that no name of such a file has: of control, and the other separator of some systems. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const strange = /[\u0000-\u001f\u007f\\:]/;

/** Whether a path is that of a hand-written file: no step up, no hidden name, no absolute path. */
export function isTextPath(path: string): boolean {
  const steps = path.split("/");
  const isPlain = steps.every((step) => step !== "" && !step.startsWith(".") && step.length <= 200);
  return isPlain && !strange.test(path) && texts.some((form) => form.test(path));
}

/** Refuses a path that is none of a hand-written file. */
export function requireTextPath(path: string): void {
  if (!isTextPath(path)) refusePath(path);
}

/**
 * The path on the disk of something in a folder, links followed.
 * Refuses what lies outside of it, or would once it is made.
 */
export async function inside(folder: string, path: string): Promise<string> {
  if (isAbsolute(path) || path.includes("\u0000")) return refusePath(path);
  const root = await realpath(folder).catch(() => refuseGone(folder));
  const target = join(root, path);
  for (let at = target; ; at = dirname(at)) {
    const found = await realpath(at).catch(() => undefined);
    // A link to nothing would be written through.
    if (found === undefined && (await isThere(at))) return refusePath(path);
    if (found === undefined && at !== root && at.startsWith(root + sep)) continue;
    if (found !== root && found?.startsWith(root + sep) !== true) return refusePath(path);
    return target;
  }
}

async function isThere(path: string): Promise<boolean> {
  return await lstat(path).then(
    () => true,
    () => false,
  );
}

function refuseGone(folder: string): never {
  return refuse(
    "serve-no-dossier",
    `the folder ${folder} is not there any more`,
    "A dossier is served from where it was opened.",
    "Move it back, or open it where it is now",
  );
}

function refusePath(path: string): never {
  return refuse(
    "serve-path",
    `"${path.slice(0, 200)}" is no file of this dossier that the page may use`,
    "The page reads and writes valve.yaml, hazards.yaml, stand.yaml, parts/*.yaml, sensors/*.yaml, variants/*.yaml and runs/<id>/run.yaml, and nothing that lies outside the folder, links followed.",
    "Use such a name; a file elsewhere is changed with an editor",
  );
}
