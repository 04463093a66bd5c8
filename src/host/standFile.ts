/** stand.yaml in the folder of a dossier: who owes what, and what is waived. */
import { join } from "node:path";
import { kindAt, readText, type TextFile } from "./readFile.js";

/** The file of a dossier; undefined where there is none. Refuses one that cannot be read. */
export async function readStandText(folder: string): Promise<TextFile | undefined> {
  const path = join(folder, "stand.yaml");
  return (await kindAt(path)) === "nothing" ? undefined : await readText(path);
}
