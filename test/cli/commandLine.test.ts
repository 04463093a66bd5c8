/** What every command has in common: help, faults of the words, JSON, quiet, pipes, defects. */
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { commands } from "../../src/cli/commands.js";
import { built } from "../host/built.js";
import { inFolder } from "../host/folder.js";
import { root } from "../project/files.js";
import { at, coldturn, recordOf, widest } from "./program.js";

const demo = "demo/petrel-oxygen-main";
const colourCode = "\u001b[";

describe("help", () => {
  it("lists every command with what it does, and the exit status", async () => {
    for (const words of [[], ["--help"], ["help"]]) {
      const { status, stdout, stderr } = await coldturn(words);
      expect([status, stderr]).toEqual([0, ""]);
      for (const { name } of commands) expect(stdout).toMatch(new RegExp(`^  ${name} +\\w`, "m"));
      expect(stdout).toContain("0    every check holds");
    }
  });

  it.each(commands.map(({ name }) => name))(
    "of %s has an example, its options and the status",
    async (name) => {
      const { status, stdout } = await coldturn([name, "--help"], { env: { COLUMNS: "80" } });
      expect(status).toBe(0);
      expect(stdout).toMatch(new RegExp(`^coldturn ${name}`));
      expect(stdout).toMatch(/^Examples?$/m);
      expect(stdout).toMatch(new RegExp(`^ {4}coldturn ${name}`, "m"));
      for (const option of ["--json", "--quiet"]) expect(stdout).toContain(option);
      expect(stdout).toContain("130  interrupted");
      expect(widest(stdout.replaceAll(/^ {4}coldturn.*$/gm, ""))).toBeLessThanOrEqual(80);
      expect((await coldturn(["help", name], { env: { COLUMNS: "80" } })).stdout).toBe(stdout);
    },
  );

  it("the version is that of the package", async () => {
    const { version } = JSON.parse(readFileSync(`${root}/package.json`, "utf8"));
    expect((await coldturn(["--version"])).stdout).toBe(`${version}\n`);
  });
});

describe("words that cannot be understood end with status 2 and say how to mend them:", () => {
  it.each([
    { words: ["chekc", demo], says: '"chekc" is no command', near: 'Did you mean "check"?' },
    { words: ["help", "predct"], says: '"predct" is no command', near: 'Did you mean "predict"?' },
    {
      words: ["check", demo, "--smaples", "10"],
      says: "unknown option '--smaples'",
      near: 'Did you mean "--samples"?',
    },
    { words: ["check"], says: "missing required argument 'folder'", near: "coldturn check <folder>" },
    { words: ["check", demo, "extra"], says: "too many arguments", near: "coldturn check --help" },
    {
      words: ["check", demo, "--samples", "many"],
      says: '"many" is no whole number',
      near: "--samples 1000",
    },
    { words: ["predict", demo, "--samples", "-5"], says: '"-5" is no whole number', near: "from 0 to" },
    { words: ["predict", demo, "--workers", "0"], says: '"0" is no whole number', near: "from 1 to" },
    { words: ["predict", demo, "--seed", "1.5"], says: '"1.5" is no whole number', near: "--seed" },
    { words: ["predict", demo, "--case"], says: "argument missing", near: "coldturn predict" },
    { words: ["--verbose", "check", demo], says: '"--verbose" is no command', near: "Options stand behind" },
  ])("$words", async ({ words, says, near }) => {
    const { status, stdout, stderr } = await coldturn(words);
    expect(status).toBe(2);
    expect(`${stdout}${stderr}`.replaceAll("\n", " ")).toContain(says);
    expect(`${stdout}${stderr}`.replaceAll("\n", " ")).toContain(near);
    expect(stderr).not.toMatch(/\bat .*\.js:\d/);
  });

  it("as one JSON record on the standard output where that was asked for", async () => {
    const ended = await coldturn(["check", "nowhere", "--json"]);
    expect([ended.status, ended.stderr]).toEqual([2, ""]);
    const record = recordOf(ended);
    expect(record).toMatchObject({ command: "check", status: 2 });
    expect(at(record, "faults.0.code")).toBe("file-missing");
  });
});

describe("a defect", () => {
  const broken = {
    NODE_OPTIONS:
      "--import data:text/javascript,JSON.stringify=()=>{throw(new(TypeError)('a\\u0020cog\\u0020broke'))}",
  };

  it("says in one paragraph that it is ours and what to send, and keeps the place in a file", async () => {
    await inFolder(async (folder) => {
      const { status, stdout, stderr } = await coldturn(["schema"], { env: { ...broken, TMPDIR: folder } });
      expect([status, stdout]).toEqual([3, ""]);
      const text = stderr.replaceAll("\n", " ");
      expect(text).toContain("This is a defect of Coldturn, not of your input.");
      expect(text).not.toMatch(/\bat .*\.js:\d/);
      const [report] =
        /\/\S+coldturn-defect-[0-9a-f]{12}\.txt/.exec(text.replaceAll(/(?<=[/-]) /g, "")) ?? [];
      const kept = readFileSync(report ?? "", "utf8");
      expect(kept).toContain("a cog broke");
      expect(kept).toContain("coldturn schema");
      expect(kept, "the place in the source").toMatch(/\bat jsonText \(src\/cli\/jsonText\.ts:\d+:\d+\)/);
    });
  });
});

it("a defect where nobody waits for it is told the same way", async () => {
  const late = {
    NODE_OPTIONS:
      "--import data:text/javascript,setTimeout(()=>{throw(new(Error)('a\\u0020late\\u0020cog'))},5000)",
  };
  await inFolder(async (folder) => {
    const ended = await coldturn(["predict", demo, "--samples", "1000000", "--json"], {
      env: { ...late, TMPDIR: folder },
    });
    expect(ended.status).toBe(3);
    expect(at(recordOf(ended), "defect.text")).toContain("a late cog");
    expect(ended.stderr).not.toMatch(/\bat .*:\d/);
  });
});

describe("in a pipe", () => {
  it("a reader that has seen enough ends the program without a word", () => {
    const program = fileURLToPath(built("src/cli/main.js"));
    const { stderr, stdout } = spawnSync(
      "bash",
      ["-c", `"${process.execPath}" "${program}" schema | head -n 1`],
      {
        encoding: "utf8",
        cwd: root,
      },
    );
    expect([stdout, stderr]).toEqual(["{\n", ""]);
  });

  it("an output that cannot be written is told", () => {
    const program = fileURLToPath(built("src/cli/main.js"));
    const { status, stderr } = spawnSync(
      "bash",
      ["-c", `"${process.execPath}" "${program}" schema > /dev/full`],
      {
        encoding: "utf8",
      },
    );
    expect(status).toBe(2);
    expect(stderr).toContain("The output could not be written: ENOSPC");
  });

  it("there are no colours, unless they are asked for, and NO_COLOR goes before that", async () => {
    expect((await coldturn(["new", "--help"])).stdout).not.toContain(colourCode);
    expect((await coldturn(["new", "--help"], { env: { FORCE_COLOR: "1" } })).stdout).toContain(colourCode);
    const both = await coldturn(["new", "--help"], { env: { FORCE_COLOR: "1", NO_COLOR: "1" } });
    expect(both.stdout).not.toContain(colourCode);
  });
});
