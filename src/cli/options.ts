/** The options that several commands share, and reading what was typed behind them. */
import { refuse } from "../fault/index.js";
import { usualWorkerCount } from "../host/index.js";
import type { Argument, Input } from "./command.js";

export const folderArgument: Argument = {
  flags: "<folder>",
  description: "folder of the dossier, the one with valve.yaml in it",
};
export const caseOption: Argument = {
  flags: "--case <id>",
  description: "conditions to look at: duty, or the id of a case in valve.yaml (default: duty)",
};
export const samplesOption = (usual: number): Argument => ({
  flags: "--samples <n>",
  description: `samples of the band (default: ${usual})`,
});
export const seedOption: Argument = {
  flags: "--seed <n>",
  description: "seed of the samples; the same seed gives the same numbers (default: 1)",
};
export const workersOption: Argument = {
  flags: "--workers <n>",
  description: "threads that share the work; the numbers do not depend on it (default: one per processor)",
};
export const onOption: Argument = {
  flags: "--on <address>",
  description:
    "queue the work on this PostgreSQL database, postgres://login@host:port/name, for every `coldturn worker` there; the numbers do not depend on it",
};
/** The options of a command that predicts one case. @param usual number of samples */
export function predictingOptions(usual: number): readonly Argument[] {
  return [caseOption, samplesOption(usual), seedOption, workersOption];
}

/** What was typed for them. */
export interface Predicting {
  readonly folder: string;
  readonly caseId: string;
  readonly seed: number;
  readonly samples: number;
}

/** Reads them. Refuses a number that is none. */
export function predictingIn(input: Input, usual: number): Predicting {
  requireWorkers(input);
  return {
    folder: folderIn(input),
    caseId: caseIn(input),
    seed: seedIn(input),
    samples: samplesIn(input, usual),
  };
}

/** Every command has these. */
export const commonOptions: readonly Argument[] = [
  { flags: "--json", description: "print the result as one JSON record" },
  { flags: "--quiet", description: "print nothing but faults; the exit status says the rest" },
];

/** Largest numbers taken: beyond them a typing error is likelier than an intention. */
const mostSamples = 1_000_000;
const mostWorkers = 64;
const largestSeed = 2 ** 31 - 1;

/** Commander keeps `--dry-run` as `dryRun`. */
function given({ options }: Input, name: string): unknown {
  return options[name.replaceAll(/-([a-z])/g, (_, letter: string) => letter.toUpperCase())];
}

/** Text of an option, or undefined. */
export function textOption(input: Input, name: string): string | undefined {
  const value = given(input, name);
  return typeof value === "string" ? value : undefined;
}

/** Texts of an option that may be given several times. */
export function textsOption(input: Input, name: string): readonly string[] {
  const value = given(input, name);
  return Array.isArray(value) ? value.filter((item) => typeof item === "string") : [];
}

export function hasOption(input: Input, name: string): boolean {
  return given(input, name) === true;
}

/** Whether a file to write is named as a PDF. */
export function isPdf(path: string): boolean {
  return /\.pdf$/i.test(path);
}

/** A whole number behind an option. Refuses anything else, and a number outside its bounds. */
function countOption(input: Input, name: string, least: number, most: number): number | undefined {
  const text = textOption(input, name);
  if (text === undefined) return undefined;
  const value = /^\d{1,12}$/.test(text) ? Number(text) : Number.NaN;
  if (value >= least && value <= most) return value;
  return refuse(
    "option-number",
    `--${name} ${text}: "${text}" is no whole number in the range`,
    `A whole number from ${least} to ${most}.`,
    `Write, for example, --${name} ${Math.max(least, Math.min(most, 1000))}`,
  );
}

export function samplesIn(input: Input, usual: number): number {
  return countOption(input, "samples", 0, mostSamples) ?? usual;
}

/** Samples of a search, which judges by them: at least one. */
export function seekSamplesIn(input: Input, usual: number): number {
  return countOption(input, "samples", 1, mostSamples) ?? usual;
}

export function seedIn(input: Input): number {
  return countOption(input, "seed", 0, largestSeed) ?? 1;
}

/**
 * Number of workers asked for, before the words are parsed; a number that is none is refused when they are.
 */
export function workersAhead(words: readonly string[]): number {
  const at = words.findIndex((word) => word === "--workers" || word.startsWith("--workers="));
  const text = words[at]?.split("=")[1] ?? words[at + 1] ?? "";
  const count = at >= 0 && /^\d{1,3}$/.test(text) ? Number(text) : usualWorkerCount();
  return Math.min(Math.max(count, 1), mostWorkers);
}

/** Port asked for; undefined where none is. */
export function portIn(input: Input): number | undefined {
  return countOption(input, "port", 0, 65_535);
}

/** Question asked for, 1 to 12; undefined where none is. */
export function questionIn(input: Input): number | undefined {
  return countOption(input, "question", 1, 12);
}

/** Number of workers asked for. */
export function workersIn(input: Input): number {
  return countOption(input, "workers", 1, mostWorkers) ?? usualWorkerCount();
}

/** Refuses a number of workers that is none. */
export function requireWorkers(input: Input): void {
  countOption(input, "workers", 1, mostWorkers);
}

export function caseIn(input: Input): string {
  return textOption(input, "case") ?? "duty";
}

/** The database that must be named. */
export function addressIn(input: Input, holds: string): string {
  const address = textOption(input, "on");
  if (address !== undefined) return address;
  return refuse(
    "command-line",
    `it is not said which database holds ${holds}`,
    "It is a PostgreSQL database that everybody reaches who works on them.",
    "Write, for example, --on postgres://ann@db.example:5432/valves",
  );
}

/** A whole number behind an option, 1 or more; undefined where none is given. */
export function wholeOption(input: Input, name: string): number | undefined {
  return countOption(input, name, 1, 999_999_999);
}

/** The first argument; commander has refused a call without it. */
export function folderIn({ arguments: [folder] }: Input): string {
  return folder ?? ".";
}
