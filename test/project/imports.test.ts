import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { filesIn, root, textOf } from "./files.js";

interface Rule {
  readonly name: string;
  readonly severity: string;
  readonly comment?: string;
}
interface Rules {
  readonly forbidden: readonly Rule[];
  readonly options: Readonly<Record<string, unknown>>;
}
const rules: Rules = createRequire(import.meta.url)(join(root, ".dependency-cruiser.cjs"));

function checkImports(directory: string): {
  readonly status: number | null;
  readonly lines: readonly string[];
} {
  const { status, stdout } = spawnSync(process.execPath, [join(root, "tools", "imports.mjs"), directory], {
    encoding: "utf8",
  });
  return { status, lines: stdout.trim().split("\n") };
}

/** A small project that breaks every rule once, beside files that break none. */
const fixture: Readonly<Record<string, string>> = {
  "src/fault/index.ts": `export { fault } from "./fault.js";\n`,
  "src/fault/fault.ts": `export const fault = 1;\n`,
  "src/quantity/index.ts": `export { good } from "./good.js";\n`,
  "src/quantity/good.ts": `import { fault } from "../fault/index.js";\nexport const good = fault;\n`,
  "src/quantity/upward.ts": `import { load } from "../physics/seat/index.js";\nexport const upward = load;\n`,
  "src/quantity/peer.ts": `import { root } from "../numerics/index.js";\nexport const peer = root;\n`,
  "src/quantity/typeOnly.ts": `import type { Load } from "../physics/seat/index.js";\nexport type Own = Load;\n`,
  "src/quantity/inside.ts": `import { fault } from "../fault/fault.js";\nexport const inside = fault;\n`,
  "src/quantity/reads.ts": `import { readFileSync } from "node:fs";\nexport const reads = readFileSync;\n`,
  "src/quantity/data.ts": `import list from "../../data/list.json" with { type: "json" };\nexport const data = list;\n`,
  "src/quantity/ring.ts": `import { ringEnd } from "./ringEnd.js";\nexport const ring = () => ringEnd;\n`,
  "src/quantity/ringEnd.ts": `import { ring } from "./ring.js";\nexport const ringEnd = () => ring;\n`,
  "src/quantity/missing.ts": `import { nothing } from "./nowhere.js";\nexport const missing = nothing;\n`,
  "src/quantity/bench.ts": `import { bench } from "../../bench/bench.js";\nexport const measured = bench;\n`,
  "src/numerics/index.ts": `export const root = 1;\n`,
  "src/physics/seat/index.ts": `export const load = 1;\nexport type Load = number;\n`,
  "src/physics/drive/sister.ts": `import { load } from "../seat/index.js";\nexport const sister = load;\n`,
  "src/utils/stray.ts": `export const stray = 1;\n`,
  "bench/bench.ts": `export const bench = 1;\n`,
  "data/list.json": `[]\n`,
};

const caught: readonly (readonly [what: string, breach: string])[] = [
  ["an upward import", "imports-of-quantity: src/quantity/upward.ts -> src/physics/seat/index.ts"],
  [
    "an upward import of a type alone",
    "imports-of-quantity: src/quantity/typeOnly.ts -> src/physics/seat/index.ts",
  ],
  ["an import of a peer", "imports-of-quantity: src/quantity/peer.ts -> src/numerics/index.ts"],
  ["an import past the index", "public-face-only: src/quantity/inside.ts -> src/fault/fault.ts"],
  [
    "an import of a sister matter",
    "physics-sisters-apart: src/physics/drive/sister.ts -> src/physics/seat/index.ts",
  ],
  ["I/O in the core", "core-is-pure: src/quantity/reads.ts -> fs"],
  ["data read outside its readers", "data-readers: src/quantity/data.ts -> data/list.json"],
  ["a ring", "no-circular: src/quantity/ring.ts -> src/quantity/ringEnd.ts"],
  ["an import of nothing", "no-unresolvable: src/quantity/missing.ts -> ./nowhere.js"],
  ["an import of a bench", "nothing-imports-demo-or-bench: src/quantity/bench.ts -> bench/bench.ts"],
  ["a folder that the rule does not know", "src/utils: .dependency-cruiser.cjs does not know this folder"],
];

describe("the import rule on a project that breaks it", () => {
  const directory = mkdtempSync(join(tmpdir(), "coldturn-imports-"));
  let found: ReturnType<typeof checkImports>;
  beforeAll(() => {
    for (const [path, text] of Object.entries(fixture)) {
      mkdirSync(dirname(join(directory, path)), { recursive: true });
      writeFileSync(join(directory, path), text);
    }
    copyFileSync(join(root, "tsconfig.json"), join(directory, "tsconfig.json"));
    found = checkImports(directory);
  });
  afterAll(() => rmSync(directory, { recursive: true, force: true }));

  it("fails", () => expect(found.status).toBe(1));
  it.each(caught)("catches %s", (_, breach) => expect(found.lines).toContain(breach));
  it("names no file that keeps the rule", () => {
    expect(found.lines.filter((line) => /good\.ts|numerics\/index\.ts ->/.test(line))).toEqual([]);
  });
});

it("an empty src/ is a failure, not a pass over nothing", () => {
  const directory = mkdtempSync(join(tmpdir(), "coldturn-imports-"));
  mkdirSync(join(directory, "src"));
  copyFileSync(join(root, "tsconfig.json"), join(directory, "tsconfig.json"));
  const { status, lines } = checkImports(directory);
  rmSync(directory, { recursive: true, force: true });
  expect(status).toBe(1);
  expect(lines).toContain("no module was seen: the rule checked nothing");
});

it("the rule has no exclusion and no rule that only warns", () => {
  expect(rules.options).not.toHaveProperty("exclude");
  expect(rules.options).not.toHaveProperty("includeOnly");
  expect(rules.forbidden.filter(({ severity }) => severity !== "error")).toEqual([]);
});

it("the directions go one way: no two folders may import each other", () => {
  const mayImport = new Map(
    rules.forbidden.flatMap(({ name, comment = "" }) => {
      const folder = /^imports-of-(.+)$/.exec(name)?.[1];
      return folder === undefined ? [] : [[folder, comment.replace(/^.*: /, "").split(", ")] as const];
    }),
  );
  expect(mayImport.size).toBeGreaterThan(10);
  for (const [folder, others] of mayImport)
    for (const other of others)
      expect(mayImport.get(other) ?? [], `${folder} and ${other}`).not.toContain(folder);
});

it("nothing is imported for its effect alone: the bundle leaves out what is not used", () => {
  const files = filesIn(["src"], /\.ts$/);
  expect(files.length).toBeGreaterThan(100);
  expect(files.filter((file) => /^import\s+["']/m.test(textOf(file)))).toEqual([]);
});
