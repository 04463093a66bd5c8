/**
 * The process that reads damaged files, one after the other, until its number or its time is up. Before each
 * it notes the number in a file, so that the process above knows which one ended or held it. What it finds it
 * prints, one line of JSON each.
 */
import { closeSync, mkdirSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { faultsText, Refusal } from "../../src/fault/index.js";
import { hashWords, randomStream } from "../../src/numerics/index.js";
import { damaged } from "./mutate.js";
import { type FuzzReader, readers } from "./readers.js";

/** What one process is to do. */
export interface FuzzTask {
  /** Names of readers, taken one after the other. */
  readonly readers: readonly string[];
  readonly seed: number;
  /** Number of the first case of the first reader, and of those of the others. */
  readonly from: number;
  readonly fromOthers: number;
  /** Number behind the last case, and seconds, of each reader at most. */
  readonly until: number;
  readonly seconds: number;
  /** File that gets the reader and the number of the case under way. */
  readonly progress: string;
  /** Folder that gets the files that showed something. */
  readonly kept: string;
}

/** What a process prints, one line of JSON each. */
export type FuzzRecord =
  | { readonly finding: FuzzFinding }
  | { readonly ended: { readonly reader: string; readonly cases: number; readonly seconds: number } };

/** What one case showed. */
export interface FuzzFinding {
  readonly reader: string;
  readonly seed: number;
  readonly number: number;
  readonly what: string;
  /** The damaged file. */
  readonly file: string;
}

/** A process that has grown beyond this does not bound what it reads [byte]. */
const mostMemory = 1.5e9;
/** A file that takes this long may not end at all in another shape [s]. */
const slowest = 5;

export async function fuzzChild(task: FuzzTask): Promise<void> {
  const home = mkdtempSync(join(tmpdir(), "coldturn-fuzz-"));
  const progress = openSync(task.progress, "w");
  // Nobody reads what is found once the process above has gone.
  const above = process.ppid;
  try {
    for (const [i, name] of task.readers.entries()) {
      const reader = readers.find((one) => one.name === name);
      if (reader === undefined) throw new Error(`no reader ${name}`);
      const began = performance.now();
      const elapsed = () => (performance.now() - began) / 1000;
      const seeds = await reader.seeds(home);
      const from = i === 0 ? task.from : task.fromOthers;
      let n = from;
      for (; n < task.until && elapsed() < task.seconds && process.ppid === above; n++) {
        writeSync(progress, progressText(name, n), 0);
        const what = await caseOf(reader, seeds, task, n, home);
        if (what !== undefined) print({ finding: { reader: name, seed: task.seed, number: n, ...what } });
      }
      print({ ended: { reader: name, cases: n - from, seconds: elapsed() } });
    }
  } finally {
    closeSync(progress);
    rmSync(home, { recursive: true, force: true });
  }
}

/** Which case is under way, in a text of one length. */
export function progressText(reader: string, n: number): string {
  return `${reader.padEnd(12)}${String(n).padStart(12)}`;
}

const print = (record: FuzzRecord): void => {
  writeSync(1, `${JSON.stringify(record)}\n`);
};

async function caseOf(
  reader: FuzzReader,
  seeds: readonly Uint8Array[],
  task: FuzzTask,
  n: number,
  home: string,
) {
  const random = randomStream(task.seed, hashWords(readers.indexOf(reader), n, 1));
  const bytes = damaged(reader.kind, seeds, random);
  // A folder for each: what one case leaves is not there for the next.
  const folder = join(home, String(n));
  const place = reader.name === "sensor" ? "sensors" : reader.name === "sealed" ? "predictions" : ".";
  mkdirSync(join(folder, place), { recursive: true });
  const path = join(folder, place, `file${reader.ending}`);
  writeFileSync(path, bytes);
  const before = process.cpuUsage();
  const said = await complaintOf(reader, path, folder, random);
  // Of the processor: a machine that is busy with other things makes nothing slow.
  const took = process.cpuUsage(before).user / 1e6;
  rmSync(folder, { recursive: true, force: true });
  const what =
    said ??
    pollution() ??
    (took > slowest ? `it took ${took.toFixed(1)} s` : undefined) ??
    (process.memoryUsage.rss() > mostMemory
      ? `memory has grown to ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`
      : undefined);
  if (what === undefined) return undefined;
  const file = join(task.kept, `${reader.name}-${task.seed}-${n}${reader.ending}`);
  writeFileSync(file, bytes);
  return { what, file };
}

/** What is wrong with how a file was answered; undefined where it was read, or refused as it should be. */
async function complaintOf(
  reader: FuzzReader,
  path: string,
  folder: string,
  random: ReturnType<typeof randomStream>,
) {
  try {
    const faults = await reader.read(path, folder, random);
    return faults === undefined || faults.length === 0 ? undefined : unfit(new Refusal(faults), reader);
  } catch (thrown) {
    if (thrown instanceof Refusal) return unfit(thrown, reader);
    return thrown instanceof Error ? (thrown.stack ?? thrown.message).slice(0, 1500) : String(thrown);
  }
}

/** A fault that does not say where, what or how to mend it. */
function unfit({ faults }: Refusal, { hasLines }: FuzzReader): string | undefined {
  if (faults.length === 0) return "a refusal without a fault";
  for (const fault of faults) {
    const { code, where, found, mend } = fault;
    const about = `${code}: ${found.slice(0, 200)}`;
    if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(code)) return `a fault without a code: ${about}`;
    if (found.trim() === "" || mend.trim() === "") return `a fault without words: ${about}`;
    if (where.file === undefined) return `a fault without its file: ${about}`;
    // A key that is missing has no line.
    const isWhole = code.startsWith("file-") || where.field === undefined || found === "it is missing";
    if (hasLines === true && !isWhole && !(Number(where.line) > 0))
      return `a fault without its line: ${about}`;
  }
  const text = faultsText(faults);
  return /\[object |undefined/.exec(text) === null
    ? undefined
    : `a fault in words of the program: ${text.slice(0, 400)}`;
}

/** Whether something has come into the objects of all. */
function pollution(): string | undefined {
  const strange = [Object.prototype, Array.prototype, Function.prototype].flatMap((one) => Object.keys(one));
  if (strange.length === 0) return undefined;
  for (const key of strange) Reflect.deleteProperty(Object.prototype, key);
  return `every object has got ${strange.join(", ")}`;
}
