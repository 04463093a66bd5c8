/** A declared value written as a mapping: { value }, { from, to } or { nominal, low, high }. */
import { FaultCollector, nearName, Refusal, refuse } from "../fault/index.js";
import { type Bounds, boundedText, checkBounds } from "./bounds.js";
import type { Declared } from "./declared.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import { origins } from "./law.js";
import { type LawName, lawNames, limitsOf } from "./limits.js";
import { readQuantity, splitQuantity } from "./reading.js";
import { rangeOf, type Spoken } from "./spoken.js";
import type { ReadingOptions, Unit } from "./unit.js";

/** What the numbers of a mapping belong to. */
interface Field {
  readonly dimension: Dimension;
  readonly bounds: Bounds;
  readonly options: ReadingOptions;
}

type Mapping = Readonly<Record<string, unknown>>;

const numberKeys = ["value", "from", "to", "nominal", "low", "high"] as const;
const keys = [...numberKeys, "law", "origin", "because", "reference"] as const;
type Key = (typeof keys)[number];

/** A mapping as read: its numbers, its numbers as one line of text, and where they come from. */
export interface ReadMapping {
  readonly spoken: Spoken;
  readonly text: string;
  readonly source: Partial<Pick<Declared, "origin" | "because" | "reference">>;
}

/** True for a mapping, false for lists, texts and numbers. */
export function isMapping(raw: unknown): raw is Mapping {
  return typeof raw === "object" && raw !== null && !Array.isArray(raw);
}

/** Reads a mapping; refuses with every fault in it, each with its key as `where.field`. */
export function readMapping(raw: Mapping, field: Field): ReadMapping {
  const collector = new FaultCollector();
  for (const key of Object.keys(raw)) collector.attempt(key, () => checkKey(key));
  const origin = collector.attempt("origin", () => permittedWord(raw, "origin", origins));
  const because = collector.attempt("because", () => words(raw, "because"));
  const reference = collector.attempt("reference", () => words(raw, "reference"));
  const text = numbersText(raw);
  const spoken = collector.attempt(undefined, () => readNumbers(raw, text, field, collector));
  collector.refuseIfAny();
  if (spoken === undefined) throw new Refusal(collector.faults());
  return {
    spoken,
    text,
    source: {
      ...(origin === undefined ? {} : { origin }),
      ...(because === undefined ? {} : { because }),
      ...(reference === undefined ? {} : { reference }),
    },
  };
}

/** A number or a text, as trimmed text; refuses words that say there is no value. */
export function scalarText(raw: unknown, dimension: Dimension): string {
  if (typeof raw === "number") return String(raw);
  if (typeof raw !== "string") return refuseForm(plainWords(raw), dimension);
  const text = raw.trim();
  if (text === "") return refuseForm(plainWords(text), dimension);
  if (!/^(?:not known|unknown|\?+|tbd|tbc|n\/?a|none|-+)$/i.test(text)) return text;
  return refuse(
    "value-not-known",
    `"${text}" is not a value`,
    "An input nobody gives is not known, and only the checks that need it wait for it.",
    "Leave the field out.",
  );
}

/** Refuses what has none of the forms of a value. */
function refuseForm(found: string, dimension: Dimension): never {
  const { example, words: what } = dimensionRecord(dimension);
  return refuse(
    "value-unreadable",
    `${found} is not a value`,
    `This field is ${what}: one value, a value with +/-, { from, to } or { nominal, low, high }.`,
    `Write, for example, "${example}" or "${example} +/- 10 %".`,
  );
}

type Form = "value" | "range" | "limits";

function readNumbers(
  raw: Mapping,
  text: string,
  field: Field,
  collector: FaultCollector,
): Spoken | undefined {
  const form = formOf(raw);
  if (form === undefined) return refuseForm(text, field.dimension);
  if (form !== "limits" && isGiven(raw, "law")) collector.attempt("law", refuseLaw);
  if (form === "value") {
    return collector.attempt("value", () =>
      boundedText(scalarText(raw.value, field.dimension), field.dimension, field.bounds, field.options),
    );
  }
  const wanted: readonly Key[] = form === "range" ? ["from", "to"] : ["nominal", "low", "high"];
  refuseMissing(raw, wanted, text);
  const law = form === "range" ? undefined : collector.attempt("law", () => lawOf(raw));
  const [first, second, third] = readTogether(raw, wanted, field, collector);
  if (first === undefined || second === undefined) return undefined;
  if (form === "range")
    return collector.attempt("from", () => rangeOf(first.si, second.si, first.unit, text));
  if (third === undefined || law === undefined) return undefined;
  const [low, high] = first.unit.reciprocal ? [third.si, second.si] : [second.si, third.si];
  return collector.attempt("nominal", () => limitsOf(first.si, low, high, law, first.unit));
}

