/**
 * Kills commands that write, and the server while it saves, at random instants, and looks at all of the dossier
 * after each: every file old or new and whole, hashes right, nothing lost, nothing doubled, leftovers hidden.
 *
 *   npm run kills -- [--count 500] [--seed 1] [--only seal]...
 *
 * Half of the instants are drawn over the whole of the command, half within 15 ms of its first write: there
 * every step of a write is met. A command that had ended before its kill does not count, and another is begun.
 */
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, watch } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { starterFile } from "../src/dossier/index.js";
import { programFile } from "../src/host/index.js";
import { type RandomStream, randomStream } from "../src/numerics/index.js";
import { type Inspected, inspected, wordsOf } from "./kills/inspect.js";
import { copyFor, newIsWhole, prepare, type Scenario, scenarios } from "./kills/scenarios.js";
import { killWhileSaving } from "./kills/server.js";

/** Share of the kills that goes to the server. */
const savingShare = 14;
const saving = "save";

/** What the kills of one scenario showed. */
interface Tally {
  readonly name: string;
  kills: number;
  /** After which something unfinished lay there: the kill met a write. */
  met: number;
  /** After which the command's work was there, whole. */
  written: number;
  readonly complaints: string[];
}

const program = programFile("dist", "src", "cli", "main.js");

/** Runs a command to its end. */
function done(words: readonly string[]): Promise<number | null> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...words], { stdio: "ignore" });
    child.on("error", reject);
    child.on("close", resolve);
  });
}

/** Runs a command that the kills rest on. */
async function surely(words: readonly string[]): Promise<void> {
  const status = await done(words);
  if (status !== 0) throw new Error(`coldturn ${words.join(" ")} ends with status ${status}`);
}

/** Kills a command. @returns whether it was killed, and how long it ran [ms] */
function killed(
  words: readonly string[],
  place: string,
  when: { readonly at: number } | { readonly afterWrite: number },
) {
  return new Promise<{ readonly isKilled: boolean; readonly took: number }>((resolve, reject) => {
    const began = performance.now();
    const child = spawn(process.execPath, [program, ...words], { stdio: "ignore" });
    const kill = (after: number) => setTimeout(() => child.kill("SIGKILL"), after);
    let timer: NodeJS.Timeout | undefined;
    const watcher =
      "at" in when
        ? undefined
        : watch(place, { recursive: true }, () => {
            timer ??= kill(when.afterWrite);
          });
    if ("at" in when) timer = kill(when.at);
    child.on("error", reject);
    child.on("close", (_, signal) => {
      clearTimeout(timer);
      watcher?.close();
      resolve({ isKilled: signal === "SIGKILL", took: performance.now() - began });
    });
  });
}

/** What is not as it must be after a kill; undefined where all is. */
function complaint(scenario: Scenario, before: Inspected, after: Inspected): string | undefined {
  const { may, mostNew } = scenario;
  for (const [path, hash] of before.files) {
    if (may.test(path)) continue;
    if (after.files.get(path) !== hash) return `${path} is ${after.files.has(path) ? "changed" : "lost"}`;
  }
  const added = [...after.files.keys()].filter((path) => !before.files.has(path));
  const strange = added.find((path) => !may.test(path));
  if (strange !== undefined) return `${strange} has come from nowhere`;
  return added.length > mostNew ? `${added.length} new files: ${added.join(", ")}` : undefined;
}

async function killScenario(
  scenario: Scenario,
  count: number,
  home: string,
  random: RandomStream,
): Promise<Tally> {
  const tally: Tally = { name: scenario.name, kills: 0, met: 0, written: 0, complaints: [] };
  const place = copyFor(scenario.name, home);
  let took = 1500;
  let known: Inspected | undefined;
  for (let n = 0; tally.kills < count && n < 4 * count + 10; n++) {
    scenario.before?.(place, n);
    const before: Inspected =
      scenario.before === undefined && known !== undefined ? known : await inspected(place);
    known = undefined;
    const when =
      random.below(2) === 0 ? { at: random.uniform() * took } : { afterWrite: random.uniform() * 15 };
    const watched = scenario.other === undefined ? place : join(place, "..");
    const ended = await killed(scenario.words(place, n), watched, when);
    if (!ended.isKilled) {
      took = ended.took;
      continue;
    }
    tally.kills++;
    try {
      const after = await inspected(place);
      known = after;
      const what = complaint(scenario, before, after);
      if (what !== undefined) tally.complaints.push(`${scenario.name} ${n}: ${what}`);
      const own = scenario.other?.(place, n);
      if (own !== undefined && !newIsWhole(own, starterFile(`petrel new ${n}`)))
        tally.complaints.push(`${scenario.name} ${n}: ${own} is not whole`);
      if (after.leftovers.length > before.leftovers.length) tally.met++;
      if ([...after.files].some(([path, hash]) => before.files.get(path) !== hash)) tally.written++;
    } catch (thrown) {
      tally.complaints.push(`${scenario.name} ${n}: ${wordsOf(thrown)}`);
    }
  }
  tally.complaints.push(...(await goneOn(scenario, place)));
  return tally;
}

