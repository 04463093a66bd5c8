/**
 * Makes what a package has beside the bundled program: the types of the library in dist/types/, and its core
 * as one file for browsers in dist/browser/. Started by `npm pack` (prepack).
 *
 *   node dist/tools/library.js
 */
import { mkdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";
import { declarationsIn } from "./declarations.js";

const self = fileURLToPath(import.meta.url);
// The bundled file lies in dist/tools/, the source in tools/.
const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");

/** The core of the library as one module without imports, as small as it gets. */
export async function browserBundle(): Promise<string> {
  const bundle = await rolldown({
    cwd: root,
    input: "src/api/coldturn.ts",
    platform: "browser",
    logLevel: "silent",
    // As in tools/bundle.mjs: no module of the project does anything when it is imported.
    treeshake: { moduleSideEffects: (id) => !/[/\\](src|data)[/\\]/.test(id) },
  });
  try {
    const { output } = await bundle.generate({ format: "esm", minify: true, codeSplitting: false });
    const [only, ...more] = output;
    if (more.length > 0 || /\bimport\s*\(|^import\b/m.test(only.code.slice(0, 200)))
      throw new Error("the browser bundle is not one file");
    return only.code;
  } finally {
    await bundle.close();
  }
}

/** Whole or not at all. */
function write(name: string, text: string): void {
  const path = join(root, "dist", name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(`${path}.part`, text);
  renameSync(`${path}.part`, path);
}

if (process.argv[1] === self) {
  rmSync(join(root, "dist", "types"), { recursive: true, force: true });
  for (const { source, text } of declarationsIn(root))
    write(source.replace(/^src/, "types").replace(/\.ts$/, ".d.ts"), text);
  write("browser/coldturn.js", await browserBundle());
}
