/**
 * The one command that checks everything: types, lint and format, import directions, dead code, then
 * all tests (unit, reference, property, end to end, browser, and those of the project itself: links,
 * sources, samples in the docs). Prints one line for each step, the output of a step only when it
 * fails, and ends with the line "N passed, N failed", in which each step and each test counts as one.
 *
 *   node tools/check.mjs [--only types|lint|imports|unused|tests]... [-- arguments for vitest]
 */
import { spawn } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const at = (...path) => join(root, ...path);
const REPORT = at("dist", "test-report.json");
/** Steps at a time: as many as the smallest machine in use has cores. */
const LANES = 2;

const program = (...path) => [process.execPath, at("node_modules", ...path)];
const STEPS = [
  {
    name: "types",
    command: [
      ...program("typescript", "bin", "tsc"),
      ...["--noEmit", "--incremental", "--tsBuildInfoFile", "dist/.check.tsbuildinfo", "--pretty", "false"],
    ],
    mend: "npm run typecheck",
  },
  {
    name: "page types",
    command: [
      ...program("typescript", "bin", "tsc"),
      ...[
        "--noEmit",
        "-p",
        "src/web",
        "--incremental",
        "--tsBuildInfoFile",
        "dist/.page.tsbuildinfo",
        "--pretty",
        "false",
      ],
    ],
    mend: "npx tsc --noEmit -p src/web",
  },
  {
    name: "lint",
    command: [...program("@biomejs", "biome", "bin", "biome"), "check", "--error-on-warnings", "."],
    mend: "npm run format mends what can be mended by itself",
  },
  { name: "imports", command: [process.execPath, at("tools", "imports.mjs")], mend: "docs/architecture.md" },
  { name: "unused", command: [...program("knip", "bin", "knip.js"), "--no-progress"], mend: "npx knip" },
];
const TESTS = "tests";

/** Colours on a terminal alone: a log of the pipeline stays plain text. */
const env = process.stdout.isTTY ? process.env : { ...process.env, NO_COLOR: "1" };

let children = [];

function readArguments(argv) {
  const names = [...STEPS.map(({ name }) => name), TESTS];
  const split = argv.includes("--") ? argv.indexOf("--") : argv.length;
  const forVitest = argv.slice(split + 1);
  const own = argv.slice(0, split);
  const only = [];
  for (let i = 0; i < own.length; i += 2) {
    const name = own[i + 1] === "vitest" ? TESTS : own[i + 1];
    if (own[i] !== "--only" || !names.includes(name)) {
      process.stderr.write(
        `${own[i]} ${own[i + 1] ?? ""}: not understood.\nWrite --only with one of: ${names.join(", ")}.\n`,
      );
      process.exit(2);
    }
    only.push(name);
  }
  return { only: only.length > 0 ? only : names, forVitest };
}

function start(command, stdio) {
  const child = spawn(command[0], command.slice(1), { cwd: root, env, stdio });
  children.push(child);
  child.on("close", () => {
    children = children.filter((other) => other !== child);
  });
  return child;
}

/** Runs a step with its output kept; resolves to whether it passed, having printed its line. */
function runStep({ name, command, mend }) {
  const started = performance.now();
  return new Promise((resolve) => {
    const child = start(command, ["ignore", "pipe", "pipe"]);
    let output = "";
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding("utf8");
      stream.on("data", (text) => {
        output += text;
      });
    }
    child.on("close", (status) => {
      printLine(name, started, status === 0);
      if (status !== 0) process.stdout.write(`${output.trim()}\n(${mend})\n`);
      resolve(status === 0);
    });
  });
}

function printLine(name, started, passed) {
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  process.stdout.write(`${name.padEnd(10)} ${passed ? "passed" : "FAILED"} ${seconds.padStart(8)} s\n`);
}

async function runSteps(steps) {
  const waiting = [...steps];
  let passed = 0;
  const lane = async () => {
    for (let step = waiting.shift(); step; step = waiting.shift()) if (await runStep(step)) passed += 1;
  };
  await Promise.all(Array.from({ length: LANES }, lane));
  return { passed, failed: steps.length - passed };
}

/** Runs the tests with their output shown; a run that ended without a report counts as one failure. */
async function runTests(forVitest) {
  const started = performance.now();
  mkdirSync(dirname(REPORT), { recursive: true });
  rmSync(REPORT, { force: true });
  const status = await new Promise((resolve) => {
    const command = [
      ...program("vitest", "vitest.mjs"),
      ...["run", "--reporter=dot", "--reporter=json", `--outputFile.json=${REPORT}`, ...forVitest],
    ];
    start(command, ["ignore", "inherit", "inherit"]).on("close", resolve);
  });
  printLine(TESTS, started, status === 0);
  if (!existsSync(REPORT)) return { passed: 0, failed: 1 };
  const report = JSON.parse(readFileSync(REPORT, "utf8"));
  // A file that does not load fails without a failed test in it.
  const unread = report.testResults.filter(
    ({ status: outcome, assertionResults }) =>
      outcome === "failed" && !assertionResults.some((test) => test.status === "failed"),
  );
  const failed = report.numFailedTests + unread.length;
  // An error outside every file fails the run alone.
  return { passed: report.numPassedTests, failed: status !== 0 && failed === 0 ? 1 : failed };
}

for (const [signal, status] of [
  ["SIGINT", 130],
  ["SIGTERM", 143],
]) {
  process.on(signal, () => {
    for (const child of children) child.kill(signal);
    process.exit(status);
  });
}

const { only, forVitest } = readArguments(process.argv.slice(2));
const steps = await runSteps(STEPS.filter(({ name }) => only.includes(name)));
const tests = only.includes(TESTS) ? await runTests(forVitest) : { passed: 0, failed: 0 };
const failed = steps.failed + tests.failed;
process.stdout.write(`${steps.passed + tests.passed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 ? 1 : 0;
