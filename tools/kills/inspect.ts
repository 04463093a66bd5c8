/**
 * What a folder of a dossier must be after any kill: every file whole, every hash right, every run complete,
 * and nothing but hidden leftovers of the known kinds beside them.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { readHazards } from "../../src/dossier/index.js";
import { originalsOf, verifySchedule } from "../../src/evidence/index.js";
import { faultsText, Refusal } from "../../src/fault/index.js";
import {
  brokenImports,
  hashFile,
  openDossier,
  readRunLog,
  readRunRecord,
  readSealed,
  runIds,
  sha256,
} from "../../src/host/index.js";

/** A writer's unfinished file, and the unfinished folder of an import. */
const leftover = /^\.(?:.+\.[0-9a-f]{12}|import\.\d+\.[0-9a-f]+)\.part$/;

/** What stands in a folder. */
export interface Inspected {
  /** Unfinished files and folders that a kill has left, hidden from every reader. */
  readonly leftovers: readonly string[];
  /** Each file of the dossier with its SHA-256, by its path in the folder. */
  readonly files: ReadonlyMap<string, string>;
}

/** Looks at all of a dossier. Throws where something is not whole. */
export async function inspected(folder: string): Promise<Inspected> {
  const files = new Map<string, string>();
  const leftovers: string[] = [];
  for (const { path, isFile } of entriesIn(folder)) {
    const hidden = path.split("/").find((name) => name.startsWith("."));
    if (hidden === undefined) {
      if (isFile) files.set(path, (await hashFile(join(folder, path))).sha256);
    } else if (!leftover.test(hidden)) throw new Error(`${path} is no leftover of a known kind`);
    else if (!leftovers.includes(hidden)) leftovers.push(hidden);
  }
  const open = await openDossier(folder, "duty");
  if (open.faults.length > 0) throw new Error(faultsText(open.faults));
  await readSealed(folder);
  for (const id of await runIds(folder)) await inspectRun(folder, id);
  for (const name of names(join(folder, "runs")))
    if (!existsSync(join(folder, "runs", name, "run.yaml"))) throw new Error(`runs/${name} is no whole run`);
  if (files.has("hazards.yaml")) {
    const text = readFileSync(join(folder, "hazards.yaml"), "utf8");
    const { faults, rows } = readHazards({ path: "hazards.yaml", text });
    if (faults.length > 0 || rows.length === 0 || !text.endsWith("\n"))
      throw new Error("hazards.yaml is not whole");
  }
  for (const path of files.keys()) {
    const text = () => readFileSync(join(folder, path), "utf8");
    if (path.endsWith(".html") && !text().trimEnd().endsWith("</html>"))
      throw new Error(`${path} is cut off`);
    if (/(^|\/)(schedule\.csv|coldturn_schedule\.h)$/.test(path))
      verifySchedule({ path, text: text() }, sha256);
  }
  // An import that was broken off is told by every command, unless its process is at work.
  const told = (await brokenImports(folder)).length;
  const left = leftovers.filter((name) => name.startsWith(".import.")).length;
  if (told !== left) throw new Error(`${left} imports were broken off, ${told} are told`);
  return { leftovers, files };
}

async function inspectRun(folder: string, id: string): Promise<void> {
  const run = await readRunRecord(folder, id);
  for (const { file, sha256: wanted } of originalsOf(run.record))
    if ((await hashFile(join(run.folder, file))).sha256 !== wanted)
      throw new Error(`${id}: ${file} is another file`);
  const { time_s } = await readRunLog(run);
  if (time_s.length === 0) throw new Error(`${id}: the stored log is empty`);
}

function entriesIn(folder: string): readonly { readonly path: string; readonly isFile: boolean }[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true }).map((entry) => ({
    path: join(entry.parentPath ?? entry.path, entry.name)
      .slice(folder.length + 1)
      .replaceAll("\\", "/"),
    isFile: entry.isFile(),
  }));
}

function names(folder: string): readonly string[] {
  return existsSync(folder) ? readdirSync(folder).filter((name) => !name.startsWith(".")) : [];
}

/** What a refusal or an error says, in one line. */
export function wordsOf(thrown: unknown): string {
  if (thrown instanceof Refusal) return faultsText(thrown.faults).replaceAll("\n", " ");
  return thrown instanceof Error ? thrown.message : String(thrown);
}
