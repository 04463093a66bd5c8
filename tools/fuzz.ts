/**
 * Reads damaged files with every reader that takes files from outside, and tells what is no answer and no
 * refusal: an exception, a fault that does not say where or how to mend it, a process that hangs, ends or
 * grows without bound, objects of the language that were changed.
 *
 *   npm run fuzz -- [--minutes 10] [--cases <of each reader>] [--seed 1] [--reader log]... [--case <number>]
 *
 * Each reader runs in a process of its own. A case is named by reader, seed and number, and comes again by them.
 */
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { type FuzzFinding, type FuzzTask, fuzzChild } from "./fuzz/child.js";
import { readers } from "./fuzz/readers.js";

/** A case that goes on for this long hangs [s]; on a loaded machine the slowest take a second. */
const longest = 20;
/** Memory of the language in one process; a reader that needs more does not bound what it reads [MB]. */
const mostHeap = 700;

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
  return { names, seed: Number(values.seed), cases, seconds: (minutes * 60) / names.length, from: Number(one ?? 0) };
}

/** Runs one reader to its end, begun anew behind a case that ended or held the process. */
async function runReader(reader: string, want: Wanted, kept: string): Promise<{ cases: number; findings: readonly FuzzFinding[] }> {
  const findings: FuzzFinding[] = [];
  const progress = join(kept, `${reader}.progress`);
  const end = performance.now() + want.seconds * 1000;
  let from = want.from;
  const last = want.from + want.cases;
  while (from < last && performance.now() < end) {
    const seconds = Math.min((end - performance.now()) / 1000, 1e6);
    const task = { reader, seed: want.seed, from, cases: Math.min(last - from, 1e9), seconds, progress, kept };
    writeFileSync(progress, String(from));
    const ended = await runChild(task, findings);
    const reached = Number(readFileSync(progress, "utf8"));
    from = reached + 1;
    if (ended === "done") break;
    findings.push({ reader, seed: want.seed, number: reached, what: ended, file: "" });
    if (findings.length > 50) break;
  }
  return { cases: from - want.from, findings };
}

/** @returns "done", or how the process came to its end */
function runChild(task: FuzzTask, findings: FuzzFinding[]): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(
      process.execPath,
      [`--max-old-space-size=${mostHeap}`, fileURLToPath(import.meta.url), "--child", JSON.stringify(task)],
      { stdio: ["ignore", "pipe", "pipe"] },
    );
    let printed = "";
    let complaint = "";
    let isDone = false;
    let held: string | undefined;
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      const lines = (printed + text).split("\n");
      printed = lines.pop() ?? "";
      for (const line of lines.filter((one) => one.startsWith("{"))) {
        const record: { readonly done?: true; readonly finding?: FuzzFinding } = JSON.parse(line);
        if (record.finding !== undefined) findings.push(record.finding);
        isDone ||= record.done === true;
      }
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
      if (isDone && status === 0) return resolve("done");
      resolve(held ?? `the process ended by ${signal ?? `status ${status}`}: ${complaint.trim().slice(0, 1500)}`);
    });
  });
}

async function main(): Promise<void> {
  const want = wanted();
  const kept = mkdtempSync(join(tmpdir(), "coldturn-fuzz-found-"));
  let all = 0;
  const findings: FuzzFinding[] = [];
  for (const name of want.names) {
    const began = performance.now();
    const found = await runReader(name, want, kept);
    const seconds = (performance.now() - began) / 1000;
    process.stdout.write(`${name.padEnd(10)} ${String(found.cases).padStart(8)} cases ${seconds.toFixed(1).padStart(8)} s  ${found.findings.length} findings\n`);
    all += found.cases;
    findings.push(...found.findings);
  }
  for (const { reader, seed, number, what, file } of findings)
    process.stdout.write(`\nnpm run fuzz -- --reader ${reader} --seed ${seed} --case ${number}\n${file === "" ? "" : `${file}\n`}${what}\n`);
  process.stdout.write(`\n${all} cases, ${findings.length} findings\n`);
  process.exitCode = findings.length > 0 ? 1 : 0;
}

const [, , first, task = ""] = process.argv;
if (first === "--child") await fuzzChild(JSON.parse(task));
else await main();
