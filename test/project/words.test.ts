import ts from "typescript";
import { expect, it } from "vitest";
import { filesIn, present, textOf } from "./files.js";

/** Words that would claim what the program cannot know. */
const CLAIMS: readonly RegExp[] = [
  /\bsafe\b/i,
  /\bcertified\b/i,
  /\boxygen[- ]compatible\b/i,
  /\bqualified\b/i,
  /\bcompl(y|ies) with\b/i,
];
/** Marks of unfinished work. */
const UNFINISHED = /\b(TODO|FIXME|XXX|HACK)\b/;

/** What a source file can print: its string literals and the fixed parts of its templates. */
function stringsOf(path: string, text: string): readonly string[] {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isStringLiteralLike(node) || ts.isTemplateHead(node) || ts.isTemplateMiddleOrTemplateTail(node))
      found.push(node.text);
    ts.forEachChild(node, visit);
  };
  visit(ts.createSourceFile(path, text, ts.ScriptTarget.ES2022));
  return found;
}

const claimsIn = (texts: readonly string[]): readonly string[] =>
  texts.filter((text) => CLAIMS.some((claim) => claim.test(text)));

/** Prose with its quotations taken out: a page may say which words the program never prints. */
const unquoted = (page: string): string => page.replace(/`[^`\n]*`|"[^"\n]*"|(?<!\w)'[^'\n]*'(?!\w)/g, "");

it("a claim is found in a string and in a template, not in a comment or a name", () => {
  const text = [
    "const safe = 1; // safe",
    "print(`the valve is $" + "{x} safe`);",
    "print('certified', \"safety\", 'it complies with all');",
  ].join("\n");
  expect(claimsIn(stringsOf("a.ts", text))).toEqual([" safe", "certified", "it complies with all"]);
  expect(claimsIn([unquoted("It never prints 'safe' or `certified`.")])).toEqual([]);
  expect(claimsIn([unquoted("It's safe and that's it.")])).toHaveLength(1);
});

it.each(filesIn(present(["src", "demo"]), /\.ts$/))("%s prints no claim", (path) => {
  expect(claimsIn(stringsOf(path, textOf(path)))).toEqual([]);
});

// Titles in data/references.json are quotations.
const dataFiles = filesIn(present(["data", "demo"]), /\.(json|ya?ml)$/).filter(
  (path) => path !== "data/references.json",
);
it("no data and no demo file makes a claim", () => {
  expect(dataFiles.filter((path) => claimsIn(textOf(path).split("\n")).length > 0)).toEqual([]);
});

it.each(filesIn(["."], /\.md$/))("%s makes no claim", (path) => {
  expect(claimsIn(unquoted(textOf(path)).split("\n"))).toEqual([]);
});

it("nothing is left unfinished", () => {
  const own = "test/project/words.test.ts";
  const files = filesIn(
    present(["src", "data", "bench", "demo", "docs", "test", "tools"]),
    /\.(ts|mjs|md|json|ya?ml)$/,
  );
  expect(files.length).toBeGreaterThan(10);
  expect(files.filter((path) => path !== own && UNFINISHED.test(textOf(path)))).toEqual([]);
});
