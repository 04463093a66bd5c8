/** predictions/*.json: sealed predictions, written once, never edited. */
import { join } from "node:path";
import type { SealedPrediction } from "../evidence/index.js";
import { evidence } from "./evidence.js";
import { sha256 } from "./hash.js";
import { namesIn, readText } from "./readFile.js";
import { writeWhole } from "./wholeFile.js";

const folderName = "predictions";

/**
 * Writes a sealed prediction under a name that says when, of which case and with which hash.
 * @returns the path of the file
 */
export async function writeSealed(folder: string, sealed: SealedPrediction): Promise<string> {
  const name = `${sealed.made.slice(0, 10)}-${sealed.case}-${sealed.sha256.slice(0, 12)}.json`;
  const path = join(folder, folderName, name);
  const { sealedText } = await evidence();
  await writeWhole(path, sealedText(sealed), "never");
  return path;
}

/** Every sealed prediction of a dossier, by name. Refuses a file whose seal is broken. */
export async function readSealed(folder: string): Promise<readonly SealedPrediction[]> {
  const names = (await namesIn(join(folder, folderName))).filter((name) => name.endsWith(".json"));
  if (names.length === 0) return [];
  const { openSealed } = await evidence();
  return await Promise.all(
    names.map(async (name) => {
      const { path, text } = await readText(join(folder, folderName, name));
      return openSealed(text, path, sha256);
    }),
  );
}
