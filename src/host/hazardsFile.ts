/** hazards.yaml in the folder of a dossier: the register of hazards. */
import { join } from "node:path";
import { kindAt, readText, type TextFile } from "./readFile.js";

/** Where the register of a dossier stands. */
export function hazardsPath(folder: string): string {
  return join(folder, "hazards.yaml");
}

/** The register of a dossier; undefined where there is none. Refuses one that cannot be read. */
export async function readHazardsFile(folder: string): Promise<TextFile | undefined> {
  const path = hazardsPath(folder);
  return (await kindAt(path)) === "nothing" ? undefined : await readText(path);
}
