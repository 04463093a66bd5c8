/**
 * Holds the sources against the import directions of .dependency-cruiser.cjs, and the rule against
 * the sources: a run that saw no module, or a folder of src/ that the rule does not know, is a failure.
 */
import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const CONFIG = join(root, ".dependency-cruiser.cjs");
const CRUISER = join(root, "node_modules", "dependency-cruiser", "bin", "dependency-cruise.mjs");

/** The folders of src/ that the rule names. */
export function knownFolders() {
  const { forbidden } = createRequire(import.meta.url)(CONFIG);
  return forbidden.flatMap(({ name }) => /^imports-of-(.+)$/.exec(name)?.[1] ?? []);
}

/**
 * Every breach of the rule below `directory`/src, one line each, and how many modules were seen.
 * Without breaches and with at least one module the rule holds.
 */
export function checkImports(directory) {
  const { stdout, stderr } = spawnSync(
    process.execPath,
    [CRUISER, "--config", CONFIG, "--output-type", "json", "src"],
    { cwd: directory, encoding: "utf8", maxBuffer: 1 << 28 },
  );
  if (!stdout.startsWith("{"))
    return { modules: 0, breaches: [`dependency-cruiser failed: ${stderr.trim()}`] };
  const { modules, summary } = JSON.parse(stdout);
  const seen = modules.filter(({ source }) => source.startsWith("src/")).length;
  const breaches = summary.violations
    .filter(({ rule }) => rule.severity === "error")
    .map(({ rule, from, to }) => `${rule.name}: ${from} -> ${to}`);
  if (seen === 0) breaches.push("no module was seen: the rule checked nothing");
  for (const entry of readdirSync(join(directory, "src"), { withFileTypes: true })) {
    if (!entry.isDirectory()) breaches.push(`src/${entry.name}: a source file belongs into a folder of src/`);
    else if (!knownFolders().includes(entry.name))
      breaches.push(`src/${entry.name}: .dependency-cruiser.cjs does not know this folder`);
  }
  return { modules: seen, breaches };
}

if (process.argv[1] && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  const { modules, breaches } = checkImports(root);
  process.stdout.write(`${[...breaches, `${modules} modules, ${breaches.length} breaches`].join("\n")}\n`);
  process.exitCode = breaches.length > 0 ? 1 : 0;
}
