/**
 * The tour of the README is kept true: its pictures are drawn anew, and what stands in a block behind
 * `<!-- the demo prints -->` must be printed by the demo, in the order of the page.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { tourPictures } from "../../tools/tour.js";
import { root, textOf } from "./files.js";
import { missingLine, wantedLines } from "./printed.js";

const page = textOf("README.md");
const blocks = [...page.matchAll(/^<!-- the demo prints -->\n+```\w*\n([\s\S]*?)^```/gm)].map(
  ([, body = ""]) => body,
);

/** Numbers that a picture may differ by: the arithmetic of another processor, not another model [px]. */
const sameWithin = 0.06;

/** A picture as its words and its numbers. */
function taken(svg: string): { readonly words: string; readonly numbers: readonly number[] } {
  const number = /-?\d+(?:\.\d+)?/g;
  return { words: svg.replace(number, "#"), numbers: (svg.match(number) ?? []).map(Number) };
}

describe("the pictures of the tour", () => {
  it("are those that tools/tour.ts draws; `node dist/tools/tour.js` draws them anew", {
    timeout: 300_000,
  }, async () => {
    const pictures = await tourPictures(textOf("demo/petrel-oxygen-main/valve.yaml"));
    expect(readdirSync(join(root, "docs", "tour")).sort()).toEqual(pictures.map(({ file }) => file).sort());
    for (const { file, svg } of pictures) {
      const kept = taken(textOf(`docs/tour/${file}`));
      const drawn = taken(svg);
      expect(drawn.words, file).toBe(kept.words);
      const apart = drawn.numbers.filter((value, i) => Math.abs(value - (kept.numbers[i] ?? 0)) > sameWithin);
      expect(apart, file).toEqual([]);
      expect(page, "shown in the README").toContain(`docs/tour/${file}`);
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
  it("ends well, and prints what the README shows of it", { timeout: 600_000 }, () => {
    expect(blocks.length).toBeGreaterThan(3);
    const directory = makeCopy();
    try {
      const { status, stdout, stderr } = spawnSync(process.execPath, [join("dist", "demo", "run.js")], {
        cwd: directory,
        encoding: "utf8",
        env: { ...process.env, NO_COLOR: "1", FORCE_COLOR: "0" },
        maxBuffer: 1 << 26,
      });
      expect(status, stdout.slice(-2000) + stderr).toBe(0);
      expect(missingLine(blocks.flatMap(wantedLines), stdout)).toBeUndefined();
    } finally {
      rmSync(directory, { recursive: true, force: true });
    }
  });
});
