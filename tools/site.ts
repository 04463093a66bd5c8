/**
 * Builds the documentation as a site in dist/site: every Markdown page of the repository as a page of HTML,
 * with a search that needs no network. It lies where the repository has it, so that links keep their form;
 * what a page links to and is no page (a picture, a data file, a source) is copied or shown as text.
 *
 *   npm run site
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { bibliographyOf, bibliographyPage, workAnchor } from "./site/bibliography.js";
import { type Frame, framed, relativeAddress } from "./site/frame.js";
import { escapeHtml, type RenderedPage, renderPage } from "./site/markdown.js";
import { navigationOf } from "./site/navigation.js";
import { indexOf, indexScript } from "./site/searchIndex.js";

const self = fileURLToPath(import.meta.url);
// The bundled file lies in dist/tools/, the source in tools/.
const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");

/** Files of the site by their address. */
export type SiteFiles = ReadonlyMap<string, string | Uint8Array>;

/** Pages at the top of the repository, and the folder with all others. */
const topPages = ["README.md", "CONTRIBUTING.md", "CHANGELOG.md", "SECURITY.md", "THIRD_PARTY.md"];

/** Every file of the site, made from the repository alone: same sources, same bytes. */
export function siteFiles(): SiteFiles {
  const references = JSON.parse(read("data/references.json"));
  const texts = new Map([
    ...pagePaths().map((path) => [path, read(path)] as const),
    [bibliographyPage, bibliographyOf(references)] as const,
  ]);
  const files = new Map<string, string | Uint8Array>();
  const linked = new Map<string, string>();
  const pages = new Map(
    [...texts].map(([path, text]) => [path, rendered(path, text, { texts, linked, references })] as const),
  );
  const frame: Frame = {
    version: JSON.parse(read("package.json")).version,
    navigation: navigationOf([...pages.keys()]),
    titleOf: (path) => (path === "README.md" ? "Coldturn" : (pages.get(path)?.title ?? path)),
    addressOf: addressOfPage,
  };
  for (const [path, { title, html }] of pages)
    files.set(addressOfPage(path), framed({ address: addressOfPage(path), path, title, html }, frame));
  for (const [path, address] of linked) files.set(address, linkedFile(path, address, frame));
  const searched = [...pages].map(([path, { title, passages }]) => ({
    address: addressOfPage(path),
    title,
    passages,
  }));
  files.set("assets/index.js", indexScript(indexOf(searched)));
  files.set("assets/search.js", read("tools/site/search.js"));
  files.set("assets/site.css", read("tools/site/site.css"));
  const engine = createRequire(import.meta.url).resolve("minisearch");
  const script = readFileSync(join(dirname(engine), "..", "umd", "index.js"), "utf8");
  files.set("assets/minisearch.js", script.replace(/^\/\/# sourceMappingURL=.*$/m, ""));
  return files;
}

interface Known {
  readonly texts: ReadonlyMap<string, string>;
  /** Address by path of what is no page and is linked to; filled on the way. */
  readonly linked: Map<string, string>;
  readonly references: Readonly<Record<string, unknown>>;
}

function rendered(path: string, text: string, { texts, linked, references }: Known): RenderedPage {
  const here = addressOfPage(path);
  const addressOf = (target: string): string => {
    const [file = "", anchor] = target.split("#");
    const to = file === "" ? path : posix.normalize(posix.join(posix.dirname(path), decodeURI(file)));
    const mark = anchor === undefined ? "" : `#${anchor}`;
    if (/^[a-z]+:/i.test(target) || to.startsWith(".."))
      throw new Error(`${target} leads out of the repository`);
    if (texts.has(to)) return `${relativeAddress(here, addressOfPage(to))}${mark}`;
    if (!existsSync(join(root, to)) || statSync(join(root, to)).isDirectory())
      throw new Error(`${target} leads to no file`);
    linked.set(to, isPicture(to) ? to : `${to}.html`);
    return `${relativeAddress(here, linked.get(to) ?? to)}${mark}`;
  };
  const citation = (key: string): string | undefined =>
    key in references
      ? `${relativeAddress(here, addressOfPage(bibliographyPage))}#${workAnchor(key)}`
      : undefined;
  try {
    return renderPage(text, { addressOf, citation: path === bibliographyPage ? () => undefined : citation });
  } catch (error) {
    throw new Error(`${path}: ${error instanceof Error ? error.message : String(error)}`);
  }
}

function linkedFile(path: string, address: string, frame: Frame): string | Uint8Array {
  if (isPicture(path)) return readFileSync(join(root, path));
  const html = `<h1>${escapeHtml(path)}</h1>\n<pre><code>${escapeHtml(read(path))}</code></pre>`;
  return framed({ address, path, title: path, html }, frame);
}

function pagePaths(): readonly string[] {
  const below = readdirSync(join(root, "docs"), { recursive: true, encoding: "utf8" })
    .map((name) => `docs/${name.replaceAll("\\", "/")}`)
    .filter((name) => name.endsWith(".md"))
    .sort();
  return [...topPages.filter((name) => existsSync(join(root, name))), ...below];
}

/** README.md is what a folder shows first. */
function addressOfPage(path: string): string {
  return path.replace(/(^|\/)README\.md$/, "$1index.html").replace(/\.md$/, ".html");
}

const isPicture = (path: string): boolean => /\.(svg|png)$/.test(path);

function read(path: string): string {
  return readFileSync(join(root, path), "utf8");
}

function writeSite(): void {
  const files = siteFiles();
  const site = join(root, "dist", "site");
  rmSync(site, { recursive: true, force: true });
  for (const [address, content] of files) {
    mkdirSync(dirname(join(site, address)), { recursive: true });
    writeFileSync(join(site, address), content);
  }
  process.stdout.write(`${files.size} files in dist/site; open dist/site/index.html\n`);
}

if (process.argv[1] === self) {
  try {
    writeSite();
  } catch (error) {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
    process.exitCode = 1;
  }
}
