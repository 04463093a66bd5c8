import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { examples } from "./examples.js";
import { picture, table, terminal } from "./sample.js";

const docs = join(import.meta.dirname, "..", "..", "docs");
const page = readFileSync(join(docs, "pictures.md"), "utf8");

describe("docs/pictures.md", () => {
  it("shows the sample that is run here, word for word", () => {
    const sample = readFileSync(join(import.meta.dirname, "sample.ts"), "utf8").trim();
    const shown = /```ts\n([\s\S]*?)```/.exec(page)?.[1]?.trim();
    expect(shown).toBe(sample.replace("../../src/picture/index.js", "coldturn/src/picture/index.js"));
    expect(picture.startsWith("<svg ")).toBe(true);
    expect(terminal.split("\n")[0]).toBe("Opening angle after the command");
    expect(table.split("\n")[1]).toBe("line,prediction,prediction,0,0");
  });

  it("shows every kept example, and no picture that is not there", () => {
    const links = [...page.matchAll(/!\[[^\]]+\]\(([^)]+)\)/g)].map((link) => link[1] ?? "");
    for (const link of links) expect(existsSync(join(docs, link)), link).toBe(true);
    for (const name of Object.keys(examples)) expect(links).toContain(`../test/figures/${name}.svg`);
  });

  it("names every kind of mark and figure", () => {
    const figures = Object.values(examples);
    const marks = figures.flatMap((figure) =>
      figure.kind === "plot" ? figure.marks.map((mark) => mark.kind) : [],
    );
    for (const kind of [...marks, "bars", ...figures.map((figure) => figure.kind)])
      expect(page).toContain(`\`${kind}\``);
  });
});
