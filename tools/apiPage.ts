/**
 * Writes the second half of docs/api.md: every name of the library with its types and comments, from the
 * declarations that a package has. The first half is written by hand.
 *
 *   node dist/tools/apiPage.js
 */
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Declarations, declarationsIn, publicFiles } from "./declarations.js";

const self = fileURLToPath(import.meta.url);
// The bundled file lies in dist/tools/, the source in tools/.
const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");

const mark = "<!-- From here on written by tools/apiPage.ts from src/api and src/node. -->";

/** Text of docs/api.md. @param present  the page as it is, whose first half is kept */
export function apiPage(present: string): string {
  const [byHand = ""] = present.split(mark);
  const texts = new Map(declarationsIn(root).map((one) => [one.source, one]));
  const entries = Object.entries(publicFiles).flatMap(([entry, [, ...files]]) => [
    `## All names of \`${entry}\``,
    "",
    ...files.flatMap((source) => sectionOf(texts.get(source))),
  ]);
  return [byHand + mark, "", ...entries].join("\n");
}

/** The first comment of a file says what it is about; the rest is shown as it is. */
function sectionOf(file: Declarations | undefined): readonly string[] {
  if (file === undefined) return [];
  const [, about = "", declarations = ""] = /^\/\*\* (.*?) \*\/\n([\s\S]*)$/.exec(file.text) ?? [];
  const shown = declarations.replace(/^(import|export) [^;]*? from "[^"]*";\n/gm, "").trim();
  return [about, "", "```ts", shown, "```", ""];
}

if (process.argv[1] === self) {
  const path = join(root, "docs", "api.md");
  writeFileSync(path, apiPage(readFileSync(path, "utf8")));
}
