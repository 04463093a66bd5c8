/**
 * Makes a clone ready to run: installs the packages of package-lock.json where they are missing or
 * differ, and bundles the sources to dist/ where they are newer. Does nothing, in milliseconds, when
 * both are up to date. Needs Node and npm alone.
 *
 * What is on disk decides, so an interruption at any moment mends itself at the next call: npm writes
 * node_modules/.package-lock.json last, and dist/.stamp is written after the bundler has finished.
 */
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const at = (...path) => join(root, ...path);
const readJson = (path) => JSON.parse(readFileSync(path, "utf8"));

const INSTALLED = at("node_modules", ".package-lock.json");
const BUILT = at("dist", ".stamp");
const BUILDING = at("dist", ".building");
const LOCK = at(".coldturn", "setup.lock");
const BUNDLER = at("tools", "bundle.mjs");
const PROGRAMS = ["dist/src/cli/main.js", "dist/demo/run.js", "dist/bench/run.js"];
/** Folders that are bundled, and the files that decide how. */
const SOURCES = ["src", "data", "bench", "demo", "tools"];
const SETTINGS = ["tools/bundle.mjs", "tsconfig.json", "package-lock.json", "test/cli/warmServer.ts"];
/** A network that is not there is told within half a minute; npm's own patience is longer than a reader's. */
const IMPATIENCE = {
  npm_config_fetch_retries: "2",
  npm_config_fetch_retry_mintimeout: "2000",
  npm_config_fetch_retry_maxtimeout: "10000",
};
/** Longest wait for another set-up of the same clone [ms]. */
const LOCK_WAIT = 10 * 60 * 1000;

/** A condition the user can mend; printed without a stack trace. */
class Trouble extends Error {}

let child;
let interrupted = 0;

function checkNode() {
  const wanted = readJson(at("package.json")).engines.node.replace(">=", "");
  const [major, minor] = wanted.split(".").map(Number);
  const [haveMajor, haveMinor] = process.versions.node.split(".").map(Number);
  if (haveMajor > major || (haveMajor === major && haveMinor >= minor)) return;
  throw new Trouble(
    `Node ${process.versions.node} is too old: Coldturn needs Node ${wanted} or newer.\n` +
      "Install a newer Node (https://nodejs.org) and give the same command again.",
  );
}

/** Whether every package of package-lock.json lies in node_modules at the locked version. */
function isInstalled() {
  if (!existsSync(INSTALLED)) return false;
  const wanted = readJson(at("package-lock.json")).packages;
  const present = readJson(INSTALLED).packages ?? {};
  return Object.entries(wanted).every(
    ([path, entry]) =>
      path === "" || entry.optional || entry.devOptional || present[path]?.version === entry.version,
  );
}

/** Path, size and time of every source: differs when anything was edited, added or removed. */
function sourceState() {
  const lines = SETTINGS.filter((file) => existsSync(at(file))).map(describe);
  for (const folder of SOURCES) {
    if (!existsSync(at(folder))) continue;
    for (const entry of readdirSync(at(folder), { recursive: true, withFileTypes: true })) {
      if (!entry.isFile() || !/\.(ts|tsx|css|html|json)$/.test(entry.name)) continue;
      lines.push(describe(join(entry.parentPath ?? entry.path, entry.name).slice(root.length + 1)));
    }
  }
  return lines.sort();
}

function describe(file) {
  const { size, mtimeMs } = statSync(at(file));
  return `${file} ${size} ${mtimeMs}`;
}

const fingerprint = (lines) => createHash("sha256").update(lines.join("\n")).digest("hex");

/** Whether the last complete build was made of these sources. */
function isBuilt(state) {
  return !existsSync(BUILDING) && existsSync(BUILT) && readFileSync(BUILT, "utf8") === fingerprint(state);
}

/** Runs a program with its output kept; resolves to { status, output }. */
function run(command, args, options = {}) {
  return new Promise((resolve, reject) => {
    child = spawn(command, args, { cwd: root, stdio: ["ignore", "pipe", "pipe"], ...options });
    recordHolders();
    let output = "";
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding("utf8");
      stream.on("data", (text) => {
        output += text;
      });
    }
    child.on("error", reject);
    child.on("close", (status) => {
      child = undefined;
      resolve({ status, output });
    });
  });
}

