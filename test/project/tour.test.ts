/**
 * The tour of the README, the tutorial and the how-tos are kept true: their pictures are drawn anew; what
 * stands in a block behind `<!-- the demo prints -->` must be printed by the demo, in the order of the page;
 * what stands behind `<!-- from the demo's valve file -->` must stand there, line by line.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { tourPictures } from "../../tools/tour.js";
import { filesIn, root, textOf } from "./files.js";
import { missingLine, wantedLines } from "./printed.js";

const pages = ["README.md", "docs/tutorial.md", ...filesIn(["docs/how-to"], /\.md$/)];
const shown = pages.map(textOf).join("\n");

/** The blocks of a page behind a mark. */
function blocksOf(path: string, mark: string): readonly string[] {
  const block = new RegExp(`^<!-- ${mark} -->\\n+\`\`\`\\w*\\n([\\s\\S]*?)^\`\`\``, "gm");
  return [...textOf(path).matchAll(block)].map(([, body = ""]) => body);
}

/** Numbers that a picture may differ by: the arithmetic of another processor, not another model [px]. */
const sameWithin = 0.06;

/** A picture as its words and its numbers. */
function taken(svg: string): { readonly words: string; readonly numbers: readonly number[] } {
  const number = /-?\d+(?:\.\d+)?/g;
  return { words: svg.replace(number, "#"), numbers: (svg.match(number) ?? []).map(Number) };
}

describe("the pictures of the pages", () => {
  it("are those that tools/tour.ts draws; `node dist/tools/tour.js` draws them anew", {
    timeout: 300_000,
  }, async () => {
    const pictures = await tourPictures(textOf("demo/petrel-oxygen-main/valve.yaml"));
    const kept = ["tour", "how-to"].flatMap((folder) => filesIn([`docs/${folder}`], /\.svg$/)).sort();
    expect(kept).toEqual(pictures.map(({ file }) => `docs/${file}`).sort());
    for (const { file, svg } of pictures) {
      const kept = taken(textOf(`docs/${file}`));
      const drawn = taken(svg);
      expect(drawn.words, file).toBe(kept.words);
      const apart = drawn.numbers.filter((value, i) => Math.abs(value - (kept.numbers[i] ?? 0)) > sameWithin);
      expect(apart, file).toEqual([]);
      expect(shown, "shown in a page").toContain(file.replace(/^how-to\//, ""));
    }
  });
});

/** A copy of the bundled project in which the demo can write. */
function makeCopy(): string {
  const directory = mkdtempSync(join(tmpdir(), "coldturn-tour-"));
  const skip = join(root, "demo", "out");
  for (const folder of ["dist", "demo"])
    cpSync(join(root, folder), join(directory, folder), { recursive: true, filter: (path) => path !== skip });
  cpSync(join(root, "package.json"), join(directory, "package.json"));
  symlinkSync(join(root, "node_modules"), join(directory, "node_modules"));
  return directory;
}

describe("the demo", () => {
  it("ends well, and prints what the pages show of it", { timeout: 600_000 }, () => {
    const directory = makeCopy();
    try {
      const { status, stdout, stderr } = spawnSync(process.execPath, [join("dist", "demo", "run.js")], {
        cwd: directory,
        encoding: "utf8",
        env: { ...process.env, NO_COLOR: "1", FORCE_COLOR: "0" },
        maxBuffer: 1 << 26,
      });
      expect(status, stdout.slice(-2000) + stderr).toBe(0);
      const unlike = pages.flatMap((path) => {
        const line = missingLine(blocksOf(path, "the demo prints").flatMap(wantedLines), stdout);
        return line === undefined ? [] : [`${path}: ${line}`];
      });
      expect(unlike, "lines that the demo does not print, the first of each page").toEqual([]);
      expect(blocksOf("README.md", "the demo prints").length).toBeGreaterThan(3);
    } finally {
      rmSync(directory, { recursive: true, force: true });
    }
  });
});

it("what a page shows of the demo's valve file stands there", () => {
  const valve = textOf("demo/petrel-oxygen-main/valve.yaml");
  const quoted = pages.flatMap((path) =>
    blocksOf(path, "from the demo's valve file").map((body) => ({ path, body })),
  );
  expect(quoted.length).toBeGreaterThan(9);
  for (const { path, body } of quoted) expect(missingLine(wantedLines(body), valve), path).toBeUndefined();
});
