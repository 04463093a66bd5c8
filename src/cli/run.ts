/**
 * Runs commands: finds each in the table, parses, acts, prints, gives the exit status. Whatever was
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
import { type Page, pageOf, paragraph, printable } from "./page.js";
import { progressLine, progressMessages } from "./progress.js";

/** @param words  what was typed behind `coldturn` */
export async function runCommandLine(words: readonly string[]): Promise<void> {
  const session = new Session();
  process.exitCode ??= await session.run(words);
  await session.end();
}

/** Signals that end the work, with the status a shell expects after them. */
const interruptions = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/** Thrown through the work by an interruption. */
class Interruption extends Error {}

/**
 * Commands of one process, one after the other: what the first has loaded and its workers have
 * compiled serves the next. An interruption ends the session.
 */
export class Session {
  private readonly abort = new AbortController();
  private workers: { readonly count: number; readonly pool: PredictionWorkers } | undefined;
  private progress = progressLine(undefined);
  private words: readonly string[] = [];
  private telling: Promise<void> | undefined;

  constructor() {
    for (const [signal, status] of Object.entries(interruptions)) {
      process.on(signal, () => {
        process.exitCode = status;
        // Who asks twice does not want to wait.
        if (this.abort.signal.aborted) process.exit(status);
        this.abort.abort(new Interruption());
      });
    }
    process.stdout.on("error", (error: NodeJS.ErrnoException) => {
      // A reader that has seen enough, as `head`, closes the pipe: there is nobody left to tell.
      if (error.code === "EPIPE") process.exit();
      process.stderr.write(`The output could not be written: ${error.message}\n`);
      process.exit(2);
    });
    // What is thrown where nobody waits for it, as in a timer, is a defect like any other.
    process.on("uncaughtException", (thrown) => {
      void this.tell(thrown).finally(() => process.exit(3));
    });
  }

  /** Tells a defect; of several at once the first alone, and all wait until it is told. */
  private tell(thrown: unknown): Promise<void> {
    this.telling ??= tellDefect(thrown, this.words, mannerOf(this.words));
    return this.telling;
  }

  /** Runs one command. @returns its status, or that of the signal that ended the session */
  async run(words: readonly string[]): Promise<number> {
    const manner = mannerOf(words);
    this.words = words;
    const { send } = process;
    this.progress =
      send === undefined
        ? progressLine(process.stderr.isTTY === true && !manner.isQuiet ? process.stderr : undefined)
        : progressMessages((message) => send.call(process, message, () => undefined));
    const isHelp = words.some((word) => word === "--help" || word === "-h");
    // Workers load the program while the file is read.
    if (!isHelp && commands.some(({ name, predicts }) => predicts && name === words[0])) await this.started();
    const tell = (thrown: unknown) => this.tell(thrown);
    const status = await statusOf(words, manner, tell, {
      signal: this.abort.signal,
      progress: this.progress,
      run: async (plan, blocks) => await (await this.started()).run(plan, blocks),
      early: (text) => {
        if (manner.isJson || manner.isQuiet || this.abort.signal.aborted) return false;
        this.progress.clear();
        printText(text);
        return true;
      },
      pause: () => new Promise((resolve) => setImmediate(resolve)),
    });
    this.progress.clear();
    // Workers of a run that failed are gone.
    if (status >= unusable) await this.end();
    return this.abort.signal.aborted ? Number(process.exitCode) : status;
  }

  /** Ends the workers. */
  async end(): Promise<void> {
    const { workers } = this;
    this.workers = undefined;
    await workers?.pool.stop();
  }

  private async started(): Promise<PredictionWorkers> {
    const count = workersAhead(this.words);
    if (this.workers !== undefined && this.workers.count !== count) await this.end();
    this.workers ??= {
      count,
      pool: startWorkers({
        count,
        signal: this.abort.signal,
        onProgress: (done) => this.progress.tell("predicting", done),
      }),
    };
    return this.workers.pool;
  }
}

/** From this status on a command gave no answer. */
const unusable = 2;

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

async function statusOf(
  words: readonly string[],
  manner: Manner,
  tell: (defect: unknown) => Promise<void>,
  desk: Desk,
): Promise<number> {
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
    await tell(thrown);
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
    printText(text);
    if (faults.length > 0) printFaults(faults, manner);
  } else if (faults.length > 0) printFaults(faults, manner);
}

function printText(text: (page: Page) => string): void {
  const page = pageOf(process.stdout, process.env);
  print(printable(page, `${text(page).trimEnd()}\n`));
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
