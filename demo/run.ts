/**
 * The demo: the main job on the invented Petrel oxygen valve, as its engineer would do it.
 * Predict, seal, test dry and under pressure, find out which assumptions were wrong, accept the
 * updated values, seal again, test in liquid nitrogen, print the sheet. Every step is a command that
 * can be typed; the demo types it and shows what it prints.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { readDossier } from "../src/dossier/index.js";
import { generateLogs, truthInWords } from "./generator/generate.js";

const here = dirname(fileURLToPath(import.meta.url));
// Bundled files run from dist/demo; the demo's own files lie in demo/.
const root = join(here, "..", "..");
const program = join(root, "dist", "src", "cli", "main.js");
const source = join(root, "demo", "petrel-oxygen-main");
const work = join(root, "demo", "out");
const folder = join(work, "petrel-oxygen-main");
const logs = join(work, "logs");

function heading(text: string): void {
  process.stdout.write(`\n\n=== ${text}\n`);
}

function say(text: string): void {
  process.stdout.write(`\n${text}\n`);
}

/** Runs one command as a user would type it; stops the demo at a status that the step does not expect. */
function coldturn(words: readonly string[], expected: readonly number[]): void {
  const typed = words.map((word) => (word.startsWith(root) ? relative(process.cwd(), word) : word));
  process.stdout.write(`\n$ npx coldturn ${typed.join(" ")}\n`);
  const { status, signal } = spawnSync(process.execPath, [program, ...words], { stdio: "inherit" });
  if (signal !== null) process.exit(130);
  if (status === 130 || status === 143) process.exit(status);
  if (status === null || !expected.includes(status)) {
    process.stderr.write(
      `\nThe demo expected the status ${expected.join(" or ")} and got ${String(status)}.\n`,
    );
    process.exit(1);
  }
}

function prepare(): void {
  rmSync(work, { recursive: true, force: true });
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

heading("1  What the dossier says, and what the model makes of it");
coldturn(["check", folder], anyJudgement);

heading("2  Predict the bench tests and seal the predictions before they are made");
coldturn(["seal", folder, "--case", "dry-ambient"], [0]);
coldturn(["seal", folder, "--case", "pressurised-ambient"], [0]);

heading("3  First test: dry, on the bench");
coldturn(
  [
    "import",
    folder,
    join(logs, "bench-dry.csv"),
    "--case",
    "dry-ambient",
    "--run",
    "2031-04-14-dry",
    "--date",
    "2031-04-14T10:20:00Z",
  ],
  [0],
);
coldturn(["reconcile", folder, "--run", "2031-04-14-dry"], anyJudgement);

heading("4  Second test: 28 bar of water behind the closed valve");
coldturn(
  [
    "import",
    folder,
    join(logs, "rig-water-28bar.csv"),
    "--case",
    "pressurised-ambient",
    "--run",
    "2031-04-16-pressurised",
    "--date",
    "2031-04-16T15:05:00Z",
  ],
  [0],
);
say(
  "The prediction is off by tens of per cent. The reconciliation says which assumptions did it; its updated\nvalues are accepted into the dossier.",
);
coldturn(["reconcile", folder, "--run", "2031-04-16-pressurised", "--accept"], anyJudgement);

heading("5  Predict the cold tests with what was learnt, and seal");
coldturn(["seal", folder, "--case", "nitrogen"], [0]);
coldturn(["seal", folder, "--case", "nitrogen-pressurised"], [0]);

heading("6  Third and fourth test: liquid nitrogen");
coldturn(
  ["import", folder, join(logs, "stand-nitrogen.txt"), "--case", "nitrogen", "--run", "2031-04-18-nitrogen"],
  [0],
);
coldturn(
  [
    "import",
    folder,
    join(logs, "stand-nitrogen-28bar.txt"),
    "--case",
    "nitrogen-pressurised",
    "--run",
    "2031-04-18-nitrogen-28bar",
    "--date",
    "2031-04-18T11:30:00Z",
  ],
  [0],
);
coldturn(["reconcile", folder, "--run", "2031-04-18-nitrogen"], anyJudgement);
coldturn(["reconcile", folder, "--run", "2031-04-18-nitrogen-28bar"], anyJudgement);

say("The first run, sealed against the file of that day, is held against the values that were learnt since.");
coldturn(["reconcile", folder, "--run", "2031-04-14-dry"], anyJudgement);

heading("7  The duty in liquid oxygen, as now predicted, and the sheet");
coldturn(["predict", folder], anyJudgement);
coldturn(["sheet", folder], anyJudgement);

heading("What was true");
say(
  `These values made the logs; no command has seen them:\n${truthInWords()
    .map((line) => `  ${line}`)
    .join("\n")}`,
);
say(
  `Done in ${((performance.now() - started) / 1e3).toFixed(1)} s. The dossier with its runs, sealed predictions and sheet lies in ${relative(process.cwd(), folder)}.`,
);