function formOf(raw: Mapping): Form | undefined {
  const forms: readonly (readonly [Form, boolean])[] = [
    ["value", isGiven(raw, "value")],
    ["range", isGiven(raw, "from") || isGiven(raw, "to")],
    ["limits", isGiven(raw, "nominal") || isGiven(raw, "low") || isGiven(raw, "high")],
  ];
  const present = forms.filter(([, given]) => given).map(([form]) => form);
  return present.length === 1 ? present[0] : undefined;
}

function isGiven(raw: Mapping, key: Key): boolean {
  return raw[key] !== undefined && raw[key] !== null;
}

function lawOf(raw: Mapping): LawName {
  return permittedWord(raw, "law", lawNames) ?? "triangular";
}

function refuseLaw(): never {
  return refuse(
    "value-unreadable",
    "a law is given without nominal, low and high",
    "The law of +/- is normal, that of from and to is uniform.",
    "Leave out law, or write { nominal: ..., low: ..., high: ..., law: normal }.",
  );
}

function refuseMissing(raw: Mapping, wanted: readonly Key[], text: string): void {
  const missing = wanted.filter((key) => !isGiven(raw, key));
  if (missing.length === 0) return;
  const isRange = wanted.includes("from");
  refuse(
    "value-unreadable",
    `${missing.join(" and ")} ${missing.length > 1 ? "are" : "is"} missing in ${text}`,
    isRange ? "A range has two ends." : "A nominal value with limits has nominal, low and high.",
    isRange
      ? "Write { from: ..., to: ... }."
      : "Write { nominal: ..., low: ..., high: ... }, or the one value alone.",
  );
}

/** Reads several values that may borrow one another's unit; undefined in place of a faulty one. */
function readTogether(
  raw: Mapping,
  wanted: readonly Key[],
  field: Field,
  collector: FaultCollector,
): readonly ({ readonly si: number; readonly unit: Unit } | undefined)[] {
  const { dimension, bounds, options } = field;
  const parts = wanted.map((key) =>
    collector.attempt(key, () => {
      const text = scalarText(raw[key], dimension);
      return { key, text, unitWords: splitQuantity(text, dimension).rest };
    }),
  );
  const shared = parts.find((part) => part !== undefined && part.unitWords !== "")?.unitWords ?? "";
  return parts.map((part) => {
    if (part === undefined) return undefined;
    return collector.attempt(part.key, () => {
      const whole = part.unitWords === "" ? `${part.text} ${shared}`.trim() : part.text;
      const { si, unit } = readQuantity(whole, dimension, options);
      checkBounds(si, dimension, bounds, `"${whole}"`, unit);
      return { si, unit };
    });
  });
}

function checkKey(key: string): void {
  if (keys.some((known) => known === key)) return;
  refuse(
    "value-key-unknown",
    `"${key}" is not part of a value`,
    `A value has ${keys.join(", ")}.`,
    "Correct the name or leave it out.",
    nearName(key, keys),
  );
}

function permittedWord<W extends string>(
  raw: Mapping,
  key: "law" | "origin",
  permitted: readonly W[],
): W | undefined {
  if (!isGiven(raw, key)) return undefined;
  const given = plainWords(raw[key]);
  const found = permitted.find((word) => word === given);
  if (found !== undefined) return found;
  return refuse(
    key === "law" ? "law-unknown" : "origin-unknown",
    `"${given}" is not ${key === "law" ? "a law" : "an origin"} known here`,
    `The permitted words are ${permitted.join(", ")}.`,
    `Write, for example, ${key}: ${permitted[0]}.`,
    nearName(given, permitted),
  );
}

function words(raw: Mapping, key: "because" | "reference"): string | undefined {
  if (!isGiven(raw, key)) return undefined;
  const given = raw[key];
  if (typeof given === "string" && given.trim() !== "") return given.trim();
  return refuse(
    "value-unreadable",
    `${plainWords(given)} is not a text`,
    `The ${key === "because" ? "reason" : "reference"} of a value says in words where it comes from.`,
    `Write, for example, ${key}: "catalogue, cold grease".`,
  );
}

/** The numbers of a mapping in one line, as a person could have typed it. */
function numbersText(raw: Mapping): string {
  const parts = [...numberKeys, "law" as const]
    .filter((key) => isGiven(raw, key))
    .map((key) => `${key}: ${plainWords(raw[key])}`);
  return parts.length === 0 ? "{ }" : `{ ${parts.join(", ")} }`;
}

/** What was found, in words: text and numbers as they are, lists and mappings by their kind. */
function plainWords(given: unknown): string {
  if (given === null || given === undefined) return "nothing";
  if (typeof given === "object") return Array.isArray(given) ? "a list" : "a mapping";
  return given === "" ? "an empty text" : String(given);
}
