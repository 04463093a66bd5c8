/** The built program as a user calls it, and dossiers to call it on. */
import { type ChildProcess, spawn } from "node:child_process";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { nominalOf, planFor } from "../../src/predict/index.js";
import { built } from "../host/built.js";
import { root } from "../project/files.js";
import { type Ended, warmly } from "./warm.js";

export type { Ended } from "./warm.js";

export interface CallOptions {
  readonly cwd?: string;
  readonly env?: NodeJS.ProcessEnv;
  /** Called with the process once it runs. */
  readonly onStart?: (child: ChildProcess) => void;
  readonly uid?: number;
  /** A process of its own, where that is what is tested; `onStart`, `uid` and NODE_OPTIONS give one too. */
  readonly alone?: true;
}

/** Calls the program; resolves when it has ended. */
export function coldturn(words: readonly string[], options: CallOptions = {}): Promise<Ended> {
  const { NO_COLOR: _, FORCE_COLOR: __, COLUMNS: ___, ...plain } = process.env;
  const isAlone = [options.alone, options.onStart, options.uid, options.env?.NODE_OPTIONS];
  if (isAlone.every((wish) => wish === undefined))
    return warmly(words, options.cwd ?? root, { ...plain, ...options.env });
  const program = fileURLToPath(built("src/cli/main.js"));
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...words], {
      cwd: options.cwd ?? root,
      env: { ...plain, ...options.env },
      stdio: ["ignore", "pipe", "pipe"],
      ...(options.uid === undefined ? {} : { uid: options.uid, gid: options.uid }),
    });
    let stdout = "";
    let stderr = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      stdout += text;
    });
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      stderr += text;
    });
    child.on("error", reject);
    child.on("close", (status, signal) => resolve({ status, signal, stdout, stderr }));
    options.onStart?.(child);
  });
}

/** The record that --json printed. */
export function recordOf({
  stdout,
}: Ended): Readonly<Record<string, unknown>> & { readonly result?: unknown } {
  const parsed: unknown = JSON.parse(stdout);
  if (typeof parsed !== "object" || parsed === null) throw new Error("no record was printed");
  return { ...parsed };
}

/** What stands at a path of a record: "result.answers.2.verdict". */
export function at(record: unknown, path: string): unknown {
  return path
    .split(".")
    .reduce<unknown>(
      (here, step) => (typeof here === "object" && here !== null ? Reflect.get(here, step) : undefined),
      record,
    );
}

const source = join(root, "demo", "petrel-oxygen-main", "valve.yaml");
export const valveText = readFileSync(source, "utf8");

/** A copy of the demo dossier in a folder, its valve file changed if wanted. */
export function dossierIn(folder: string, change: (text: string) => string = (text) => text): string {
  const place = join(folder, "petrel");
  cpSync(join(root, "demo", "petrel-oxygen-main"), place, { recursive: true });
  writeFileSync(join(place, "valve.yaml"), change(valveText));
  return place;
}

/** How a made-up log is written. */
export interface LogManner {
  /** Columns and units of the head; the columns are time, command, angle, current. */
  readonly head?: string;
  /** Time after the dead time is stretched by this. */
  readonly slower?: number;
}

const dryLogs = new Map<string, string>();

/**
 * The log of a dry opening: the predicted one, slower, a second of rest before, half a second after,
 * 2 kHz. The noise is a fixed pattern.
 */
export function dryLog({
  head = "t [s],cmd [V],angle [deg],current [A]",
  slower = 1.15,
}: LogManner = {}): string {
  const manner = `${head} ${String(slower)}`;
  const made = dryLogs.get(manner) ?? makeDryLog(head, slower);
  dryLogs.set(manner, made);
  return made;
}

function makeDryLog(head: string, slower: number): string {
  const { dossier } = applyDefaults(
    readDossier({ valve: { path: "valve.yaml", text: valveText } }).dossier,
    "dry-ambient",
  );
  const stroke = nominalOf(planFor(dossier, "dry-ambient"), "command-to-end").opening;
  if (stroke === undefined) throw new Error("the demo valve has no opening");
  const begin = 0.015;
  const rows: string[] = [head];
  for (let i = 0; i <= 4000; i++) {
    const t = i / 2000;
    const since = t - 1;
    const own = since < begin ? since : begin + (since - begin) / slower;
    const noise = 0.01 * Math.sin(i * 12.9898) * Math.cos(i * 78.233);
    const angle = (180 / Math.PI) * valueAt(stroke.time_s, stroke.angle_rad, own) + noise;
    const current = own > (stroke.time_s.at(-1) ?? 0) ? 0 : valueAt(stroke.time_s, stroke.current_A, own);
    rows.push(
      [t.toFixed(4), since >= 0 ? "5.0" : "0.0", angle.toFixed(4), (current + noise).toFixed(4)].join(","),
    );
  }
  return `${rows.join("\n")}\n`;
}

function valueAt(x: readonly number[], y: readonly number[], at: number): number {
  const next = x.findIndex((one) => one >= at);
  if (next < 0) return y.at(-1) ?? 0;
  if (next === 0) return y[0] ?? 0;
  const [x0 = 0, x1 = 1, y0 = 0, y1 = 0] = [x[next - 1], x[next], y[next - 1], y[next]];
  return y0 + ((y1 - y0) * (at - x0)) / (x1 - x0);
}

/** Cells of the longest line, the user's own lines and lines to be copied apart. */
export function widest(text: string): number {
  const free = /^ *\d* \| |^ {2}(coldturn|SHA-256|# yaml|[^ ]+\/[^ ]+$)|^Wrote |^\/|^[^ ]+: \d/;
  return Math.max(...text.split("\n").map((line) => (free.test(line) ? 0 : [...line].length)));
}
