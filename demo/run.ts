#!/usr/bin/env node
/**
 * The demo: the main job on the invented Petrel oxygen valve, as its engineer would do it.
 * Predict, seal, test dry and under pressure, find out which assumptions were wrong, accept the
 * updated values, seal again, test in liquid nitrogen, print the sheet. Every step is a command that
 * can be typed; the demo runs it by the program's own command line and shows what it prints. One process
 * runs them all, so that the program is loaded once.
 *
 *   node dist/demo/run.js [folder] [--prepare]
 *
 * It works in demo/out of the present folder, or in the folder that is named; with --prepare it lays out
 * dossier and logs there and leaves the commands to you.
 */
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { Session } from "../src/cli/run.js";
import { readDossier } from "../src/dossier/index.js";
import { generateLogs, truthInWords } from "./generator/generate.js";

const here = dirname(fileURLToPath(import.meta.url));
// Bundled files run from dist/demo; the demo's own files lie in demo/.
const root = join(here, "..", "..");
const source = join(root, "demo", "petrel-oxygen-main");
const words = process.argv.slice(2);
const isPreparing = words.includes("--prepare");
const [place = join("demo", "out"), ...rest] = words.filter((word) => word !== "--prepare");
const work = resolve(place);
const folder = join(work, "petrel-oxygen-main");
const logs = join(work, "logs");

/**
 * Begins a step. The story lies in spring 2026, and what is sealed or tested in it is dated: the clock
 * of each step stands where the story is, or every seal would be younger than the tests.
 *
 * @param clock  instant that stands in for the present, ISO 8601 in UTC
 */
function heading(text: string, clock?: string): void {
  process.stdout.write(`\n\n=== ${text}\n`);
  if (clock === undefined) return;
  const epoch = String(Date.parse(clock) / 1000);
  process.env.SOURCE_DATE_EPOCH = epoch;
  process.stdout.write(`    clock at ${clock}: SOURCE_DATE_EPOCH=${epoch}\n`);
}

function say(text: string): void {
  process.stdout.write(`\n${text}\n`);
}

const session = new Session();

/** Runs one command as a user would type it; stops the demo at a status that the step does not expect. */
async function coldturn(words: readonly string[], expected: readonly number[]): Promise<void> {
  const typed = words.map((word) => (word.startsWith(work) ? relative(process.cwd(), word) : word));
  process.stdout.write(`\n$ npx coldturn ${typed.join(" ")}\n`);
  const status = await session.run(words);
  if (expected.includes(status)) return;
  // An interruption has its own status, and nothing to explain.
  if (status < 128)
    process.stderr.write(
      `\nThe demo expected the status ${expected.join(" or ")} and got ${String(status)}.\n`,
    );
  await session.end();
  process.exit(status < 128 ? 1 : status);
}

/** Ends without having written anything. */
function refuse(found: string, mend: string): never {
  process.stderr.write(`${found}\n${mend}\n`);
  process.exit(2);
}

/** What is cleared away is the demo's own, from another time it ran. */
function prepare(): void {
  const unread = [place, ...rest].find((word) => word.startsWith("-")) ?? rest[0];
  if (unread !== undefined)
    refuse(`"${unread}" is not understood.`, "The demo takes one folder to work in, and --prepare.");
  const own = [folder, logs].map((path) => relative(work, path));
  const foreign = existsSync(work) ? readdirSync(work).find((name) => !own.includes(name)) : undefined;
  if (foreign !== undefined)
    refuse(
      `${place} holds ${foreign}, which the demo did not write.`,
      "The demo clears its folder before it begins: name another one.",
    );
  for (const path of [folder, logs]) rmSync(path, { recursive: true, force: true });
  mkdirSync(logs, { recursive: true });
  cpSync(source, folder, { recursive: true });
  const path = join(folder, "valve.yaml");
  const { dossier, faults } = readDossier({ valve: { path, text: readFileSync(path, "utf8") } });
  if (faults.length > 0) throw new Error("the demo dossier has faults; `coldturn check` shows them");
  for (const { fileName, bytes } of generateLogs(dossier)) writeFileSync(join(logs, fileName), bytes);
}