/** Shows one line while `work` runs; on a terminal it counts the seconds. */
async function withProgress(title, work) {
  const started = Date.now();
  const seconds = () => `${Math.round((Date.now() - started) / 1000)} s`;
  const live = process.stderr.isTTY;
  const show = () => process.stderr.write(`\r${title} ... ${seconds()} `);
  let timer;
  if (live) {
    show();
    timer = setInterval(show, 1000);
  } else process.stderr.write(`${title} ... `);
  try {
    const result = await work();
    process.stderr.write(live ? `\r${title} ... ${seconds()}\n` : `${seconds()}\n`);
    return result;
  } catch (error) {
    process.stderr.write("\n");
    throw error;
  } finally {
    clearInterval(timer);
  }
}

async function install() {
  // An interrupted installation must not look complete: npm rewrites this file at its very end.
  rmSync(INSTALLED, { force: true });
  const npm = process.env.npm_execpath;
  const command = npm && /npm-cli\.[cm]?js$/.test(npm) ? process.execPath : "npm";
  const args = [
    ...(command === "npm" ? [] : [npm]),
    ...["ci", "--no-audit", "--no-fund", "--loglevel=error", "--include=dev"],
  ];
  const env = { ...IMPATIENCE, ...process.env };
  const { status, output } = await run(command, args, { env, shell: process.platform === "win32" });
  if (interrupted) throw new Trouble("Stopped. The next call installs the packages from the start.");
  if (status === 0) return;
  const unreachable =
    /\b(ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|ERR_SOCKET\w*)/.exec(output);
  if (unreachable !== null) {
    throw new Trouble(
      `The packages could not be fetched: the package registry cannot be reached from here (${unreachable[0]}).\n` +
        "Check the network (and `npm config get registry`, `npm config get proxy`), then give the same command again.",
    );
  }
  if (/ENOSPC/.test(output)) {
    throw new Trouble(
      "The packages could not be written: the disk is full. Free about 600 MB and try again.",
    );
  }
  throw new Trouble(`npm could not install the packages (status ${status}):\n${lastLines(output)}`);
}

const lastLines = (text) =>
  text
    .trim()
    .split("\n")
    .slice(-12)
    .map((line) => `  ${line}`)
    .join("\n");

async function build(state) {
  mkdirSync(at("dist"), { recursive: true });
  writeFileSync(BUILDING, "");
  const { status, output } = await run(process.execPath, [BUNDLER]);
  if (interrupted) throw new Trouble("Stopped. The next call bundles from the start.");
  if (status !== 0) throw new Trouble(`The sources cannot be bundled:\n${output.trim()}`);
  for (const program of PROGRAMS) if (existsSync(at(program))) chmodSync(at(program), 0o755);
  writeFileSync(BUILT, fingerprint(state));
  rmSync(BUILDING);
}

function recordHolders() {
  writeFileSync(LOCK, `${process.pid}\n${child?.pid ?? ""}\n`);
}

const isAlive = (pid) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === "EPERM";
  }
};

/** One set-up at a time in one clone; the lock of a dead process is taken over. */
async function withLock(work) {
  mkdirSync(dirname(LOCK), { recursive: true });
  const until = Date.now() + LOCK_WAIT;
  for (let told = false; ; told = true) {
    try {
      writeFileSync(LOCK, `${process.pid}\n`, { flag: "wx" });
      break;
    } catch (error) {
      if (error.code !== "EEXIST") throw error;
    }
    const holders = existsSync(LOCK)
      ? readFileSync(LOCK, "utf8").split("\n").filter(Boolean).map(Number)
      : [];
    // An empty lock is one that its owner has just made and not yet filled.
    if (holders.length > 0 && !holders.some(isAlive)) rmSync(LOCK, { force: true });
    else if (Date.now() > until)
      throw new Trouble(`Another set-up holds ${LOCK}. If none runs, delete that file.`);
    else {
      if (!told) process.stderr.write("Waiting for another set-up of this clone to end.\n");
      await new Promise((resolve) => setTimeout(resolve, 250));
    }
  }
  try {
    await work();
  } finally {
    rmSync(LOCK, { force: true });
  }
}

async function setUp() {
  checkNode();
  if (isInstalled() && isBuilt(sourceState())) return;
  await withLock(async () => {
    if (!isInstalled()) await withProgress("Installing packages", install);
    const state = sourceState();
    if (!isBuilt(state)) await withProgress("Bundling", () => build(state));
  });
}

for (const [signal, status] of [
  ["SIGINT", 130],
  ["SIGTERM", 143],
]) {
  process.on(signal, () => {
    interrupted = status;
    child?.kill(signal);
  });
}

try {
  await setUp();
  process.exitCode = interrupted;
} catch (error) {
  if (!(error instanceof Trouble)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = interrupted || 1;
}
