import { describe, expect, it } from "vitest";
import { z } from "zod";
import { filesIn, present, textOf } from "./files.js";

/**
 * The one bibliography, data/references.json: key -> authors, title, year, where, note. A source is
 * cited by its key: in comments and pages in brackets, with the place behind it, several parted by a
 * semicolon; in data and code as the value of `reference` or `source`, their plurals, or `referenceKey`.
 */
const entry = z.strictObject({
  authors: z.string().min(2),
  title: z.string().min(2),
  year: z.int().min(1800).max(2100),
  where: z.string().min(2).optional(),
  note: z.string().min(2).optional(),
});

/** Two letters first, parts joined by hyphens, a digit somewhere: no unit or index in brackets looks so. */
const KEY = /^(?=.*\d)[a-z]{2}[a-z0-9.]*(-[a-z0-9.]+)+$/;

interface Citation {
  readonly key: string;
  readonly path: string;
}

/** Keys that a text cites. */
function citedIn(text: string): readonly string[] {
  const inBrackets = [...text.matchAll(/\[([^[\]]{3,300})\](?![(:[])/g)].flatMap(([, inner = ""]) =>
    inner.split(";"),
  );
  const asField = [
    ...text.matchAll(/\b["']?(?:references?|sources?)(?:Keys?)?["']?\s*:\s*(\[[^\]]*\]|["'`][^"'`]*["'`])/g),
  ].flatMap(([, value = ""]) =>
    [...value.matchAll(/["'`]([^"'`]*)["'`]/g)].flatMap(([, item = ""]) => item.split(";")),
  );
  return [...inBrackets, ...asField]
    .map((citation) =>
      (
        citation
          .replace(/\n\s*(\*|\/\/)?/g, " ")
          .trim()
          .split(/[,\s]/)[0] ?? ""
      ).trim(),
    )
    .filter((key) => KEY.test(key));
}

const references: unknown = JSON.parse(textOf("data/references.json"));
const keys = typeof references === "object" && references !== null ? Object.keys(references) : [];
const own = "test/project/references.test.ts";
const files = [
  ...filesIn(present(["src", "data", "bench", "demo", "docs", "test", "tools"]), /\.(ts|mjs|md|json|ya?ml)$/),
  ...filesIn(present(["README.md", "CONTRIBUTING.md", "CHANGELOG.md"]), /\.md$/),
].filter((path) => path !== own && path !== "data/references.json");
const citations: readonly Citation[] = files.flatMap((path) =>
  citedIn(textOf(path)).map((key) => ({ key, path })),
);

describe("what counts as a citation", () => {
  it.each([
    ["[iec-60534-2-1, eq. 3]", ["iec-60534-2-1"]],
    ["[span-2000, table 5; wagner-2002, eq. 6.4]", ["span-2000", "wagner-2002"]],
    [" * Source [nasa-std-5017a,\n *   4.3.2]", ["nasa-std-5017a"]],
    ['"reference": "laesecke-1990, table 4"', ["laesecke-1990"]],
    ['"referenceKey": "abramowitz-stegun-1972"', ["abramowitz-stegun-1972"]],
    ['references: ["iso-5208-2015", "api-598"]', ["iso-5208-2015", "api-598"]],
    ["[N*m] [-] [kg m-3] [0, 1] values[index - 1] /[a-z0-9]/ [text-1](page.md)", []],
    ['source: "estimate, +/- 50 %"', []],
  ])("%s", (text, expected) => expect(citedIn(text)).toEqual(expected));
});

it.each(Object.entries(references ?? {}))("entry %s is complete and has the form of a key", (key, value) => {
  expect(key).toMatch(KEY);
  expect(entry.safeParse(value).error?.issues ?? []).toEqual([]);
});

it("the entries are in order", () => {
  expect(keys).toEqual([...keys].sort());
});

it("every cited key has an entry", () => {
  const without = citations.filter(({ key }) => !keys.includes(key));
  expect([...new Set(without.map(({ key, path }) => `${key} in ${path}`))].sort()).toEqual([]);
});

it("every entry is cited", () => {
  const cited = new Set(citations.map(({ key }) => key));
  expect(keys.filter((key) => !cited.has(key))).toEqual([]);
});
