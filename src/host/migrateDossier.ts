/**
 * Files of a dossier that are of an older format version, written anew on request. The file as it was is kept
 * beside it first: a kill at any instant leaves the old file, or the new one with its backup.
 */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { fileForms, type MigratedFile, migratedFile } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { readDossierFiles } from "./dossierFolder.js";
import { kindAt, readText, type TextFile } from "./readFile.js";
import { writeWhole } from "./wholeFile.js";

/** What is to be done to one file. */
export interface FileMigration {
  /** As it was read. */
  readonly file: TextFile;
  /** Where the file as it was is kept. */
  readonly backup: string;
  readonly migrated: MigratedFile;
}

/** The files of a dossier that are of an older version. Refuses one that cannot be read, and one of a newer version. */
export async function migrationsOf(place: string): Promise<readonly FileMigration[]> {
  const { folder } = await readDossierFiles(place);
  const found: FileMigration[] = [];
  for (const form of fileForms) {
    const path = join(folder, form.file);
    if ((await kindAt(path)) !== "file") continue;
    const file = await readText(path);
    const migrated = migratedFile(form, file);
    if (migrated !== undefined) found.push({ file, backup: `${path}.format-${migrated.from}`, migrated });
  }
  return found;
}

/** Does the migrations. Refuses a file that was changed since it was read, and a backup of another content. */
export async function migrateFiles(migrations: readonly FileMigration[]): Promise<void> {
  for (const { file, backup, migrated } of migrations) {
    const bytes = await readFile(file.path);
    await keepBackup(backup, bytes);
    await writeWhole(file.path, migrated.text, { sha256: file.sha256 });
  }
}

/** A backup of the same bytes is that of a migration that was broken off. */
async function keepBackup(path: string, bytes: Uint8Array): Promise<void> {
  try {
    await writeWhole(path, bytes, "never");
  } catch (thrown) {
    if (!(thrown instanceof Refusal) || !thrown.faults.some(({ code }) => code === "file-exists"))
      throw thrown;
    const kept = await readFile(path).catch(() => undefined);
    if (kept === undefined || !kept.equals(bytes)) throw thrown;
  }
}
