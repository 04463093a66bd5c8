/** Sizes of the page's scripts as they are sent. */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";

/**
 * Compressed bytes that the first load asks for, and those that are fetched when a part of the page is first
 * looked at. The page names its own scripts (src/web/vite.config.ts); the workers start with it.
 */
export function pageScripts(web: string): { readonly first: number; readonly later: number } {
  const page = readFileSync(join(web, "index.html"), "utf8");
  const folder = join(web, "assets");
  let [first, later] = [0, 0];
  for (const name of readdirSync(folder)) {
    if (!name.endsWith(".js.br")) continue;
    const { size } = statSync(join(folder, name));
    const script = name.slice(0, -".br".length);
    if (page.includes(`/assets/${script}"`) || script.startsWith("answerWorker")) first += size;
    else later += size;
  }
  return { first, later };
}
