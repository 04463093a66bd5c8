/** Disks that are full, folders and files that are not to be written: told, nothing half written, what stood there stands. */
import { spawn, spawnSync } from "node:child_process";
import { chmodSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { sha256 } from "../../src/host/index.js";
import { built } from "../host/built.js";
import { inFolder } from "../host/folder.js";
import { ask, change } from "../server/serving.js";
import { coldturn, dossierIn, dryLog, valveText } from "./program.js";

const program = () => fileURLToPath(built("src/cli/main.js"));
const few = ["--samples", "100", "--workers", "1"];

/** Every file below a folder with its bytes. */
function contents(folder: string): ReadonlyMap<string, string> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((one) => one.isFile());
  const paths = entries.map((one) => join(one.parentPath ?? one.path, one.name));
  return new Map(paths.sort().map((path) => [path, readFileSync(path, "base64")]));
}

/** A limit on the size of files stands in for the disk: the system refuses the write the same way. */
const limited = (words: readonly string[]) => [
  "-c",
  `trap '' XFSZ; ulimit -f 4; exec "${process.execPath}" "${program()}" ${words.map((word) => `'${word}'`).join(" ")}`,
];

describe("on a full disk", () => {
  it("is refused by every command that writes, and what stood there stands", {
    timeout: 120_000,
  }, async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const before = contents(folder);
      const hazards = join(place, "hazards.yaml");
      const commands = [
        ["new", join(folder, "other")],
        ["seal", place, "--case", "dry-ambient", ...few],
        ["schema", "--out", hazards, "--force"],
      ];
      for (const words of commands) {
        const { status, stderr } = spawnSync("bash", limited(words), { encoding: "utf8" });
        expect([words[0], status]).toEqual([words[0], 2]);
        expect(stderr).toContain("the disk is full");
        expect(contents(folder)).toEqual(before);
      }
    });
  });

  it("the server tells a save that does not fit, goes on, and takes one that does", {
    timeout: 120_000,
  }, async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, () => "name: small\n");
      const child = spawn("bash", limited(["serve", place, "--port", "0"]));
      try {
        const port = await new Promise<number>((resolve, reject) => {
          let printed = "";
          child.stdout.on("data", (text) => {
            printed += String(text);
            const found = /:(\d+)\//.exec(printed)?.[1];
            if (found !== undefined) resolve(Number(found));
          });
          child.once("exit", () => reject(new Error(printed)));
        });
        const token = /content="([0-9a-f]{64})"/.exec((await ask(port, "/")).text)?.[1] ?? "";
        const save = async (text: string) =>
          await change(
            { port, token, url: "", stop: async () => undefined },
            "PUT",
            "/api/files/valve.yaml",
            {
              text,
              base: sha256("name: small\n"),
            },
          );
        const large = await save(valveText);
        expect([large.status, large.text]).toEqual([422, expect.stringContaining("disk-full")]);
        expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe("name: small\n");
        expect(readdirSync(place).filter((name) => name.startsWith("."))).toEqual([]);
        expect((await save("name: other\n")).status).toBe(200);
        expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe("name: other\n");
      } finally {
        child.kill("SIGKILL");
      }
    });
  });
});

describe("without the right to write", () => {
  // Nobody: rights do not hold back the administrator under whom tests may run.
  const nobody = process.getuid?.() === 0 ? { uid: 65_534 } : { alone: true as const };

  it("in a folder that cannot be written everything can be read, and nothing is half written", {
    timeout: 120_000,
  }, async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const log = join(folder, "bench.csv");
      writeFileSync(log, dryLog());
      const imported = ["import", place, log, "--case", "dry-ambient", "--date", "2026-04-18"];
      expect((await coldturn([...imported, "--run", "first"])).status).toBe(0);
      for (const path of [folder, place, ...["runs", "runs/first"].map((name) => join(place, name))])
        chmodSync(path, 0o555);
      const before = contents(place);
      try {
        const read = await coldturn(["reduce", place, "--quiet"], nobody);
        expect([read.status, read.stderr]).toEqual([
          expect.any(Number),
          expect.stringMatching(/^$|does not let you write/),
        ]);
        expect(read.status).not.toBe(3);
        const commands = [
          ["seal", place, "--case", "dry-ambient", ...few],
          [...imported, "--anew", "--run", "second"],
        ];
        for (const words of commands) {
          const { status, stderr } = await coldturn(words, nobody);
          expect([words[0], status]).toEqual([words[0], 2]);
          expect(stderr).toContain("the system does not let you write here");
        }
        expect(contents(place)).toEqual(before);
      } finally {
        for (const path of [folder, place, ...["runs", "runs/first"].map((name) => join(place, name))])
          chmodSync(path, 0o755);
      }
    });
  });

  it("a file that its owner has locked is not replaced, though its folder would allow it", async () => {
    await inFolder(async (folder) => {
      chmodSync(folder, 0o777);
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "name: locked\n");
      chmodSync(path, 0o444);
      const { status, stderr } = await coldturn(["new", folder, "--force"], nobody);
      expect(status).toBe(2);
      expect(stderr).toContain("the system does not let you write here");
      expect(readFileSync(path, "utf8")).toBe("name: locked\n");
      expect(readdirSync(folder)).toEqual(["valve.yaml"]);
    });
  });
});
