/**
 * The bundled program, for tests that start worker threads or child processes: Node runs no TypeScript.
 * It is bundled first where the sources are newer, as `npm test` does.
 */
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { root } from "../project/files.js";

let isBuilt = false;

/** Address of a bundled file, as `src/host/index.js`. */
export function built(file: string): string {
  if (!isBuilt) {
    execFileSync(process.execPath, [join(root, "tools", "setup.mjs")], {
      stdio: ["ignore", "ignore", "pipe"],
    });
    isBuilt = true;
  }
  return pathToFileURL(join(root, "dist", file)).href;
}
