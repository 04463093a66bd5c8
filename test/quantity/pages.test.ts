import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { faultsText, Refusal } from "../../src/fault/index.js";
import { type Dimension, dimensions, parseDeclared } from "../../src/quantity/index.js";

/**
 * Each code that src/quantity refuses with has a page in docs/errors. The page holds a sample,
 * `<!-- provoked by VALUE as DIMENSION -->`, and below it the refusal as it is printed.
 */
const root = new URL("../../", import.meta.url);
const SAMPLE = /<!-- provoked by (.+) as ([a-z ]+?)( between 0 and 1)? -->\n```text\n([\s\S]+?)\n```/;
const share = { min: 0, max: 1, because: "An efficiency is the share of power passed on." };
const names = Object.keys(dimensions) as Dimension[];

const pages = readdirSync(new URL("docs/errors/", root)).flatMap((name) => {
  const text = readFileSync(new URL(`docs/errors/${name}`, root), "utf8");
  const [, value, dimension, bounds, printed] = SAMPLE.exec(text) ?? [];
  return value === undefined
    ? []
    : [{ code: name.replace(".md", ""), text, value, dimension, isShare: bounds !== undefined, printed }];
});

describe("the page of", () => {
  it.each(pages)("$code shows what provokes it and what is printed", (page) => {
    const raw: unknown = JSON.parse(page.value);
    const dimension = names.find((name) => name === page.dimension);
    if (dimension === undefined) throw new Error(`no dimension ${page.dimension}`);
    const { faults } = refusalOf(() => parseDeclared(raw, dimension, page.isShare ? share : {}));
    expect(faults[0]?.code).toBe(page.code);
    expect(faultsText(faults)).toBe(page.printed);
    expect(page.text.startsWith(`# ${page.code}\n`)).toBe(true);
  });
});

it("no code of src/quantity is without a page", () => {
  const sources = readdirSync(new URL("src/quantity/", root))
    .map((name) => readFileSync(new URL(`src/quantity/${name}`, root), "utf8"))
    .join("\n");
  const codes = [...sources.matchAll(/\brefuse\(\s*"([a-z-]+)"/g)].map(([, code]) => code);
  expect(codes.length).toBeGreaterThan(10);
  // A code that a call of other code provokes has its sample run by test/project/errors.
  const called = readdirSync(new URL("docs/errors/", root)).filter((name) =>
    readFileSync(new URL(`docs/errors/${name}`, root), "utf8").includes("<!-- provoked by this call -->"),
  );
  expect([...pages.map(({ code }) => code), ...called.map((name) => name.replace(".md", ""))]).toEqual(
    expect.arrayContaining(codes),
  );
});

function refusalOf(act: () => unknown): Refusal {
  try {
    act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown;
    throw thrown;
  }
  throw new Error("nothing was refused");
}
