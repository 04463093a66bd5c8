import { spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeEach, describe, expect, it } from "vitest";
import { root } from "./files.js";

const directory = mkdtempSync(join(tmpdir(), "coldturn-setup-"));
const at = (path: string): string => join(directory, path);
const PACKAGES = ["node_modules/rolldown"];

function write(path: string, content: string | object): void {
  mkdirSync(dirname(at(path)), { recursive: true });
  writeFileSync(at(path), typeof content === "string" ? content : JSON.stringify(content));
}

/** A small project with two sources and the package that bundles them. */
beforeEach(() => {
  for (const entry of readdirSync(directory)) rmSync(at(entry), { recursive: true, force: true });
  for (const file of ["tools/setup.mjs", "tools/bundle.mjs", "tsconfig.json", "package.json"])
    cpSync(join(root, file), at(file));
  for (const path of PACKAGES) {
    mkdirSync(dirname(at(path)), { recursive: true });
    symlinkSync(join(root, path), at(path));
  }
  const packages = Object.fromEntries(PACKAGES.map((path) => [path, { version: "1.0.0" }]));
  write("package-lock.json", { packages });
  write("node_modules/.package-lock.json", { packages });
  write("src/cli/main.ts", `import { text } from "./text.js";\nprocess.stdout.write(text);\n`);
  write("src/cli/text.ts", `export const text = "first";\n`);
});
afterAll(() => rmSync(directory, { recursive: true, force: true }));

function setUp(env: Readonly<Record<string, string>> = {}): {
  readonly status: number | null;
  readonly said: string;
} {
  const { status, stdout, stderr } = spawnSync(process.execPath, [at("tools/setup.mjs")], {
    encoding: "utf8",
    env: { ...process.env, ...env },
  });
  return { status, said: stdout + stderr };
}

const filesIn = (folder: string): readonly string[] => readdirSync(at(folder)).sort();

const printed = (): string =>
  spawnSync(process.execPath, [at("dist/src/cli/main.js")], { encoding: "utf8" }).stdout;

describe("the build", () => {
  it("bundles once, is quiet when nothing changed, and follows an edit and a removal", () => {
    expect(setUp()).toMatchObject({ status: 0, said: expect.stringMatching(/^Bundling \.\.\. \d+ s\n$/) });
    expect(printed()).toBe("first");
    expect(statSync(at("dist/src/cli/main.js")).mode & 0o111).toBe(0o111);
    expect(setUp()).toEqual({ status: 0, said: "" });
    write("src/cli/text.ts", `export const text = "edited";\n`);
    setUp();
    expect(printed()).toBe("edited");
    rmSync(at("src/cli/text.ts"));
    write("src/cli/main.ts", `process.stdout.write("alone");\n`);
    expect(setUp().status).toBe(0);
    expect(printed()).toBe("alone");
  });

  it("leaves nothing of an entry that is gone, nor of its chunks", () => {
    write("src/host/textWorker.ts", `const { text } = await import("../cli/text.js");\nconsole.log(text);\n`);
    setUp();
    expect(filesIn("dist/src/host")).toEqual(["textWorker.js", "textWorker.js.map"]);
    expect(filesIn("dist/chunks").join(" ")).toContain("text");
    rmSync(at("src/host/textWorker.ts"));
    setUp();
    expect(printed()).toBe("first");
    expect(filesIn("dist/src/host")).toEqual([]);
    expect(filesIn("dist/chunks")).toEqual([]);
  });

  it("shows the place in a source that cannot be bundled, and does not call it built", () => {
    write("src/cli/text.ts", `export const text = "first" + ;\n`);
    for (let call = 0; call < 2; call++) {
      const { status, said } = setUp();
      expect(status).toBe(1);
      expect(said).toContain("The sources cannot be bundled:\n");
      expect(said).toContain("src/cli/text.ts:1:31");
      expect(said).not.toContain("\u001b");
    }
  });

  it("replaces what an interrupted build left half-written", () => {
    setUp();
    write("dist/src/cli/main.js", "const te");
    write("dist/.building", "");
    setUp();
    expect(printed()).toBe("first");
  });

  it("takes over the lock of a set-up that was killed", () => {
    const { pid } = spawnSync(process.execPath, ["--eval", "0"]);
    write(".coldturn/setup.lock", `${pid}\n`);
    expect(setUp().status).toBe(0);
    expect(readdirSync(at(".coldturn"))).toEqual([]);
  });
});

describe("the packages", () => {
  const nowhere = { npm_config_registry: "http://127.0.0.1:9", npm_config_fetch_retries: "0" };
  const cache = at("cache");

  it("are asked for when one is missing; a registry out of reach is told in words", () => {
    write("node_modules/.package-lock.json", { packages: {} });
    write("package-lock.json", {
      name: "coldturn",
      lockfileVersion: 3,
      packages: { "": { dependencies: { zod: "4.6.7" } }, "node_modules/zod": { version: "4.6.7" } },
    });
    write("package.json", { name: "coldturn", engines: { node: ">=20.19" }, dependencies: { zod: "4.6.7" } });
    const { status, said } = setUp({ ...nowhere, npm_config_cache: cache });
    expect(status).toBe(1);
    expect(said).toContain(
      "the package registry cannot be reached from here (ECONNREFUSED).\nCheck the network",
    );
    expect(said).not.toContain("setup.mjs:");
    expect(existsSync(at("node_modules/.package-lock.json"))).toBe(false);
  });

  it("are not looked at by a Node that is too old", () => {
    const manifest = readFileSync(at("package.json"), "utf8").replace(">=20.19", ">=99.1");
    write("package.json", manifest);
    const { status, said } = setUp();
    expect(status).toBe(1);
    expect(said).toContain("is too old: Coldturn needs Node 99.1 or newer.");
  });
});
