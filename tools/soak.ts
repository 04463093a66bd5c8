/**
 * Drives the server over loopback with everything that a page asks, for as long as it is told, and measures
 * what its process holds. Fails where memory, handles or open files do not stay flat.
 *
 *   npm run soak -- [--minutes 60]
 *
 * The first part is the warm-up: code is compiled, caches and the fifty kept pieces of work fill.
 */
import { fork } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { programFile } from "../src/host/index.js";
import { logName, prepare } from "./kills/scenarios.js";
import { flatness } from "./soak/flat.js";
import { type Driven, soakRound, worksARound } from "./soak/rounds.js";
import { type Held, serveForSoak } from "./soak/server.js";

/** Measurements in all, evenly over the time. */
const measurements = 80;
/** Share of the time that is warm-up, and pieces of work that must have gone by: the server keeps fifty. */
const warmShare = 1 / 4;
const warmWorks = 55;

const measures: readonly {
  readonly id: keyof Held;
  readonly words: string;
  readonly unit: number;
  readonly in: string;
}[] = [
  { id: "heap", words: "heap in use", unit: 1e6, in: "MB" },
  { id: "external", words: "buffers", unit: 1e6, in: "MB" },
  { id: "resident", words: "resident", unit: 1e6, in: "MB" },
  { id: "handles", words: "handles", unit: 1, in: "" },
  { id: "descriptors", words: "open files", unit: 1, in: "" },
];

interface Server {
  readonly url: string;
  readonly token: string;
  readonly measure: () => Promise<Held>;
  readonly stop: () => Promise<void>;
}

function started(place: string): Promise<Server> {
  const child = fork(fileURLToPath(import.meta.url), ["--serve", place], { execArgv: ["--expose-gc"] });
  const next = () => new Promise<unknown>((resolve) => child.once("message", resolve));
  return new Promise((resolve, reject) => {
    child.once("error", reject);
    child.once("exit", () => reject(new Error("the server has ended")));
    void next().then((message) => {
      const { url, token } = message as { readonly url: string; readonly token: string };
      resolve({
        url: url.replace(/\/$/, ""),
        token,
        measure: async () => {
          const answer = next();
          child.send("measure");
          return ((await answer) as { readonly held: Held }).held;
        },
        stop: async () => {
          const gone = new Promise((done) => child.once("exit", done));
          child.send("stop");
          await gone;
        },
      });
    });
  });
}

/** @returns what was measured after the warm-up, and how many rounds there were */
async function soaked(driven: Driven, server: Server, seconds: number) {
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const held: Held[] = [];
  let n = 0;
  for (let next = 0; elapsed() < seconds; n++) {
    await soakRound(driven, n);
    if (elapsed() < next) continue;
    next = elapsed() + seconds / measurements;
    const isWarm = elapsed() > warmShare * seconds && n * worksARound >= warmWorks;
    const now = await server.measure();
    if (isWarm) held.push(now);
    if (process.stderr.isTTY)
      process.stderr.write(
        `\r${elapsed().toFixed(0)} s, round ${n}, heap ${(now.heap / 1e6).toFixed(1)} MB `,
      );
  }
  return { held, rounds: n };
}

async function main(): Promise<void> {
  const { values } = parseArgs({ options: { minutes: { type: "string", default: "60" } } });
  const home = mkdtempSync(join(tmpdir(), "coldturn-soak-"));
  try {
    const place = prepare(home);
    const log = readFileSync(join(home, logName));
    await imported(place, join(home, logName));
    const server = await started(place);
    const driven = { url: server.url, token: server.token, place, name: basename(place), log };
    const { held, rounds } = await soaked(driven, server, Number(values.minutes) * 60);
    await server.stop();
    process.stdout.write(
      `${rounds} rounds in ${values.minutes} minutes, ${held.length} measurements after the warm-up\n`,
    );
    if (held.length < 10) {
      process.stdout.write("Too few measurements to judge: give it more minutes.\n");
      process.exitCode = 1;
      return;
    }
    for (const { id, words, unit, in: name } of measures) {
      const { isFlat, median, rise, p } = flatness(held.map((one) => one[id]));
      const digits = unit === 1 ? 0 : 1;
      process.stdout.write(
        `${words.padEnd(12)} ${(median / unit).toFixed(digits).padStart(8)} ${name.padEnd(2)}  rise ${(rise / unit).toFixed(2).padStart(7)} ${name.padEnd(2)}  p ${p.toFixed(3)}  ${isFlat ? "flat" : "RISES"}\n`,
      );
      if (!isFlat) process.exitCode = 1;
    }
  } finally {
    rmSync(home, { recursive: true, force: true });
  }
}

function imported(place: string, log: string): Promise<void> {
  const words = [
    "import",
    place,
    log,
    "--case",
    "dry-ambient",
    "--date",
    "2026-04-14",
    "--run",
    "first",
    "--quiet",
  ];
  const child = fork(programFile("dist", "src", "cli", "main.js"), words, {
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
  return new Promise((resolve, reject) => {
    child.on("close", (status) =>
      status === 0 ? resolve() : reject(new Error(`the import ended with status ${status}`)),
    );
  });
}

const [, , first, place = ""] = process.argv;
if (first === "--serve") await serveForSoak(place);
else await main();
