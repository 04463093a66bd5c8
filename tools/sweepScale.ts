/**
 * Measures how sweeps on PostgreSQL scale with the workers, and what a block costs beside its work:
 *
 *   node dist/tools/sweepScale.js postgres://login@host:port/name
 *
 * The database should be on this machine. Each worker is a process of one thread. Printed are, of long
 * and of short blocks: the wall time, the share of it in which the workers were at work (by their own
 * clocks: what others do on the machine lengthens both), and the processor time for each block of the
 * worker beside its work, of the database, and of whoever ordered (from /proc, so on Linux alone).
 */
import { type ChildProcess, spawn } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { elapsedSeconds, programFile } from "../src/host/index.js";
import { onDatabase } from "../src/host/postgres/connect.js";
import { predictOrder, predictWork } from "../src/host/sweep/predictWork.js";
import { runSweep } from "../src/host/sweep/sweep.js";
import type { BlockRequest } from "../src/predict/index.js";

const [, , address = "", most = "4"] = process.argv;
const path = programFile("demo", "petrel-oxygen-main", "valve.yaml");
const order = predictOrder({ valve: { path, text: readFileSync(path, "utf8") }, parts: [] }, "dry-ambient");
/** Samples of a block, and blocks. */
const kinds = { long: { samples: 4_000, blocks: 24 }, short: { samples: 1, blocks: 1_000 } } as const;

function blocksOf({
  samples,
  blocks,
}: {
  readonly samples: number;
  readonly blocks: number;
}): readonly BlockRequest[] {
  return Array.from({ length: blocks }, (_, i) => ({
    ...{ kind: "band" as const, seed: 1, start: i * samples, count: samples },
    column: "opening:command-to-end",
  }));
}

/** Starts workers and waits until they take work. */
async function started(count: number): Promise<readonly ChildProcess[]> {
  const words = [programFile("dist", "src", "cli", "main.js"), "worker", "--on", address, "--workers", "1"];
  const children = Array.from({ length: count }, () =>
    spawn(process.execPath, words, { stdio: ["ignore", "ignore", "pipe"] }),
  );
  await Promise.all(children.map((child) => new Promise((resolve) => child.stderr.once("data", resolve))));
  return children;
}

/** Ticks of the clock of /proc in a second. */
const ticks = 100;

/** Processor time that processes have used [s]. */
function processorTime(pids: readonly (number | undefined)[]): number {
  return pids.reduce<number>((sum, pid) => {
    try {
      const fields = readFileSync(`/proc/${String(pid)}/stat`, "utf8")
        .replace(/^.*\) /, "")
        .split(" ");
      // Its own, and that of its children that have ended: connections of the database come and go.
      return sum + fields.slice(11, 15).reduce((all, field) => all + Number(field), 0) / ticks;
    } catch {
      // It has ended meanwhile, or the system has no /proc.
      return sum;
    }
  }, 0);
}

function databasePids(): readonly number[] {
  try {
    return readdirSync("/proc")
      .filter((name) => /^\d+$/.test(name))
      .map(Number)
      .filter((pid) => readFileSync(`/proc/${String(pid)}/comm`, "utf8").startsWith("postgres"));
  } catch {
    return [];
  }
}

/** @param title  a new one makes another sweep of the same work */
async function swept(blocks: readonly BlockRequest[], title: string): Promise<number> {
  const begun = elapsedSeconds();
  const { signal } = new AbortController();
  await runSweep(address, { kind: predictWork.kind, title, order: { ...order, title }, blocks }, { signal });
  return elapsedSeconds() - begun;
}

/** Seconds of work, and between the first begin and the last result, by the clock of the database. */
async function worked(title: string): Promise<{ readonly work_s: number; readonly span_s: number }> {
  const { rows } = await onDatabase(address, ({ pool }) =>
    pool.query<{ work: number; span: number }>(
      `select sum(seconds)::float8 as work,
         extract(epoch from max(at) - min(at - seconds * interval '1 s'))::float8 as span
       from coldturn_sweep.result r join coldturn_sweep.sweep s on s.id = r.sweep where title = $1`,
      [title],
    ),
  );
  return { work_s: rows[0]?.work ?? 0, span_s: rows[0]?.span ?? 0 };
}

const mark = String(Date.now());
const heads = [
  "blocks",
  "workers",
  "wall [s]",
  "blocks/s",
  "at work",
  "worker",
  "database",
  "orderer [ms/block]",
];
process.stdout.write(`${heads.map((head) => head.padStart(10)).join("")}\n`);
for (let count = 1; count <= Number(most); count *= 2) {
  const children = await started(count);
  const pids = children.map(({ pid }) => pid);
  // The first sweep lets the threads compile what they run.
  await swept(blocksOf({ samples: 400, blocks: 4 * count }), `${mark} warm ${String(count)}`);
  for (const [name, kind] of Object.entries(kinds)) {
    const title = `${mark} ${name} ${String(count)}`;
    const sides = () => [processorTime(pids), processorTime(databasePids()), process.cpuUsage()] as const;
    const [worker, database, own] = sides();
    const seconds = await swept(blocksOf(kind), title);
    const [workerAfter, databaseAfter, ownAfter] = sides();
    const { work_s, span_s } = await worked(title);
    const each = (used_s: number): string => ((1000 * used_s) / kind.blocks).toFixed(2);
    const orderer = (ownAfter.user + ownAfter.system - own.user - own.system) / 1e6;
    const beside = name === "short" ? each(workerAfter - worker - work_s) : "";
    const cells = [
      ...[name, String(count), seconds.toFixed(2), (kind.blocks / seconds).toFixed(1)],
      ...[(work_s / (count * span_s)).toFixed(3), beside, each(databaseAfter - database), each(orderer)],
    ];
    process.stdout.write(`${cells.map((cell) => cell.padStart(10)).join("")}\n`);
  }
  for (const child of children) child.kill("SIGINT");
  await Promise.all(children.map((child) => new Promise((resolve) => child.once("close", resolve))));
}
