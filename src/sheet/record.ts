/**
 * The record that a sheet carries for programs: what it was printed from, with the hash of every file, and what
 * it found. By it a sheet can be held against the dossier as it is now, and against another sheet.
 */
import { type Check, checkWords, limitWords } from "../question/index.js";
import type { HashedFile, SheetContent } from "./content.js";
import { inputsOf } from "./inputs.js";
import { html, type Markup } from "./markup.js";

/** A check as a sheet records it, in words. */
export interface RecordedCheck {
  readonly question: number;
  readonly id: string;
  readonly name: string;
  readonly verdict: string;
  readonly value: string;
  readonly limit: string;
  /** Whether a waiver that counts stands beside it. */
  readonly isWaived: boolean;
}

/** A field of the valve file as typed, or a default as it was filled in. */
export interface RecordedInput {
  readonly path: string;
  readonly text: string;
}

export interface SheetRecord {
  readonly format: typeof sheetFormat;
  readonly valve: string;
  readonly case: string;
  readonly model: string;
  readonly seed: number;
  readonly samples: number;
  /** Day for which it was judged, ISO 8601. */
  readonly day: string;
  readonly files: readonly HashedFile[];
  readonly questions: readonly {
    readonly number: number;
    readonly words: string;
    readonly verdict: string;
  }[];
  readonly checks: readonly RecordedCheck[];
  readonly inputs: readonly RecordedInput[];
}

export const sheetFormat = "coldturn-sheet/1";

/** The record of a sheet's content. */
export function sheetRecord({ prediction, answers, defaults, files, day }: SheetContent): SheetRecord {
  const { dossier, caseId, model, options } = prediction;
  const waived = answers.flatMap(({ waivers = [] }) => waivers).filter(({ state }) => state === "stands");
  return {
    format: sheetFormat,
    valve: dossier.valve.name ?? "",
    case: caseId,
    model,
    seed: options.seed,
    samples: options.samples,
    day,
    files,
    questions: answers.map(({ number, question, verdict }) => ({ number, words: question, verdict })),
    checks: answers.flatMap(({ number, checks }) =>
      checks.map((check) => ({
        question: number,
        id: check.id,
        name: check.name,
        verdict: check.verdict,
        value: checkWords(check),
        limit: limitText(check),
        isWaived: waived.some(({ check: id, name }) => id === check.id && name === check.name),
      })),
    ),
    inputs: [
      ...inputsOf(dossier, caseId).map(({ path, text }) => ({ path, text })),
      ...defaults.map(({ field, value }) => ({ path: field, text: `${value} (default)` })),
    ],
  };
}

function limitText(check: Check): string {
  return check.kind === "unknown" || check.limit === undefined
    ? ""
    : limitWords(check.limit, check.dimension, check.unit);
}

/** The record as JSON in plain letters: no character of it is altered by a page. */
export function recordText(record: SheetRecord): string {
  return JSON.stringify(record).replace(
    /[\u007f-\uffff]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

const id = "sheet-record";

/** The record within a page, where nothing shows it. */
export function recordPart(record: SheetRecord): Markup {
  return html`<template id="${id}">${recordText(record)}</template>
`;
}

/** The record's text in a page; undefined where the page has none. */
export function recordTextIn(page: string): string | undefined {
  const found = new RegExp(`<template id="${id}">([^<]*)</template>`).exec(page)?.[1];
  return found
    ?.replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&quot;", '"')
    .replaceAll("&#39;", "'")
    .replaceAll("&amp;", "&");
}

/** A record from its text; undefined for a text that is none. */
export function readSheetRecord(text: string): SheetRecord | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isRecord(value) ? value : undefined;
  } catch (thrown) {
    if (thrown instanceof SyntaxError) return undefined;
    throw thrown;
  }
}

function isRecord(value: unknown): value is SheetRecord {
  if (!isObject(value) || value.format !== sheetFormat) return false;
  const isText = (key: string) => typeof value[key] === "string";
  return (
    ["valve", "case", "model", "day"].every(isText) &&
    typeof value.seed === "number" &&
    typeof value.samples === "number" &&
    isList(value.files, ["name", "sha256"]) &&
    isList(value.questions, ["words", "verdict"]) &&
    isList(value.checks, ["id", "name", "verdict", "value", "limit"]) &&
    isList(value.inputs, ["path", "text"])
  );
}

function isList(value: unknown, texts: readonly string[]): boolean {
  return (
    Array.isArray(value) &&
    value.every((item: unknown) => isObject(item) && texts.every((key) => typeof item[key] === "string"))
  );
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null;
}
