/**
 * Sealed predictions: what was predicted, from what, by which model, made before the test and never
 * edited. A seal is the SHA-256 of the content in canonical JSON; a changed byte breaks it.
 *
 * The core neither hashes nor reads a clock: the shell passes both in.
 */
import { newerFault } from "../../dossier/index.js";
import { type Fault, Refusal } from "../../fault/index.js";
import { type Plan, type Prediction, planFor, type Sense } from "../../predict/index.js";
import { type HeldPrediction, heldFromBand } from "../reconcile/held.js";
import { isNestedDeeply, misshapen } from "./sealedShape.js";

/** One value the prediction rests on, as declared and as read. */
export interface SealedInput {
  readonly path: string;
  readonly text: string;
  readonly readAs: string;
  readonly origin: string;
  readonly value: number;
  readonly dimension: string;
}

export interface SealedStroke {
  readonly times_s: Readonly<Record<string, number>>;
  readonly inputUncertainty_s: Readonly<Record<string, number>>;
  readonly band_s: Readonly<Record<string, { readonly low: number; readonly high: number }>>;
  readonly notArriving: { readonly estimate: number; readonly low: number; readonly high: number } | null;
}

/** What is sealed. */
export interface SealedContent {
  readonly format: "coldturn-sealed/1";
  readonly model: string;
  /** Name of the valve as in its file. */
  readonly valve: string;
  readonly case: string;
  /** When it was made, ISO 8601 with zone. */
  readonly made: string;
  readonly seed: number;
  readonly samples: number;
  readonly coverage: number;
  readonly definition: string;
  /** Name and SHA-256 of each file it was made from. */
  readonly files: readonly { readonly name: string; readonly sha256: string }[];
  readonly inputs: readonly SealedInput[];
  readonly opening: SealedStroke;
  readonly closing: SealedStroke;
  /** Begin of the SHA-256 of each part, by its name, so that a change can be named; absent in the first seals. */
  readonly parts?: Readonly<Record<string, string>>;
}

export interface SealedPrediction extends SealedContent {
  readonly sha256: string;
}

/** SHA-256 of a UTF-8 text as lower-case hex. */
export type Sha256 = (text: string) => string;

/**
 * Seals a prediction.
 * Refuses a prediction without a band: there is nothing to hold a test against.
 */
export function sealPrediction(
  prediction: Prediction,
  made: string,
  files: SealedContent["files"],
  sha256: Sha256,
): SealedPrediction {
  const { band, nominal } = prediction;
  if (band === undefined || band.figures.opens === undefined) {
    throw new Refusal([
      {
        code: "nothing-to-seal",
        where: { field: prediction.caseId },
        found: `the case ${prediction.caseId} has no predicted motion`,
        allowed: "A seal holds a predicted time with its band.",
        mend: `Enter what is not known: ${prediction.missing.motion.join(", ") || "ask for samples with --samples"}`,
      },
    ]);
  }
  const { space } = planFor(prediction.dossier, prediction.caseId);
  const stroke = (sense: Sense): SealedStroke => {
    const held = heldFromBand(band, sense, nominal[sense]?.times_s ?? {});
    return {
      times_s: held.times_s,
      inputUncertainty_s: held.inputUncertainty_s,
      band_s: held.band_s,
      notArriving: held.notArriving ?? null,
    };
  };
  const content: SealedContent = {
    format: "coldturn-sealed/1",
    model: prediction.model,
    valve: prediction.dossier.valve.name ?? "",
    case: prediction.caseId,
    made,
    seed: prediction.options.seed,
    samples: prediction.options.samples,
    coverage: band.coverage,
    definition: prediction.definition,
    files,
    inputs: space.declared.map(({ text, readAs, origin, value, dimension }, slot) => ({
      path: space.paths[slot] ?? "",
      text,
      readAs,
      origin,
      value,
      dimension,
    })),
    opening: stroke("opening"),
    closing: stroke("closing"),
  };
  const whole = { ...content, parts: partsOf(content, sha256) };
  return { ...whole, sha256: sha256(canonicalJson(whole)) };
}

/** Digits kept of the hash of a part: they name a change, the seal of the whole proves it. */
const partDigits = 12;

/** Hash of each field, and of each input by its path. */
function partsOf(content: object, sha256: Sha256): Readonly<Record<string, string>> {
  const parts: Record<string, string> = {};
  const note = (name: string, value: unknown) => {
    parts[name] = sha256(canonicalJson(value)).slice(0, partDigits);
  };
  for (const [key, value] of Object.entries(content)) {
    if (key === "inputs" && Array.isArray(value)) for (const input of value) note(nameOf(input), input);
    else if (key !== "parts") note(key, value);
  }
  return parts;
}

function nameOf(input: unknown): string {
  const path = typeof input === "object" && input !== null && "path" in input ? input.path : "";
  return `input ${String(path)}`;
}

/** Names of the parts that are not those that were sealed; none where the seal has no parts. */
function changedParts(content: Omit<SealedPrediction, "sha256">, sha256: Sha256): readonly string[] {
  const sealed = content.parts;
  if (sealed === undefined) return [];
  const now = partsOf(content, sha256);
  return [...new Set([...Object.keys(sealed), ...Object.keys(now)])].filter(
    (name) => sealed[name] !== now[name],
  );
}

/** The file of a sealed prediction: readable, one line per entry, ending in a line feed. */
export function sealedText(sealed: SealedPrediction): string {
  return `${JSON.stringify(sealed, null, 1)}\n`;
}

