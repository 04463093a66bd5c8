/**
 * Holds the sources against the import directions of .dependency-cruiser.cjs, and the rule against
 * the sources: a run that saw no module, or a folder of src/ that the rule does not know, is a breach.
 *
 *   node tools/imports.mjs [directory with a src/ folder]
 */
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const CONFIG = join(root, ".dependency-cruiser.cjs");
const CRUISER = join(root, "node_modules", "dependency-cruiser", "bin", "dependency-cruise.mjs");

/** Breaches of the rule in `directory`/src, one line each, and the number of modules seen. */
function cruise(directory) {
  const { stdout, stderr } = spawnSync(
    process.execPath,
    [CRUISER, "--config", CONFIG, "--output-type", "json", "src"],
    { cwd: directory, encoding: "utf8", maxBuffer: 1 << 28 },
  );
  if (!stdout.startsWith("{"))
    return { modules: 0, breaches: [`dependency-cruiser failed: ${stderr.trim()}`] };
  const { modules, summary } = JSON.parse(stdout);
  return {
    modules: modules.filter(({ source }) => source.startsWith("src/")).length,
    breaches: summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} -> ${to}`),
  };
}

/** Entries of `directory`/src that no rule looks at. */
function unknownEntries(directory) {
  const { forbidden } = createRequire(import.meta.url)(CONFIG);
  const known = forbidden.flatMap(({ name }) => /^imports-of-(.+)$/.exec(name)?.[1] ?? []);
  return readdirSync(join(directory, "src"), { withFileTypes: true })
    .filter((entry) => !entry.isDirectory() || !known.includes(entry.name))
    .map((entry) =>
      entry.isDirectory()
        ? `src/${entry.name}: .dependency-cruiser.cjs does not know this folder`
        : `src/${entry.name}: a source file belongs into a folder of src/`,
    );
}

const directory = resolve(process.argv[2] ?? root);
if (!existsSync(join(directory, "src"))) {
  process.stderr.write(`${directory} has no folder src/.\n`);
  process.exit(2);
}
const { modules, breaches } = cruise(directory);
if (modules === 0) breaches.push("no module was seen: the rule checked nothing");
breaches.push(...unknownEntries(directory));
process.stdout.write(`${[...breaches, `${modules} modules, ${breaches.length} breaches`].join("\n")}\n`);
process.exitCode = breaches.length > 0 ? 1 : 0;
