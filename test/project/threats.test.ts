/** SECURITY.md: each threat names its tests, and each of these is there. */
import { describe, expect, it } from "vitest";
import { textOf } from "./files.js";

const page = textOf("SECURITY.md");
const threats = page
  .slice(page.indexOf("\n## Threats\n"), page.indexOf("\n## Signed off\n"))
  .split(/^### /m)
  .slice(1)
  .map((section) => ({
    threat: section.split("\n", 1)[0] ?? "",
    section,
    tests: [...section.matchAll(/^- `([^`]+)`: "(.+)"$/gm)].map(([, path = "", name = ""]) => ({
      path,
      name,
    })),
  }));

describe("the threat", () => {
  it.each(threats)("$threat says what is done, what remains, and has a test", ({ section, tests }) => {
    expect(section).toContain("*Remains:*");
    expect(tests.length).toBeGreaterThan(0);
    expect([...section.matchAll(/^- /gm)]).toHaveLength(tests.length);
  });

  it.each(threats.flatMap(({ threat, tests }) => tests.map((test) => ({ threat, ...test }))))(
    "$threat: $name",
    ({ path, name }) => {
      // A title may hold what a constant says: the words ahead of it are looked for.
      const [title = name] = name.split(/ \(\d+ kills\)/);
      const titles = [...textOf(path).matchAll(/["`]([^"`\n]+)["`]/g)].map(([, words = ""]) => words);
      expect(titles.some((words) => words === title || words.startsWith(`${title} (`))).toBe(true);
    },
  );

  it("is one of a list that nobody has signed unless a name stands there", () => {
    expect(threats.length).toBeGreaterThanOrEqual(15);
    const [, row = ""] = /\|---\|---\|---\|---\|\n(.*)\n/.exec(page) ?? [];
    const isSigned = row.replaceAll(/[|\s]/g, "") !== "";
    expect(page.includes("Nobody has signed.")).toBe(!isSigned);
  });
});

it("every package has an exact version, a hash, and no script at installation", () => {
  const { dependencies, devDependencies } = JSON.parse(textOf("package.json"));
  for (const [name, version] of Object.entries({ ...dependencies, ...devDependencies }))
    expect([name, version]).toEqual([name, expect.stringMatching(/^\d+\.\d+\.\d+(-[\w.]+)?$/)]);
  const { packages } = JSON.parse(textOf("package-lock.json"));
  const locked = Object.entries<Readonly<Record<string, unknown>>>(packages).filter(([path]) => path !== "");
  expect(locked.length).toBeGreaterThan(100);
  for (const [path, entry] of locked) {
    expect([path, entry.integrity]).toEqual([path, expect.stringMatching(/^sha512-/)]);
    expect([path, entry.hasInstallScript]).toEqual([path, undefined]);
  }
});