/**
 * Opens a sealed prediction.
 * @param file name shown in a fault
 * Refuses text that is no sealed prediction, and one whose content does not match its seal.
 */
export function openSealed(text: string, file: string, sha256: Sha256): SealedPrediction {
  const parsed = parsedJson(text, file);
  const version = sealedVersion(parsed);
  if (version > 1) throw new Refusal([newerFault({ file, field: "format" }, version, 1)]);
  if (!isSealed(parsed)) {
    return refuseSealed(
      file,
      "sealed-format",
      "the file is no sealed prediction of this program",
      "A sealed prediction has the format coldturn-sealed/1.",
    );
  }
  const { sha256: seal, ...content } = parsed;
  const actual = sha256(canonicalJson(content));
  if (actual !== seal) {
    return refuseSealed(
      file,
      "seal-broken",
      `the content has the SHA-256 ${actual.slice(0, 12)}..., the seal says ${String(seal).slice(0, 12)}...${changedPartsWords(changedParts(content, sha256))}`,
      "A sealed prediction is never edited: a changed byte breaks its seal.",
    );
  }
  if (sealedText(parsed) !== text) {
    return refuseSealed(
      file,
      "seal-broken",
      "the text is not the one that was written, though its numbers read the same",
      "A sealed prediction is never edited: a changed byte breaks its seal.",
    );
  }
  const wrong = misshapen(parsed);
  if (wrong !== undefined) {
    return refuseSealed(
      file,
      "sealed-format",
      `the seal fits, and yet the file is no whole prediction (${wrong})`,
      "A sealed prediction is a JSON file written by `coldturn seal`.",
    );
  }
  return parsed;
}

function changedPartsWords(names: readonly string[]): string {
  return names.length === 0 ? "" : `; changed: ${names.join(", ")}`;
}

/** A sealed prediction as what a test in one sense is held against. */
export function heldFromSeal(sealed: SealedPrediction, sense: Sense): HeldPrediction {
  const stroke = sealed[sense];
  return {
    sealed: sealed.sha256,
    times_s: stroke.times_s,
    inputUncertainty_s: stroke.inputUncertainty_s,
    band_s: stroke.band_s,
    notArriving: stroke.notArriving ?? undefined,
  };
}

/**
 * Which declared inputs differ from those that were sealed; undefined if the files are byte for byte the
 * sealed ones. Empty where files differ and no value with a spread does.
 * @param files name and SHA-256 of the files as they are;  @param plan made from them
 */
export function changedSince(
  sealed: SealedPrediction,
  files: SealedContent["files"],
  { space }: Plan,
): readonly string[] | undefined {
  if (canonicalJson(byName(sealed.files)) === canonicalJson(byName(files))) return undefined;
  const before = new Map(sealed.inputs.map((input) => [input.path, input]));
  const now = new Map(space.declared.map((one, slot) => [space.paths[slot] ?? "", one]));
  const differing = [...now].filter(([path, { text, value }]) => {
    const was = before.get(path);
    return was === undefined || was.text !== text || was.value !== value;
  });
  const gone = [...before.keys()].filter((path) => !now.has(path));
  return [...differing.map(([path]) => path), ...gone];
}

function byName(files: SealedContent["files"]): SealedContent["files"] {
  return [...files].sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** The newest sealed prediction of a case made before an instant, or undefined. @param before ISO 8601 */
export function newestBefore(
  sealed: readonly SealedPrediction[],
  caseId: string,
  before: string,
): SealedPrediction | undefined {
  const limit = Date.parse(before);
  return sealed
    .filter((one) => one.case === caseId && Date.parse(one.made) < limit)
    .sort((a, b) => Date.parse(b.made) - Date.parse(a.made))[0];
}

/** JSON with the keys of every object in code-unit order and no white space: one text per content. */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(",")}]`;
  if (value !== null && typeof value === "object") {
    const entries = Object.entries(value)
      .filter(([, item]) => item !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, item]) => `${JSON.stringify(key)}:${canonicalJson(item)}`);
    return `{${entries.join(",")}}`;
  }
  return JSON.stringify(value);
}

function parsedJson(text: string, file: string): unknown {
  const noJson = (found: string): never =>
    refuseSealed(
      file,
      "sealed-format",
      found,
      "A sealed prediction is a JSON file written by `coldturn seal`.",
    );
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    return noJson("the file is not JSON");
  }
  return isNestedDeeply(parsed) ? noJson("the file is nested deeper than any prediction") : parsed;
}

/** Version of the form, 0 where the text says none. Sealed files are never migrated: a changed byte breaks the seal. */
function sealedVersion(value: unknown): number {
  const form = typeof value === "object" && value !== null && "format" in value ? String(value.format) : "";
  return Number(/^coldturn-sealed\/(\d{1,6})$/.exec(form)?.[1] ?? 0);
}

function isSealed(value: unknown): value is SealedPrediction {
  return (
    typeof value === "object" &&
    value !== null &&
    "format" in value &&
    value.format === "coldturn-sealed/1" &&
    "sha256" in value &&
    "opening" in value &&
    "closing" in value
  );
}

function refuseSealed(file: string, code: string, found: string, allowed: string): never {
  const fault: Fault = {
    code,
    where: { file },
    found,
    allowed,
    mend: "Restore the file from your history, or remove it and seal a new prediction before the next test",
  };
  throw new Refusal([fault]);
}
