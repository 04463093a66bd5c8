/** The site of the documentation, built in memory: its links, its search, and that it asks nobody for anything. */
import { posix } from "node:path";
import MiniSearch from "minisearch";
import { describe, expect, it } from "vitest";
import { renderPage } from "../../tools/site/markdown.js";
import { siteFiles } from "../../tools/site.js";
import { filesIn } from "./files.js";

const files = siteFiles();
const pages = new Map(
  [...files].flatMap(([address, content]): [string, string][] =>
    address.endsWith(".html") && typeof content === "string" ? [[address, content]] : [],
  ),
);
const anchors = new Map(
  [...pages].map(([address, html]) => [
    address,
    new Set([...html.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id)),
  ]),
);

/** What of a page's links and files leads nowhere, or out of the site. */
function brokenIn(address: string, html: string): readonly string[] {
  const targets = [...html.matchAll(/ (?:href|src)="([^"]*)"/g)].map(([, target = ""]) => target);
  return targets.filter((target) => {
    if (target === "data:,") return false;
    const [file = "", anchor] = target.split("#");
    const to = file === "" ? address : posix.join(posix.dirname(address), file);
    if (/^[a-z]+:|^\//i.test(target) || !files.has(to)) return true;
    return anchor !== undefined && anchors.get(to)?.has(anchor) !== true;
  });
}

describe("the site", () => {
  it("has every page of the repository", () => {
    const wanted = filesIn(["docs"], /\.md$/).map((path) =>
      path.replace(/README\.md$/, "index.md").replace(/md$/, "html"),
    );
    expect(wanted.length).toBeGreaterThan(300);
    expect(wanted.filter((address) => !pages.has(address))).toEqual([]);
    expect(pages.has("index.html")).toBe(true);
  });

  it("links to what it has, and loads nothing from elsewhere", () => {
    expect(
      brokenIn("docs/words.html", '<a href="nowhere.html"><img src="https://example.org/a.png">'),
    ).toHaveLength(2);
    expect(
      [...pages].flatMap(([address, html]) => brokenIn(address, html).map((to) => `${address}: ${to}`)),
    ).toEqual([]);
    for (const name of ["assets/search.js", "assets/site.css", "assets/minisearch.js"]) {
      const calls =
        /(?<!\.)\bfetch\(["'`]|XMLHttpRequest|WebSocket|importScripts|@import|\burl\(|sourceMappingURL/;
      expect(calls.exec(String(files.get(name)))?.[0], name).toBeUndefined();
    }
  });

  it("leads from a citation to the work", () => {
    expect(pages.get("docs/checks.html")).toContain(
      '<a href="references.html#jcgm-106-2012">jcgm-106-2012</a>',
    );
    expect(pages.get("docs/references.html")).toContain('id="jcgm-106-2012"');
  });

  it("finds by the index that it brings along", () => {
    const scope: { coldturnIndex?: string; coldturnOptions?: ConstructorParameters<typeof MiniSearch>[0] } =
      {};
    new Function("globalThis", String(files.get("assets/index.js")))(scope);
    if (scope.coldturnIndex === undefined || scope.coldturnOptions === undefined) throw new Error("no index");
    const engine = MiniSearch.loadJSON(scope.coldturnIndex, scope.coldturnOptions);
    const first = (asked: string) =>
      engine
        .search(asked)
        .slice(0, 5)
        .map(({ address }) => String(address));
    expect(first("cavity vent hole").some((address) => address.startsWith("docs/"))).toBe(true);
    expect(first("decimal comma").join(" ")).toContain("docs/errors/decimal-comma.html");
    expect(first("breakaway torq").length).toBeGreaterThan(0);
    expect(first("xylophone")).toEqual([]);
  });
});

it("a page with raw HTML is refused, and what it says of other text is text", () => {
  const surroundings = { addressOf: (to: string) => to, citation: () => undefined };
  expect(() => renderPage("# a\n\n<script>alert(1)</script>\n", surroundings)).toThrow("raw HTML");
  const { html, title, anchors: ids } = renderPage("# A & b\n\n`<b>` 1 < 2\n\n## A & b\n", surroundings);
  expect(title).toBe("A & b");
  expect(html).toContain("<code>&lt;b&gt;</code> 1 &lt; 2");
  expect(ids).toEqual(["a--b", "a--b-1"]);
});
