/** Two sheets held against each other: verdicts, values, inputs and files that differ. */
import type { RecordedCheck, SheetRecord } from "./record.js";

/** A thing that differs: what it was in the first sheet, what it is in the second; "" where it is in one alone. */
export interface Difference {
  readonly name: string;
  readonly first: string;
  readonly second: string;
}

export interface SheetComparison {
  /** Valve, case, model version, seed, samples and day. */
  readonly about: readonly Difference[];
  readonly questions: readonly Difference[];
  readonly verdicts: readonly Difference[];
  /** Values and limits of checks whose verdict is the same. */
  readonly values: readonly Difference[];
  readonly waivers: readonly Difference[];
  readonly inputs: readonly Difference[];
  /** By the hashes of the files. */
  readonly files: readonly Difference[];
}

export function compareSheets(first: SheetRecord, second: SheetRecord): SheetComparison {
  const checks = (said: (check: RecordedCheck) => string) =>
    differences(entries(first.checks, checkName, said), entries(second.checks, checkName, said));
  const verdicts = checks(({ verdict }) => verdict);
  const changed = new Set(verdicts.map(({ name }) => name));
  const about = (record: SheetRecord): ReadonlyMap<string, string> =>
    new Map([
      ["valve", record.valve],
      ["case", record.case],
      ["model version", record.model],
      ["seed", String(record.seed)],
      ["samples", String(record.samples)],
      ["judged for the day", record.day],
    ]);
  return {
    about: differences(about(first), about(second)),
    questions: differences(
      entries(
        first.questions,
        ({ number, words }) => `${number} ${words}`,
        ({ verdict }) => verdict,
      ),
      entries(
        second.questions,
        ({ number, words }) => `${number} ${words}`,
        ({ verdict }) => verdict,
      ),
    ),
    verdicts,
    values: checks(({ value }) => value).filter(({ name }) => !changed.has(name)),
    waivers: checks(({ isWaived }) => (isWaived ? "waived" : "not waived")).filter(
      ({ first: a, second: b }) => a === "waived" || b === "waived",
    ),
    inputs: differences(
      entries(
        first.inputs,
        ({ path }) => path,
        ({ text }) => text,
      ),
      entries(
        second.inputs,
        ({ path }) => path,
        ({ text }) => text,
      ),
    ),
    files: differences(
      entries(
        first.files,
        ({ name }) => name,
        ({ sha256 }) => sha256,
      ),
      entries(
        second.files,
        ({ name }) => name,
        ({ sha256 }) => sha256,
      ),
    ),
  };
}

/** Whether two sheets say the same of the same files. */
export function isSame(comparison: SheetComparison): boolean {
  return Object.values(comparison).every((list: readonly Difference[]) => list.length === 0);
}

function checkName({ question, name }: RecordedCheck): string {
  return `${question} ${name}`;
}

function entries<T>(
  items: readonly T[],
  name: (item: T) => string,
  said: (item: T) => string,
): ReadonlyMap<string, string> {
  return new Map(items.map((item) => [name(item), said(item)]));
}

function differences(
  first: ReadonlyMap<string, string>,
  second: ReadonlyMap<string, string>,
): readonly Difference[] {
  const names = [...new Set([...first.keys(), ...second.keys()])];
  return names
    .map((name) => ({ name, first: first.get(name) ?? "", second: second.get(name) ?? "" }))
    .filter((one) => one.first !== one.second);
}

/** What a dossier has become since a sheet was printed from it. */
export interface Since {
  readonly changed: readonly string[];
  readonly missing: readonly string[];
  readonly added: readonly string[];
}

/** @param files  those that a sheet of the dossier would rest on now */
export function changedSince(
  record: SheetRecord,
  files: readonly { readonly name: string; readonly sha256: string }[],
): Since {
  const now = new Map(files.map(({ name, sha256 }) => [name, sha256]));
  const then = new Set(record.files.map(({ name }) => name));
  return {
    changed: record.files
      .filter(({ name, sha256 }) => now.has(name) && now.get(name) !== sha256)
      .map(({ name }) => name),
    missing: record.files.filter(({ name }) => !now.has(name)).map(({ name }) => name),
    added: files.filter(({ name }) => !then.has(name)).map(({ name }) => name),
  };
}

/** The same as short words, one for each file. */
export function sinceWords({ changed, missing, added }: Since): readonly string[] {
  return [
    ...changed.map((name) => `${name} changed`),
    ...missing.map((name) => `${name} is missing`),
    ...added.map((name) => `${name} is new`),
  ];
}
