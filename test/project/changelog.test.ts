/** The form of the changelog, as docs/releases.md has it. */
import { expect, it } from "vitest";
import { modelVersion } from "../../src/predict/index.js";
import { filesIn, textOf } from "./files.js";

const NEXT = /^Next(?:, model (\d+\.\d+\.\d+))?$/;
const RELEASE = /^(\d+\.\d+\.\d+) \((\d{4}-\d{2}-\d{2}), model (\d+\.\d+\.\d+)\)$/;

interface Heading {
  readonly version: string | undefined;
  readonly date: string | undefined;
  readonly model: string | undefined;
}

/** The headings of a changelog; what has another form is told. */
function headingsOf(text: string): {
  readonly headings: readonly Heading[];
  readonly odd: readonly string[];
} {
  const headings: Heading[] = [];
  const odd: string[] = [];
  for (const [, words = ""] of text.matchAll(/^## (.+)$/gm)) {
    const next = headings.length === 0 ? NEXT.exec(words) : null;
    const [, version, date, model] = RELEASE.exec(words) ?? [];
    const day = new Date(`${date ?? "none"}T00:00:00Z`);
    const isDay = !Number.isNaN(day.valueOf()) && day.toISOString().slice(0, 10) === date;
    if (next !== null) headings.push({ version: undefined, date: undefined, model: next[1] });
    else if (isDay) headings.push({ version, date, model });
    else odd.push(words);
  }
  return { headings, odd };
}

const order = (a = "", b = ""): number => a.localeCompare(b, "en", { numeric: true });

it("a heading of another form, and a day that no calendar has, are found", () => {
  const text =
    "## Next\n## 1.0.0 (2026-04-31, model 1.0.0)\n## 0.9\n## Next\n## 0.8.0 (2026-04-30, model 0.1.0)\n";
  expect(headingsOf(text).odd).toEqual(["1.0.0 (2026-04-31, model 1.0.0)", "0.9", "Next"]);
});

it("the changelog has its form, newest first, and tells the versions of program and model", () => {
  const { headings, odd } = headingsOf(textOf("CHANGELOG.md"));
  expect(odd).toEqual([]);
  const released = headings.filter(({ version }) => version !== undefined);
  const { version }: { version: string } = JSON.parse(textOf("package.json"));
  expect(released[0]?.version).toBe(version);
  expect(headings.find(({ model }) => model !== undefined)?.model).toBe(modelVersion);
  for (const key of ["version", "date", "model"] as const) {
    const values = released.map((heading) => heading[key]);
    expect(values, key).toEqual(values.toSorted((a, b) => order(b, a)));
  }
});

it("a page that names the file of the package names that of this version", () => {
  const { version }: { version: string } = JSON.parse(textOf("package.json"));
  const pages = filesIn(["README.md", "docs"], /\.md$/).filter((path) => path !== "docs/releases.md");
  const named = pages.flatMap((path) => [...textOf(path).matchAll(/coldturn-(\d+\.\d+\.\d+)\.tgz/g)]);
  expect(named.length).toBeGreaterThan(1);
  expect(named.filter(([, of]) => of !== version)).toEqual([]);
});
