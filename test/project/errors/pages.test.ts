import { describe, expect, it } from "vitest";
import { filesIn, textOf } from "../files.js";
import { codesInSources, codesInText } from "./codes.js";
import { provoke, sampleOf } from "./provoke.js";

/**
 * Every code that the program can give has a page in docs/errors, every page a code. A page says what
 * the code means, what is printed for it, and has a sample that provokes it; the samples of valve files,
 * values, logs and events are run by the tests of those folders, all others here.
 */
const pages = filesIn(["docs/errors"], /\.md$/)
  .filter((path) => !path.endsWith("README.md"))
  .map((path) => ({ code: path.replace(/^.*\/|\.md$/g, ""), text: textOf(path) }));
const codes = [...new Set(codesInSources().map(({ code }) => code))].sort();

describe("the codes of a source", () => {
  it("are found as properties and as arguments, in each branch of a choice", () => {
    const text = [
      'function refuse(code: string, found: string): never { throw { code, found, other: "not-this" }; }',
      "const report = (where: string, code: string) => ({ code, where });",
      'refuse("too-small", "no-code"); report("not-a-code", x ? "this-one" : "or-that");',
      'const notice = { code: "as-property", text: "none" };',
    ].join("\n");
    expect(codesInText(text)).toEqual(["too-small", "this-one", "or-that", "as-property"]);
  });
});

it("every code has a page, and every page a code", () => {
  expect(codes.length).toBeGreaterThan(150);
  expect(pages.map(({ code }) => code)).toEqual(codes);
});

it("the list of pages names each of them once, with its first sentence", () => {
  const list = textOf("docs/errors/README.md");
  for (const { code, text } of pages) {
    const [, , meaning = ""] = text.split("\n");
    expect(list.split("\n")).toContain(`| [${code}](${code}.md) | ${meaning} |`);
  }
  expect(list.match(/^\| \[/gm)).toHaveLength(pages.length);
});

it.each(pages)("the page of $code says what it means and what is printed", ({ code, text }) => {
  expect(text.startsWith(`# ${code}\n\n`)).toBe(true);
  expect(text).toMatch(/^```text\n[\s\S]+?^```/m);
});

/** What is the same at every run: without the date of today and the hashes that it enters. */
function lasting(printed: string): string {
  return printed
    .replace(/\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z/g, "<now>")
    .replace(/predictions\/\d{4}-\d{2}-\d{2}/g, "predictions/<today>")
    .replace(/\b[0-9a-f]{12}\b/g, "<hash>");
}

describe("the page of", () => {
  const provoked = pages.flatMap(({ code, text }) => {
    const sample = sampleOf(text);
    return sample === undefined ? [] : [{ code, ...sample }];
  });
  it.each(provoked)(
    "$code shows what provokes it and what is printed",
    {
      timeout: 120_000,
    },
    async ({ code, kind, text, shown }) => {
      const { codes: found, printed } = await provoke(kind, text, code);
      expect(found).toContain(code);
      expect(lasting(printed)).toBe(lasting(shown));
    },
  );
});
