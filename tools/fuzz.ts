/**
 * Reads damaged files with every reader that takes files from outside, and tells what is no answer and no
 * refusal: an exception, a fault that does not say where or how to mend it, a process that hangs, ends or
 * grows without bound, objects of the language that were changed.
 *
 *   npm run fuzz -- [--minutes 10] [--cases <of each reader>] [--seed 1] [--reader log]... [--case <number>]
 *
 * The readers run in a process of their own. A case is named by reader, seed and number, and comes again by them.
 */
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { type FuzzFinding, type FuzzRecord, type FuzzTask, fuzzChild, progressText } from "./fuzz/child.js";
import { readers } from "./fuzz/readers.js";

/** A case that goes on for this long hangs [s]; on a loaded machine the slowest take a second. */
const longest = 20;
/** Memory of the language in one process; a reader that needs more does not bound what it reads [MB]. */
const mostHeap = 700;
/** More than these tell nothing new. */
const mostFindings = 100;

interface Wanted {
  readonly names: readonly string[];
  readonly seed: number;
  readonly cases: number;
  readonly seconds: number;
  readonly from: number;
}

function wanted(): Wanted {
  const { values } = parseArgs({
    options: {
      minutes: { type: "string" },
      cases: { type: "string" },
      seed: { type: "string", default: "1" },
      reader: { type: "string", multiple: true },
      case: { type: "string" },
    },
  });
  const known = readers.map(({ name }) => name);
  const names = values.reader ?? known;
  for (const name of names)
    if (!known.includes(name)) throw new Error(`${name} is no reader; there are ${known.join(", ")}`);
  const one = values.case;
  const cases = one !== undefined ? 1 : Number(values.cases ?? Number.POSITIVE_INFINITY);
  const minutes = Number(values.minutes ?? (Number.isFinite(cases) ? Number.POSITIVE_INFINITY : 10));
  return {
    names,
    seed: Number(values.seed),
    cases,
    seconds: (minutes * 60) / names.length,
    from: Number(one ?? 0),
  };
}

/** What was done, and what it showed. */
interface Fuzzed {
  readonly ended: { readonly reader: string; readonly cases: number; readonly seconds: number }[];
  readonly findings: FuzzFinding[];
}

/** Runs readers to their end, begun anew behind a case that ended or held the process. */
async function runAll(want: Wanted, kept: string): Promise<Fuzzed> {
  const done: Fuzzed = { ended: [], findings: [] };
  const progress = join(kept, "progress");
  let names = want.names;
  let from = want.from;
  while (names.length > 0 && done.findings.length < mostFindings) {
    const [first = ""] = names;
    const { seed, seconds } = want;
    const until = Math.min(want.from + want.cases, 1e9);
    writeFileSync(progress, progressText(first, from));
    const task = { readers: names, seed, from, fromOthers: want.from, until, seconds, progress, kept };
    const how = await runChild(task, done);
    if (how === "done") break;
    const [reader = first, number = "0"] = readFileSync(progress, "utf8").trim().split(/ +/);
    done.findings.push({ reader, seed, number: Number(number), what: how, file: "" });
    names = names.slice(names.indexOf(reader));
    from = Number(number) + 1;
  }
  return done;
}

/** @returns "done", or how the process came to its end */
function runChild(task: FuzzTask, done: Fuzzed): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(
      process.execPath,
      [
        `--max-old-space-size=${mostHeap}`,
        fileURLToPath(import.meta.url),
        "--child",
        JSON.stringify({ ...task, seconds: Math.min(task.seconds, 1e6) }),
      ],
      { stdio: ["ignore", "pipe", "pipe"] },
    );
    let printed = "";
    let complaint = "";
    let held: string | undefined;
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      const lines = (printed + text).split("\n");
      printed = lines.pop() ?? "";
      for (const line of lines.filter((one) => one.startsWith("{"))) take(JSON.parse(line), done);
    });
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      complaint = (complaint + text).slice(-3000);
    });
    let seen = "";
    let since = performance.now();
    const watch = setInterval(() => {
      const now = readFileSync(task.progress, "utf8");
      if (now !== seen) {
        seen = now;
        since = performance.now();
      } else if (performance.now() - since > longest * 1000) {
        held = `it hangs: no end within ${longest} s`;
        child.kill("SIGKILL");
      }
    }, 500);
    child.on("error", reject);
    child.on("close", (status, signal) => {
      clearInterval(watch);
      const how = `the process ended by ${signal ?? `status ${status}`}: ${complaint.trim().slice(0, 1500)}`;
      resolve(held ?? (status === 0 ? "done" : how));
    });
  });
}

function take(record: FuzzRecord, { ended, findings }: Fuzzed): void {
  if ("finding" in record) {
    findings.push(record.finding);
    return;
  }
  const { reader, cases, seconds } = record.ended;
  ended.push(record.ended);
  process.stdout.write(
    `${reader.padEnd(10)} ${String(cases).padStart(8)} cases ${seconds.toFixed(1).padStart(8)} s\n`,
  );
}

async function main(): Promise<void> {
  const kept = mkdtempSync(join(tmpdir(), "coldturn-fuzz-found-"));
  const { ended, findings } = await runAll(wanted(), kept);
  for (const { reader, seed, number, what, file } of findings)
    process.stdout.write(
      `\nnpm run fuzz -- --reader ${reader} --seed ${seed} --case ${number}\n${file === "" ? "" : `${file}\n`}${what}\n`,
    );
  if (findings.length === 0) rmSync(kept, { recursive: true, force: true });
  const cases = ended.reduce((sum, one) => sum + one.cases, 0);
  process.stdout.write(`\n${cases} cases, ${findings.length} findings\n`);
  process.exitCode = findings.length > 0 ? 1 : 0;
}

const [, , first, task = ""] = process.argv;
if (first === "--child") await fuzzChild(JSON.parse(task));
else await main();
