/**
 * Runs one command: finds it in the table, parses, acts, prints, gives the exit status. Whatever was
 * thrown ends here: a refusal as faults, an interruption as silence, anything else as a defect.
 */
import { readFileSync } from "node:fs";
import { type Fault, nearName, Refusal, refuse } from "../fault/index.js";
import { type PredictionWorkers, programFile, startWorkers } from "../host/index.js";
import type { Command, Desk, Outcome } from "./command.js";
import { commands } from "./commands.js";
import { reportDefect } from "./defect.js";
import { faultsPage } from "./faultsPage.js";
import { commandHelp, overviewHelp, parseWords } from "./help.js";
import { jsonText } from "./jsonText.js";
import { workersAhead } from "./options.js";
import { pageOf, paragraph, printable } from "./page.js";
import { progressLine } from "./progress.js";

/** Signals that end the work, with the status a shell expects after them. */
const interruptions = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/** Thrown through the work by an interruption. */
class Interruption extends Error {}

/** @param words  what was typed behind `coldturn` */
export async function runCommandLine(words: readonly string[]): Promise<void> {
  const abort = new AbortController();
  for (const [signal, status] of Object.entries(interruptions)) {
    process.on(signal, () => {
      process.exitCode = status;
      // Who asks twice does not want to wait.
      if (abort.signal.aborted) process.exit(status);
      abort.abort(new Interruption());
    });
  }
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    // A reader that has seen enough, as `head`, closes the pipe: there is nobody left to tell.
    if (error.code === "EPIPE") process.exit();
    process.stderr.write(`The output could not be written: ${error.message}\n`);
    process.exit(2);
  });
  const manner = mannerOf(words);
  // What is thrown where nobody waits for it, as in a timer, is a defect like any other.
  process.on("uncaughtException", (thrown) => {
    void tellDefect(thrown, words, manner).finally(() => process.exit(3));
  });
  const watched = process.stderr.isTTY === true && !manner.isQuiet;
  const progress = progressLine(watched ? process.stderr : undefined);
  const workers = workersFor(words, { signal: abort.signal, progress });
  const status = await statusOf(words, manner, { signal: abort.signal, progress, run: workers.run });
  progress.clear();
  process.exitCode ??= status;
  await workers.stop();
}

/** Workers that start at once for a command that surely predicts, and at the first prediction of another. */
function workersFor(words: readonly string[], { signal, progress }: Omit<Desk, "run">): PredictionWorkers {
  let started: PredictionWorkers | undefined;
  const start = (): PredictionWorkers => {
    started ??= startWorkers({
      count: workersAhead(words),
      signal,
      onProgress: (done) => progress.tell("predicting", done),
    });
    return started;
  };
  const isHelp = words.some((word) => word === "--help" || word === "-h");
  if (!isHelp && commands.some(({ name, predicts }) => predicts && name === words[0])) start();
  return {
    run: async (plan, blocks) => await start().run(plan, blocks),
    stop: async () => await started?.stop(),
  };
}

/** How to print, known before the words are parsed, so that faults of the words print the same way. */
interface Manner {
  readonly isJson: boolean;
  readonly isQuiet: boolean;
  readonly name: string | undefined;
}

function mannerOf(words: readonly string[]): Manner {
  return {
    isJson: words.includes("--json"),
    isQuiet: words.includes("--quiet"),
    name: words[0]?.startsWith("-") === false ? words[0] : undefined,
  };
}

async function statusOf(words: readonly string[], manner: Manner, desk: Desk): Promise<number> {
  try {
    const outcome = await outcomeOf(words, desk);
    desk.progress.clear();
    if (outcome !== undefined) printOutcome(outcome, manner);
    return outcome?.status ?? 0;
  } catch (thrown) {
    desk.progress.clear();
    if (desk.signal.aborted) return 0;
    if (thrown instanceof Refusal) {
      printFaults(thrown.faults, manner);
      return 2;
    }
    await tellDefect(thrown, words, manner);
    return 3;
  }
}

async function tellDefect(thrown: unknown, words: readonly string[], manner: Manner): Promise<void> {
  const defect = await reportDefect(thrown, words, version());
  if (manner.isJson) print(jsonText({ ...frame(manner, 3), defect }));
  const page = pageOf(process.stderr, process.env);
  process.stderr.write(printable(page, `${paragraph(page, defect.text).join("\n")}\n`));
}

/** The outcome of a command; undefined if help or version was printed instead. */
async function outcomeOf(words: readonly string[], desk: Desk): Promise<Outcome | undefined> {
  const [first, ...rest] = words;
  const page = pageOf(process.stdout, process.env);
  const isHelp = first === "help" || first === "--help" || first === "-h";
  if (first === undefined || (isHelp && rest.length === 0)) {
    print(overviewHelp(page, await Promise.all(commands.map(({ load }) => load()))));
    return undefined;
  }
  if (first === "--version" || first === "-V") {
    print(`${version()}\n`);
    return undefined;
  }
  const command = await commandNamed(isHelp ? (rest[0] ?? "") : first);
  const input = isHelp ? "help" : parseWords(command, rest);
  if (input === "help") {
    print(commandHelp(page, command));
    return undefined;
  }
  return await command.act(input, desk);
}

async function commandNamed(name: string): Promise<Command> {
  const entry = commands.find((one) => one.name === name);
  if (entry !== undefined) return await entry.load();
  const names = commands.map((one) => one.name);
  const order = name.startsWith("-") ? " Options stand behind the command." : "";
  return refuse(
    "command-unknown",
    `"${name}" is no command`,
    `The commands are ${names.join(", ")}.${order}`,
    "`coldturn --help` says what each does",
    nearName(name, names),
  );
}

function printOutcome({ status, result, faults = [], text, product }: Outcome, manner: Manner): void {
  if (product !== undefined && !manner.isJson) print(product);
  else if (manner.isJson) print(jsonText({ ...frame(manner, status), faults, result }));
  else if (!manner.isQuiet) {
    const page = pageOf(process.stdout, process.env);
    print(printable(page, `${text(page).trimEnd()}\n`));
    if (faults.length > 0) printFaults(faults, manner);
  } else if (faults.length > 0) printFaults(faults, manner);
}

function printFaults(faults: readonly Fault[], manner: Manner): void {
  if (manner.isJson) print(jsonText({ ...frame(manner, 2), faults }));
  else {
    const page = pageOf(process.stderr, process.env);
    process.stderr.write(printable(page, `${faultsPage(page, faults)}\n`));
  }
}

/** What every JSON record begins with. */
function frame({ name }: Manner, status: number): Readonly<Record<string, unknown>> {
  return { coldturn: version(), command: name ?? null, status };
}

function print(text: string): void {
  process.stdout.write(text);
}

function version(): string {
  const text = readFileSync(programFile("package.json"), "utf8");
  const parsed: unknown = JSON.parse(text);
  const found = typeof parsed === "object" && parsed !== null && "version" in parsed ? parsed.version : "";
  return String(found);
}
