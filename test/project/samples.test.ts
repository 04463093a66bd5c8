/**
 * Runs the samples of the pages. In front of a fenced block of shell commands stands one of
 *
 *   <!-- run -->            the commands must end with status 0
 *   <!-- run: exit 1 -->    the last command must end with status 1
 *
 * and in front of a block that shows what they print
 *
 *   <!-- prints -->         each of its lines must be printed by the sample before, in this order;
 *                           a line "..." stands for any lines
 *
 * The samples of one page run in order in one copy of the project, in which they may write. `npx coldturn`
 * is the warm program there (test/cli/warmServer.ts): what a page says is tested, not npm.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { warmAddress } from "../cli/warm.js";
import { filesIn, root, textOf } from "./files.js";
import { missingLine, wantedLines } from "./printed.js";

interface Sample {
  readonly line: number;
  readonly commands: string;
  readonly status: number;
  /** Lines that must be printed, in order. */
  readonly prints: readonly string[];
}

const MARKED = /^<!-- (run(?:: exit (\d+))?|prints) -->\n+```\w*\n([\s\S]*?)^```/gm;

function samplesOf(page: string): readonly Sample[] {
  const samples: Sample[] = [];
  for (const { 1: kind = "", 2: status = "0", 3: body = "", index } of page.matchAll(MARKED)) {
    const last = samples.at(-1);
    if (kind !== "prints") {
      const line = page.slice(0, index).split("\n").length;
      samples.push({ line, commands: body, status: Number(status), prints: [] });
    } else if (last !== undefined) {
      samples[samples.length - 1] = { ...last, prints: wantedLines(body) };
    }
  }
  return samples;
}

/** A copy of the project whose demo may be written to; the rest is shared. */
function makeCopy(): string {
  const directory = mkdtempSync(join(tmpdir(), "coldturn-samples-"));
  for (const entry of readdirSync(root)) {
    if (entry === ".git" || entry === ".coldturn") continue;
    if (entry === "demo") cpSync(join(root, entry), join(directory, entry), { recursive: true });
    else symlinkSync(join(root, entry), join(directory, entry));
  }
  return directory;
}

const npx = `npx() { shift; node "${join(root, "test", "cli", "warmClient.mjs")}" "$@"; }\n`;

function runSample(
  sample: Sample,
  directory: string,
  WARM = "",
): { readonly status: number | null; readonly output: string } {
  const { status, stdout, stderr } = spawnSync("bash", ["-euo", "pipefail", "-c", npx + sample.commands], {
    cwd: directory,
    encoding: "utf8",
    env: { ...process.env, WARM, NO_COLOR: "1", FORCE_COLOR: "0" },
  });
  return { status, output: stdout + stderr };
}

describe("how a sample is read and judged", () => {
  const page = [
    ...["<!-- run -->", "```sh", "echo one; echo two; echo three", "```", ""],
    ...["<!-- prints -->", "```text", "one", "...", "three", "```", ""],
    ...["```sh", "echo not marked", "```", "<!-- run: exit 3 -->", "", "```sh", "echo out; exit 3", "```"],
  ].join("\n");
  it("reads the marked blocks alone", () => {
    expect(samplesOf(page)).toEqual([
      { line: 1, commands: "echo one; echo two; echo three\n", status: 0, prints: ["one", "three"] },
      { line: 16, commands: "echo out; exit 3\n", status: 3, prints: [] },
    ]);
  });
  it("finds a wrong status and a line that was not printed", () => {
    const [first, second] = samplesOf(page);
    if (first === undefined || second === undefined) throw new Error("the page has two samples");
    const { output } = runSample(first, tmpdir());
    expect(missingLine(first.prints, output)).toBeUndefined();
    expect(missingLine(["three", "one"], output)).toBe("one");
    expect(runSample(second, tmpdir()).status).toBe(3);
  });
});

describe.each(filesIn(["."], /\.md$/).filter((path) => samplesOf(textOf(path)).length > 0))(
  "samples of %s",
  (path) => {
    it("do what the page says", { timeout: 300_000 }, async () => {
      const warm = await warmAddress();
      const directory = makeCopy();
      try {
        for (const sample of samplesOf(textOf(path))) {
          const { status, output } = runSample(sample, directory, warm);
          expect(status, `${path}:${sample.line}\n${output}`).toBe(sample.status);
          expect(missingLine(sample.prints, output), `${path}:${sample.line}\n${output}`).toBeUndefined();
        }
      } finally {
        rmSync(directory, { recursive: true, force: true });
      }
    });
  },
);