/** After all kills the command itself still does its work, and an import clears what the killed ones left. */
async function goneOn(scenario: Scenario, place: string): Promise<readonly string[]> {
  scenario.before?.(place, 0);
  const status = await done(scenario.words(place, 1_000_000));
  if (status !== 0 && status !== 1)
    return [`${scenario.name}: after the kills it ends with status ${status}`];
  const { leftovers } = await inspected(place);
  const imports = leftovers.filter((name) => name.startsWith(".import."));
  if (scenario.name === "import" && imports.length > 0)
    return [`import: ${imports.length} leftovers were not cleared`];
  if (scenario.name === "seek") return await seekAgrees(place);
  return [];
}

/** A search that was broken off and taken up again gives what one in one piece gives. */
async function seekAgrees(place: string): Promise<readonly string[]> {
  const [kept, fresh] = ["kept", "fresh"].map((name) => join(place, "..", `${name}.csv`));
  if (kept === undefined || fresh === undefined) return [];
  const words = ["seek", place, "--samples", "8", "--workers", "1"];
  await done([...words, "--front", kept]);
  await done([...words, "--afresh", "--front", fresh]);
  const isSame = existsSync(kept) && readFileSync(kept, "utf8") === readFileSync(fresh, "utf8");
  return isSame ? [] : ["seek: taken up again it gives another front than afresh"];
}

async function killServer(count: number, home: string, random: RandomStream): Promise<Tally> {
  const tally: Tally = { name: saving, kills: 0, met: 0, written: 0, complaints: [] };
  const place = copyFor(saving, home);
  const valve = readFileSync(join(place, "valve.yaml"), "utf8");
  for (let n = 0; n < count; n++) {
    try {
      const before = (await inspected(place)).leftovers.length;
      const saves = await killWhileSaving(place, valve, 20 + random.uniform() * 250);
      tally.kills++;
      if ((await inspected(place)).leftovers.length > before) tally.met++;
      if (saves > 0) tally.written++;
    } catch (thrown) {
      tally.complaints.push(`${saving} ${n}: ${wordsOf(thrown)}`);
    }
  }
  return tally;
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      count: { type: "string", default: "500" },
      seed: { type: "string", default: "1" },
      only: { type: "string", multiple: true },
    },
  });
  const random = randomStream(Number(values.seed));
  const wanted = [...scenarios, { name: saving, share: savingShare }].filter(
    ({ name }) => values.only === undefined || values.only.includes(name),
  );
  const all = wanted.reduce((sum, { share }) => sum + share, 0);
  const home = mkdtempSync(join(tmpdir(), "coldturn-kills-"));
  const tallies: Tally[] = [];
  try {
    const place = prepare(home);
    const dry = ["--case", "dry-ambient"];
    await surely(["import", place, join(home, "dry.csv"), ...dry, "--date", "2026-04-14", "--run", "first"]);
    await surely(["seal", place, ...dry, "--samples", "40", "--workers", "1"]);
    for (const { name, share } of wanted) {
      const count = Math.max(1, Math.round((Number(values.count) * share) / all));
      const scenario = scenarios.find((one) => one.name === name);
      const tally =
        scenario === undefined
          ? await killServer(count, home, random)
          : await killScenario(scenario, count, home, random);
      tallies.push(tally);
      process.stdout.write(
        `${tally.name.padEnd(10)} ${String(tally.kills).padStart(4)} kills, ${String(tally.met).padStart(3)} met a write, ${String(tally.written).padStart(3)} after it, ${tally.complaints.length} complaints\n`,
      );
    }
  } finally {
    rmSync(home, { recursive: true, force: true });
  }
  const complaints = tallies.flatMap((tally) => tally.complaints);
  for (const line of complaints) process.stdout.write(`${line}\n`);
  const sum = (of: "kills" | "met" | "written") => tallies.reduce((total, tally) => total + tally[of], 0);
  process.stdout.write(
    `${sum("kills")} kills, ${sum("met")} met a write under way, ${sum("written")} came after one, ${complaints.length} complaints\n`,
  );
  process.exitCode = complaints.length > 0 ? 1 : 0;
}

await main();
