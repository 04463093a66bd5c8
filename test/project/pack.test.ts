/**
 * The package: packed once, laid out as npm would, with nothing beside it but what it asks for. The whole
 * of it, npm's own installation and the demo, is `npm run check:pack`.
 */
import { spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { shippedPackages } from "../../tools/licences.js";
import { root, textOf } from "./files.js";

const folder = mkdtempSync(join(tmpdir(), "coldturn-pack-"));
const modules = join(folder, "node_modules");
const installed = join(modules, "coldturn");
let listed: readonly string[] = [];

/** Runs the browser file where there is nothing but the language and what every browser has. */
const IN_A_PAGE = `
import { readFileSync } from "node:fs";
import vm from "node:vm";
const page = vm.createContext({ TextDecoder, TextEncoder, structuredClone });
const module = new vm.SourceTextModule(readFileSync(process.argv[2], "utf8"), { context: page });
await module.link(() => { throw new Error("it imports something"); });
await module.evaluate();
const { properties, predictValve, readValve } = module.namespace;
const { state } = properties("oxygen", { temperature: "90 K", pressure: "28 bar(a)" });
const { answers } = await predictValve(readValve("coldturn: 1\\n"), { samples: 0 });
console.log(Object.keys(module.namespace).join(" ") + "\\n" + state, answers.length);
`;

function run(words: readonly string[]): {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
} {
  return spawnSync(process.execPath, words, { cwd: folder, encoding: "utf8", maxBuffer: 1 << 26 });
}

beforeAll(() => {
  const packed = spawnSync("npm", ["pack", "--json", "--offline", "--pack-destination", folder], {
    cwd: root,
    encoding: "utf8",
  });
  expect(packed.status, packed.stderr).toBe(0);
  const [{ filename, files }]: [{ filename: string; files: { path: string }[] }] = JSON.parse(
    packed.stdout.slice(packed.stdout.indexOf("[\n")),
  );
  listed = files.map(({ path }) => path);
  mkdirSync(installed, { recursive: true });
  spawnSync("tar", ["-xzf", join(folder, filename), "--strip-components=1", "-C", installed]);
  // What npm would install beside it, and nothing else.
  for (const { path, how } of shippedPackages()) {
    if (how !== "installed" || path.lastIndexOf("node_modules/") > 0 || !existsSync(join(root, path)))
      continue;
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    symlinkSync(join(root, path), join(folder, path));
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the package", () => {
  it("has what it needs and nothing of the workshop", () => {
    const foreign = /^(src|test|tools|bench|docs|data|\.)|\.map$|\/developer\/|\.test\.|truth\.json/;
    expect(listed.filter((path) => foreign.test(path))).toEqual([]);
    const { bin, exports }: { bin: Record<string, string>; exports: Record<string, unknown> } = JSON.parse(
      textOf("package.json"),
    );
    const named = [...JSON.stringify({ bin, exports }).matchAll(/"(?:\.\/)?(dist\/[^"]+)"/g)].map(
      ([, path]) => path,
    );
    expect(named.length).toBeGreaterThan(6);
    expect(named.filter((path) => path === undefined || !listed.includes(path))).toEqual([]);
  });

  it("runs the program on the demo dossier that it brings along", () => {
    const prepared = run([join(installed, "dist", "demo", "run.js"), "petrel", "--prepare"]);
    expect(prepared.status, prepared.stderr).toBe(0);
    const dossier = join(folder, "petrel", "petrel-oxygen-main");
    const program = join(installed, "dist", "src", "cli", "main.js");
    const checked = run([program, "check", dossier, "--samples", "0", "--json"]);
    expect(checked.status, checked.stderr).toBe(1);
    const { result }: { result: { answers: unknown[] } } = JSON.parse(checked.stdout);
    expect(result.answers).toHaveLength(12);
    expect(run([program, "serve", "--help"]).status).toBe(0);
    const log = join(folder, "petrel", "logs", "bench-dry.csv");
    const imported = run([program, "import", dossier, log, "--case", "dry-ambient", "--date", "2026-04-14"]);
    expect(imported.status, imported.stderr).toBe(0);
  });

  it("the demo clears away nothing that it did not write", () => {
    const refused = run([join(installed, "dist", "demo", "run.js"), "."]);
    expect(refused.status).toBe(2);
    expect(refused.stderr).toContain("which the demo did not write");
    expect(existsSync(installed)).toBe(true);
  });

  it("has a browser file without imports, of the size that docs/api.md tells", async () => {
    const path = join(installed, "dist", "browser", "coldturn.js");
    const code = readFileSync(path);
    expect(code.toString("utf8")).not.toMatch(/\bfrom"node:|\brequire\(|\bprocess\.|\bimport\(/);
    const [, whole = "", packed = ""] =
      /The file is ([\d.]+) MB, (\d+) kB compressed/.exec(textOf("docs/api.md")) ?? [];
    expect(Math.abs(statSync(path).size / 1e6 / Number(whole) - 1)).toBeLessThan(0.05);
    expect(Math.abs(gzipSync(code).length / 1e3 / Number(packed) - 1)).toBeLessThan(0.05);
    const node: Readonly<Record<string, unknown>> = await import(
      pathToFileURL(join(installed, "dist", "src", "api", "coldturn.js")).href
    );
    writeFileSync(join(folder, "page.mjs"), IN_A_PAGE);
    const page = run(["--experimental-vm-modules", "--no-warnings", "page.mjs", path]);
    expect(page.stdout, page.stderr).toBe(`${Object.keys(node).join(" ")}\nliquid 12\n`);
  });
});
