/** What stands around the content of every page: head, search, navigation. */

import { escapeHtml } from "./markdown.js";
import type { NavigationGroup } from "./navigation.js";

/** One page to be framed. */
export interface FramedPage {
  /** Address within the site: "docs/words.html". */
  readonly address: string;
  /** Path of its source: "docs/words.md". */
  readonly path: string;
  readonly title: string;
  readonly html: string;
}

/** What all pages share. */
export interface Frame {
  readonly version: string;
  readonly navigation: readonly NavigationGroup[];
  readonly titleOf: (path: string) => string;
  readonly addressOf: (path: string) => string;
}

/** Address of one file of the site as seen from another. */
export function relativeAddress(from: string, to: string): string {
  const up = from.split("/").slice(0, -1);
  const down = to.split("/");
  while (up.length > 0 && up[0] === down[0] && down.length > 1) {
    up.shift();
    down.shift();
  }
  return [...up.map(() => ".."), ...down].join("/");
}

/** A whole page. It loads nothing from anywhere but the site's own folder, and works without a server. */
export function framed(page: FramedPage, frame: Frame): string {
  const to = (address: string): string => escapeHtml(relativeAddress(page.address, address));
  const groups = frame.navigation.map(({ title, pages }) => {
    const links = pages.map((path) => {
      const here = path === page.path ? ' aria-current="page"' : "";
      return `<li><a href="${to(frame.addressOf(path))}"${here}>${escapeHtml(frame.titleOf(path))}</a></li>`;
    });
    const open = pages.includes(page.path) || title === "Begin" ? " open" : "";
    return `<details${open}><summary>${title}</summary><ul>${links.join("")}</ul></details>`;
  });
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${escapeHtml(page.title)} - Coldturn</title>
<link rel="stylesheet" href="${to("assets/site.css")}">
<link rel="icon" href="data:,">
</head>
<body data-root="${to("assets/x").replace(/assets\/x$/, "")}">
<a class="skip" href="#content">To the text</a>
<header>
<a class="name" href="${to("index.html")}">Coldturn ${escapeHtml(frame.version)}</a>
<form role="search" onsubmit="return false">
<input type="search" id="search" placeholder="Search" aria-label="Search these pages" autocomplete="off">
<ol id="found" hidden></ol>
</form>
</header>
<div class="columns">
<nav aria-label="Pages">${groups.join("\n")}</nav>
<main id="content">
${page.html}
</main>
</div>
<script src="${to("assets/minisearch.js")}"></script>
<script src="${to("assets/search.js")}"></script>
</body>
</html>
`;
}
