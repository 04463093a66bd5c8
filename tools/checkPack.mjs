/**
 * Checks the package as a stranger gets it: packs, installs the file into an empty folder, and there runs
 * the program, the demo and the library, with every way to the network closed for them. Prints sizes.
 * npm takes the packages from its cache, and from the registry what the cache lacks.
 *
 *   npm run check:pack
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const folder = mkdtempSync(join(tmpdir(), "coldturn-pack-"));
const home = join(folder, "home");

/** What the demo must have said, the last thing it does. */
const LAST = /^Done in [\d.]+ s\./m;

/** Loaded first into each program: whoever opens a connection beyond this machine ends with a defect. */
const OFFLINE = `
import net from "node:net";
import dns from "node:dns";
const connect = net.Socket.prototype.connect;
net.Socket.prototype.connect = function (...args) {
  const [to] = Array.isArray(args[0]) ? args[0] : args;
  if (to?.host !== undefined && !["127.0.0.1", "::1", "localhost"].includes(to.host)) throw new Error("network: " + to.host);
  return connect.apply(this, args);
};
dns.lookup = () => { throw new Error("network: a name was looked up"); };
`;

const LIBRARY = `
import { modelVersion, properties, readValve } from "coldturn";
import { predictFolder } from "coldturn/host";
import * as browser from "coldturn/browser";
const { answers } = await predictFolder("demo/out/petrel-oxygen-main", { samples: 64, workers: 1 });
if (answers.length !== 12 || browser.modelVersion !== modelVersion) throw new Error("the library is not whole");
console.log(properties("oxygen", { pressure: "1.013 bar(a)" }).summary, readValve("coldturn: 1\\n").faults.length);
`;

const TYPED = `
import { type Answer, predictValve, readValve, toSi } from "coldturn";
import { predictFolder } from "coldturn/host";
const pressure: number = toSi("28 bar(a)", "pressure");
const { answers } = await predictValve(readValve(""), { samples: 0 });
const first: Answer | undefined = answers[0];
for (const check of first?.checks ?? []) if (check.kind === "known") console.log(check.value * pressure);
await predictFolder("x", { workers: 1, onProgress: ({ secondsLeft }) => console.log(secondsLeft) });
`;

/** The dossier that the demo leaves. */
const DOSSIER = "demo/out/petrel-oxygen-main";

/** @param fine  statuses that are no failure: a check that does not hold ends a command with 1 */
function run(title, command, words, env = {}, fine = [0]) {
  const started = performance.now();
  const { status, stdout, stderr } = spawnSync(command, words, {
    cwd: home,
    encoding: "utf8",
    env: { ...process.env, ...env },
    maxBuffer: 1 << 27,
  });
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  process.stdout.write(`${title.padEnd(44)} ${seconds.padStart(6)} s\n`);
  if (!fine.includes(status))
    throw new Error(`${title}: status ${status}\n${(stdout + stderr).slice(-4000)}`);
  return stdout;
}

function sizeOf(path) {
  return readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath ?? entry.path, entry.name)).size, 0);
}

const MB = (bytes) => `${(bytes / 1e6).toFixed(1)} MB`;

function check() {
  mkdirSync(home);
  const packed = spawnSync("npm", ["pack", "--json", "--pack-destination", folder], {
    cwd: root,
    encoding: "utf8",
  });
  if (packed.status !== 0) throw new Error(packed.stderr);
  const [{ filename, size, unpackedSize, entryCount }] = JSON.parse(
    packed.stdout.slice(packed.stdout.indexOf("[\n")),
  );
  process.stdout.write(`${filename}: ${entryCount} files, ${MB(size)}, ${MB(unpackedSize)} unpacked\n`);
  const quiet = ["--no-audit", "--no-fund", "--loglevel=error", "--ignore-scripts"];
  run("install into an empty folder", "npm", [
    "install",
    "--prefer-offline",
    ...quiet,
    join(folder, filename),
  ]);
  const modules = join(home, "node_modules");
  process.stdout.write(
    `${readdirSync(modules).length - 1} entries in node_modules, ${MB(sizeOf(modules))}\n`,
  );

  writeFileSync(join(folder, "offline.mjs"), OFFLINE);
  const offline = {
    NODE_OPTIONS: `--import ${pathToFileURL(join(folder, "offline.mjs")).href}`,
    npm_config_offline: "true",
  };
  run("npx coldturn --version", "npx", ["--no-install", "coldturn", "--version"], offline);
  const said = run("npx coldturn-demo", "npx", ["--no-install", "coldturn-demo"], offline);
  if (!LAST.test(said)) throw new Error(`the demo did not end:\n${said.slice(-2000)}`);
  run(
    "npx coldturn sheet, as PDF",
    "npx",
    ["--no-install", "coldturn", "sheet", DOSSIER, "--format", "pdf"],
    offline,
    [0, 1],
  );
  writeFileSync(join(home, "library.mjs"), LIBRARY);
  run("the library in Node, and its browser file", process.execPath, ["library.mjs"], offline);
  writeFileSync(join(home, "typed.mts"), TYPED);
  const tsc = join(root, "node_modules", "typescript", "bin", "tsc");
  const strict = [
    "--noEmit",
    "--strict",
    "--target",
    "es2022",
    "--lib",
    "es2023,dom",
    "--module",
    "nodenext",
    "--typeRoots",
    "none",
  ];
  run("its types", process.execPath, [tsc, ...strict, "typed.mts"]);
  const browser = readFileSync(join(modules, "coldturn", "dist", "browser", "coldturn.js"));
  process.stdout.write(`browser file: ${MB(browser.length)}, ${MB(gzipSync(browser).length)} gzip\n`);
}

try {
  check();
} catch (error) {
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
