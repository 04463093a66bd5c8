/** The project's own files, as the tests of this folder read them. */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** Folders that hold no text of the project. */
const FOREIGN = ["node_modules", "dist", "coverage", ".git", ".coldturn"];

/** Paths of the files below the named folders (or of the named files), relative to the root. */
export function filesIn(places: readonly string[], ending: RegExp): readonly string[] {
  return places
    .flatMap((place) => (ending.test(place) ? [place] : below(place)))
    .filter((path) => ending.test(path))
    .sort();
}

function below(folder: string): readonly string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = folder === "." ? entry.name : `${folder}/${entry.name}`;
    if (entry.isDirectory()) return FOREIGN.includes(entry.name) ? [] : below(path);
    return [path];
  });
}

export function textOf(path: string): string {
  return readFileSync(join(root, path), "utf8");
}

/** Folders among `names` that the project has. */
export function present(names: readonly string[]): readonly string[] {
  const entries = readdirSync(root);
  return names.filter((name) => entries.includes(name));
}
