import { spawn } from "node:child_process";
import {
  chmodSync,
  existsSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { makeWholeFolder, sha256, writeWhole } from "../../src/host/index.js";
import { built } from "./built.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

describe("a written file", () => {
  it("has its content, and nothing is left beside it; folders on the way are made", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "predictions", "new", "a.json");
      await writeWhole(path, "first", "never");
      expect(readFileSync(path, "utf8")).toBe("first");
      expect(readdirSync(join(folder, "predictions", "new"))).toEqual(["a.json"]);
    });
  });

  it("is not overwritten unless asked for", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "mine");
      const { code } = await refusalOf(() => writeWhole(path, "other", "never"));
      expect(code).toBe("file-exists");
      expect(readFileSync(path, "utf8")).toBe("mine");
      await writeWhole(path, "other", "always");
      expect(readFileSync(path, "utf8")).toBe("other");
      expect(readdirSync(folder)).toEqual(["valve.yaml"]);
    });
  });

  it("is overwritten only while it is the one that was read", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "as read");
      await writeWhole(path, "edited", { sha256: sha256("as read") });
      const { code, text } = await refusalOf(() => writeWhole(path, "again", { sha256: sha256("as read") }));
      expect(code).toBe("file-changed");
      expect(text).toContain("changed by somebody else since it was read");
      expect(readFileSync(path, "utf8")).toBe("edited");
    });
  });

  it("keeps the rights of the one it replaces, and a link to it stays a link", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "real.yaml"), "old");
      chmodSync(join(folder, "real.yaml"), 0o640);
      symlinkSync("real.yaml", join(folder, "valve.yaml"));
      await writeWhole(join(folder, "valve.yaml"), "new", "always");
      expect(readFileSync(join(folder, "real.yaml"), "utf8")).toBe("new");
      expect(statSync(join(folder, "real.yaml")).mode & 0o777).toBe(0o640);
      expect(readdirSync(folder).sort()).toEqual(["real.yaml", "valve.yaml"]);
    });
  });

  it("is refused below a file", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "valve.yaml"), "");
      const below = join(folder, "valve.yaml", "a.json");
      expect((await refusalOf(() => writeWhole(below, "x", "never"))).code).toMatch(
        /folder-is-file|file-exists/,
      );
    });
  });
});

describe("a written folder", () => {
  it("appears with all its files, and is never replaced", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "runs", "first");
      const fill = async (content: string, inside: string) => {
        writeFileSync(join(inside, "run.yaml"), content);
        writeFileSync(join(inside, "log.csv"), content);
      };
      await makeWholeFolder(path, (inside) => fill("a", inside));
      expect(readdirSync(path).sort()).toEqual(["log.csv", "run.yaml"]);
      expect((await refusalOf(() => makeWholeFolder(path, (inside) => fill("b", inside)))).code).toBe(
        "file-exists",
      );
      expect(readFileSync(join(path, "run.yaml"), "utf8")).toBe("a");
      expect(readdirSync(join(folder, "runs"))).toEqual(["first"]);
    });
  });

  it("may have folders inside", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "petrel");
      await makeWholeFolder(path, async (inside) => {
        await writeWhole(join(inside, "parts", "ours.yaml"), "name: ours\n", "never");
        await writeWhole(join(inside, "valve.yaml"), "name: Petrel\n", "never");
      });
      expect(readFileSync(join(path, "parts", "ours.yaml"), "utf8")).toBe("name: ours\n");
    });
  });

  it("does not appear when filling it fails", async () => {
    await inFolder(async (folder) => {
      const failing = makeWholeFolder(join(folder, "runs", "first"), async (inside) => {
        writeFileSync(join(inside, "run.yaml"), "half");
        throw new Error("the log could not be read");
      });
      await expect(failing).rejects.toThrow("the log could not be read");
      expect(readdirSync(join(folder, "runs"))).toEqual([]);
    });
  });
});

/** A process that writes a file again and again, two megabytes of one letter each time, until it is killed. */
const writer = (module: string, path: string) => `
  const { writeWhole } = await import(${JSON.stringify(module)});
  process.stdout.write("ready");
  for (let n = 0; ; n++) await writeWhole(${JSON.stringify(path)}, (n % 2 ? "A" : "B").repeat(2_000_000), "always");
`;

