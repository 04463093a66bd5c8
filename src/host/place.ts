/** Where the program lies: files that it needs while it runs, found from wherever its code was bundled to. */
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** Path of a file of the program: the nearest folder above this code that has a package.json holds it. */
export function programFile(...path: readonly string[]): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, "package.json")) && dirname(folder) !== folder) folder = dirname(folder);
  return join(folder, ...path);
}