/** Any judgement is fine for a step that shows one; only unusable input and defects stop the demo. */
const anyJudgement = [0, 1];

const started = performance.now();
prepare();
if (isPreparing) {
  process.stdout.write(
    `Dossier: ${relative(process.cwd(), folder)}\nLogs:    ${relative(process.cwd(), logs)}\n`,
  );
  await session.end();
  process.exit(0);
}

heading("1  What the dossier says, and what the model makes of it", "2026-04-13T08:00:00Z");
await coldturn(["check", folder], anyJudgement);

heading("2  Predict the bench tests and seal the predictions before they are made", "2026-04-13T09:00:00Z");
await coldturn(["seal", folder, "--case", "dry-ambient"], [0]);
await coldturn(["seal", folder, "--case", "pressurised-ambient"], [0]);

heading("3  First test: dry, on the bench", "2026-04-14T12:00:00Z");
await coldturn(
  [
    "import",
    folder,
    join(logs, "bench-dry.csv"),
    "--case",
    "dry-ambient",
    "--run",
    "2026-04-14-dry",
    "--date",
    "2026-04-14T10:20:00Z",
  ],
  [0],
);
await coldturn(["reconcile", folder, "--run", "2026-04-14-dry"], anyJudgement);

heading("4  Second test: 28 bar of water behind the closed valve", "2026-04-16T16:30:00Z");
await coldturn(
  [
    "import",
    folder,
    join(logs, "rig-water-28bar.csv"),
    "--case",
    "pressurised-ambient",
    "--run",
    "2026-04-16-pressurised",
    "--date",
    "2026-04-16T15:05:00Z",
  ],
  [0],
);
say(
  "The prediction is off by tens of per cent. The reconciliation says which assumptions did it; its updated\nvalues are accepted into the dossier.",
);
await coldturn(["reconcile", folder, "--run", "2026-04-16-pressurised", "--accept"], anyJudgement);

heading("5  Predict the cold tests with what was learnt, and seal", "2026-04-17T09:00:00Z");
await coldturn(["seal", folder, "--case", "nitrogen"], [0]);
await coldturn(["seal", folder, "--case", "nitrogen-pressurised"], [0]);

heading("6  Third and fourth test: liquid nitrogen", "2026-04-18T14:00:00Z");
await coldturn(
  ["import", folder, join(logs, "stand-nitrogen.txt"), "--case", "nitrogen", "--run", "2026-04-18-nitrogen"],
  [0],
);
await coldturn(
  [
    "import",
    folder,
    join(logs, "stand-nitrogen-28bar.txt"),
    "--case",
    "nitrogen-pressurised",
    "--run",
    "2026-04-18-nitrogen-28bar",
    "--date",
    "2026-04-18T11:30:00Z",
  ],
  [0],
);
await coldturn(["reconcile", folder, "--run", "2026-04-18-nitrogen"], anyJudgement);
await coldturn(["reconcile", folder, "--run", "2026-04-18-nitrogen-28bar"], anyJudgement);

say("The first run, sealed against the file of that day, is held against the values that were learnt since.");
await coldturn(["reconcile", folder, "--run", "2026-04-14-dry"], anyJudgement);

heading("7  The duty in liquid oxygen, as now predicted, and the sheet", "2026-04-20T09:00:00Z");
await coldturn(["predict", folder], anyJudgement);
await coldturn(["sheet", folder], anyJudgement);

heading("What was true");
say(
  `These values made the logs; no command has seen them:\n${truthInWords()
    .map((line) => `  ${line}`)
    .join("\n")}`,
);
say(
  `Done in ${((performance.now() - started) / 1e3).toFixed(1)} s. The dossier with its runs, sealed predictions and sheet lies in ${relative(process.cwd(), folder)}.`,
);
await session.end();
