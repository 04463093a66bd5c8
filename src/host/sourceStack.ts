/** The stack of an error in terms of the sources: the bundled code has few lines, and its maps know better. */
import { existsSync, readFileSync } from "node:fs";
import { SourceMap } from "node:module";
import { dirname, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { programFile } from "./place.js";

/** The same stack, each place in the bundle replaced by the place in the source it was made from. */
export function sourceStack(stack: string): string {
  const maps = new Map<string, SourceMap | undefined>();
  return stack.replaceAll(/(file:\/\/[^\s()]+\.js):(\d+):(\d+)/g, (place, url, line, column) => {
    const file = fileURLToPath(String(url));
    if (!maps.has(file)) maps.set(file, mapOf(file));
    const entry = maps.get(file)?.findEntry(Number(line) - 1, Number(column) - 1);
    if (entry === undefined || !("originalSource" in entry)) return place;
    const source = relative(programFile(), resolve(dirname(file), entry.originalSource));
    return `${source}:${entry.originalLine + 1}:${entry.originalColumn + 1}`;
  });
}

function mapOf(file: string): SourceMap | undefined {
  const path = `${file}.map`;
  return existsSync(path) ? new SourceMap(JSON.parse(readFileSync(path, "utf8"))) : undefined;
}
