import { existsSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { expect, it } from "vitest";
import { filesIn, root, textOf } from "./files.js";

/** Text of a page without its code, in which a bracket is no link. */
function proseOf(page: string): string {
  return page.replace(/^(```|~~~)[\s\S]*?^\1/gm, "").replace(/`[^`\n]*`/g, "");
}

/** The anchors of a page, as its headings make them. */
function anchorsOf(page: string): readonly string[] {
  return [...page.replace(/^(```|~~~)[\s\S]*?^\1/gm, "").matchAll(/^#{1,6}\s+(.+)$/gm)].map(
    ([, heading = ""]) =>
      heading
        .trim()
        .toLowerCase()
        .replace(/[^\p{Letter}\p{Number}\s_-]/gu, "")
        .replace(/\s/g, "-"),
  );
}

/** Relative links of a page that lead nowhere. */
function brokenLinks(path: string, page: string): readonly string[] {
  const targets = [...proseOf(page).matchAll(/\]\(<?([^)\s>]+)>?(?:\s+"[^"]*")?\)/g)].map(
    ([, target = ""]) => target,
  );
  const images = [...page.matchAll(/<(?:img|a|source)\s[^>]*?(?:src|href|srcset)="([^"]+)"/g)].map(
    ([, at = ""]) => at,
  );
  return [...targets, ...images].filter((target) => {
    if (/^[a-z]+:/.test(target)) return false;
    const [file = "", anchor] = target.split("#");
    const to = file === "" ? path : normalize(join(dirname(path), decodeURIComponent(file)));
    if (to.startsWith("..") || !existsSync(join(root, to))) return true;
    return anchor !== undefined && to.endsWith(".md") && !anchorsOf(textOf(to)).includes(anchor);
  });
}

const pages = filesIn(["."], /\.md$/);

it("a link to a file or heading that is not there is found, and only that", () => {
  const page =
    "[a](README.md) [b](nowhere.md) [c](https://example.org) `[d](code.md)` [e](README.md#not-a-heading)";
  expect(brokenLinks("CONTRIBUTING.md", page)).toEqual(["nowhere.md", "README.md#not-a-heading"]);
  expect(brokenLinks("docs/words.md", '[a](../README.md) <img src="gone.svg">')).toEqual(["gone.svg"]);
});

it.each(pages)("every relative link of %s leads somewhere", (path) => {
  expect(brokenLinks(path, textOf(path))).toEqual([]);
});