/** A process that seals one new file after the other. */
const sealer = (module: string, folder: string) => `
  const { writeWhole } = await import(${JSON.stringify(module)});
  process.stdout.write("ready");
  for (let n = 0; ; n++)
    await writeWhole(${JSON.stringify(folder)} + "/" + process.pid + "-" + n + ".json", "S".repeat(2_000_000), "never");
`;

/** A process that makes one folder of three files after the other. */
const maker = (module: string, folder: string) => `
  const { makeWholeFolder } = await import(${JSON.stringify(module)});
  const { writeFile } = await import("node:fs/promises");
  process.stdout.write("ready");
  for (let n = 0; ; n++)
    await makeWholeFolder(${JSON.stringify(folder)} + "/" + process.pid + "-" + n, async (inside) => {
      for (const name of ["run.yaml", "log.csv", "log.parquet"])
        await writeFile(inside + "/" + name, name.repeat(50_000));
    });
`;

/** Starts a process, kills it some milliseconds after it said it is ready. */
function killAfter(script: string, milliseconds: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ["--input-type=module", "-e", script], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    child.stdout.once("data", () => setTimeout(() => child.kill("SIGKILL"), milliseconds));
    child.on("error", reject);
    child.on("close", (_, signal) =>
      signal === "SIGKILL" ? resolve() : reject(new Error("the writer ended by itself")),
    );
  });
}

describe("after a kill at any instant", () => {
  const kills = 60;
  // Evenly over the 5 to 30 ms that a few writes take, so that every step of a write is met.
  const instantOf = (n: number) => 1 + ((n * 37) % 31);

  it(`a file is the old or the new one, whole (${kills} kills)`, { timeout: 240_000 }, async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "A".repeat(2_000_000));
      const script = writer(built("src/host/wholeFile.js"), path);
      for (let n = 0; n < kills; n++) {
        await killAfter(script, instantOf(n));
        const text = readFileSync(path, "utf8");
        expect([text.length, new Set(text).size], `kill ${n}`).toEqual([2_000_000, 1]);
      }
      const left = readdirSync(folder).filter((name) => name !== "valve.yaml");
      // The kills met writes under way, or this test shows nothing.
      expect(left.length).toBeGreaterThan(0);
      expect(left.every((name) => /^\.valve\.yaml\.[0-9a-f]{12}\.part$/.test(name))).toBe(true);
    });
  });

  it(`a new file is absent or whole (${kills} kills)`, { timeout: 240_000 }, async () => {
    await inFolder(async (folder) => {
      const script = sealer(built("src/host/wholeFile.js"), folder);
      for (let n = 0; n < kills; n++) {
        await killAfter(script, instantOf(n));
        for (const name of readdirSync(folder).filter((one) => one.endsWith(".json")))
          expect(statSync(join(folder, name)).size, name).toBe(2_000_000);
      }
      expect(readdirSync(folder).some((name) => name.endsWith(".json"))).toBe(true);
    });
  });

  it("a folder is absent or has all its files, whole (40 kills)", { timeout: 240_000 }, async () => {
    await inFolder(async (folder) => {
      const script = maker(built("src/host/wholeFile.js"), folder);
      for (let n = 0; n < 40; n++) await killAfter(script, instantOf(n));
      const made = readdirSync(folder).filter((name) => !name.startsWith("."));
      expect(made.length).toBeGreaterThan(0);
      for (const name of made) {
        const sizes = ["run.yaml", "log.csv", "log.parquet"].map(
          (file) => statSync(join(folder, name, file)).size,
        );
        expect(sizes, name).toEqual([400_000, 350_000, 550_000]);
      }
    });
  });

  it("what another writer has under way stays", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      const underWay = join(folder, ".valve.yaml.0123456789ab.part");
      writeFileSync(underWay, "half");
      await writeWhole(path, "new", "always");
      expect(existsSync(underWay)).toBe(true);
    });
  });
});
