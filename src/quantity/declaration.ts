/** From what a person wrote in a dossier to a declared value. */
import { type Fault, nearName, Refusal, refuse } from "../fault/index.js";
import type { Bounds, Declared } from "./declared.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import { type Law, type Origin, origins } from "./law.js";
import { checkBounds, formatInUnit, readQuantity, splitQuantity } from "./quantity.js";
import { rangeOf, readSpoken, type Spoken } from "./spoken.js";
import { formatSpread, type ReadingOptions, type Unit } from "./unit.js";

/** What reading a declared value may need beside it. */
export interface DeclaredOptions extends ReadingOptions {
  /** Origin of a value that does not say its own; "assumed" if absent. */
  readonly origin?: Origin;
}

/** Half the width of a 95 % interval of a normal law, in standard deviations [gum, table G.1]. */
const coverage95 = 1.96;

/** How far from midway the nominal of a normal law may lie, as a share of the half width: rounding. */
const offCentre = 0.01;

const keys = [
  "value",
  "from",
  "to",
  "nominal",
  "low",
  "high",
  "law",
  "origin",
  "because",
  "reference",
] as const;
type Key = (typeof keys)[number];

const lawNames = ["triangular", "uniform", "normal"] as const;
type LawName = (typeof lawNames)[number];

/**
 * A declared value from a text, a number or a mapping:
 *
 *   0.08                    28 bar(a)            0.08 +/- 0.02        0.08 +/- 0.04 (k=2)
 *   5 N m +/- 10 %          32 mm tol 0.05       from 300 N to 700 N
 *   { from: 300 N, to: 700 N }                   uniform, nominal midway
 *   { nominal: 0.78, low: 0.70, high: 0.84 }     triangular, or `law: uniform`, or `law: normal` with
 *                                                low and high as the ends of the 95 % interval
 *   { value: 0.08 +/- 0.02 }                     any of the texts
 *
 * A mapping may add `origin`, `because` and `reference`. `+/-` is a standard uncertainty of a normal
 * law, cut at the bounds of the field and of physics.
 *
 * @param raw        as it stands in the file: string, number or mapping
 * @param dimension  what the field is
 * @param bounds     bounds of the field, SI
 * @throws Refusal   with every fault found. `where.field` is the key inside a mapping, absent
 *                   otherwise; the reader of the file adds the place.
 */
export function parseDeclared(
  raw: unknown,
  dimension: Dimension,
  bounds: Bounds = {},
  options: DeclaredOptions = {},
): Declared {
  const origin = options.origin ?? "assumed";
  if (typeof raw === "string" || typeof raw === "number") {
    const text = scalarText(raw, dimension);
    return declared(boundedText(text, dimension, bounds, options), dimension, bounds, text, { origin });
  }
  if (isMapping(raw)) return declaredMapping(raw, dimension, bounds, options, origin);
  return refuseForm(raw === null || raw === undefined ? "nothing" : String(raw), dimension);
}

/** A text that reads as a value within its bounds. */
function boundedText(text: string, dimension: Dimension, bounds: Bounds, options: DeclaredOptions): Spoken {
  const spoken = readSpoken(text, dimension, options);
  const { value, law, unit } = spoken;
  checkBounds(value, dimension, bounds, text, unit);
  if (law.kind === "uniform") {
    for (const end of [law.low, law.high]) {
      checkBounds(
        end,
        dimension,
        bounds,
        `${formatInUnit(end, unit, { digits: 6 })}, the end of "${text}",`,
        unit,
      );
    }
  }
  return spoken;
}

interface Source {
  readonly origin: Origin;
  readonly because?: string;
  readonly reference?: string;
}

function declared(
  spoken: Spoken,
  dimension: Dimension,
  bounds: Bounds,
  text: string,
  source: Source,
): Declared {
  const { law, cut } = cutAtBounds(spoken.law, dimension, bounds, spoken.unit);
  return {
    value: spoken.value,
    law,
    dimension,
    unit: spoken.unit.text,
    text,
    readAs: `${spoken.readAs}${cut}`,
    ...source,
  };
}

/** A normal law ends where the field or physics does; the words say where. */
function cutAtBounds(
  law: Law,
  dimension: Dimension,
  bounds: Bounds,
  unit: Unit,
): { readonly law: Law; readonly cut: string } {
  if (law.kind !== "normal") return { law, cut: "" };
  const least = dimensionRecord(dimension).least?.value ?? Number.NEGATIVE_INFINITY;
  const lowest = bounds.min ?? bounds.minExclusive ?? Number.NEGATIVE_INFINITY;
  const low = Math.max(least, lowest);
  const high = bounds.max ?? bounds.maxExclusive ?? Number.POSITIVE_INFINITY;
  const ends = [low, high].filter(Number.isFinite).map((end) => formatInUnit(end, unit, {}));
  const cut = ends.length === 0 ? "" : `, cut at ${ends.join(" and ")}`;
  return { law: { ...law, low, high }, cut };
}

type Mapping = Readonly<Record<string, unknown>>;

function isMapping(raw: unknown): raw is Mapping {
  return typeof raw === "object" && raw !== null && !Array.isArray(raw);
}

function declaredMapping(
  raw: Mapping,
  dimension: Dimension,
  bounds: Bounds,
  options: DeclaredOptions,
  defaultOrigin: Origin,
): Declared {
  const faults: Fault[] = [];
  const attempt = <T>(key: string | undefined, act: () => T): T | undefined => {
    try {
      return act();
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      faults.push(
        ...thrown.faults.map((fault) => ({
          ...fault,
          where: {
            ...fault.where,
            ...(key === undefined || fault.where.field !== undefined ? {} : { field: key }),
          },
        })),
      );
      return undefined;
    }
  };
  for (const key of Object.keys(raw)) attempt(key, () => checkKey(key));
  const origin = attempt("origin", () => oneOf(raw, "origin", origins, "origin-unknown", origins[0]));
  const because = attempt("because", () => words(raw, "because"));
  const reference = attempt("reference", () => words(raw, "reference"));
  const text = mappingText(raw);
  const spoken = attempt(undefined, () => mappingForm(raw, text, dimension, bounds, options, attempt));
  if (faults.length > 0 || spoken === undefined) throw new Refusal(faults);
  return declared(spoken, dimension, bounds, text, {
    origin: raw.origin === undefined ? defaultOrigin : (origin ?? defaultOrigin),
    ...(because === undefined ? {} : { because }),
    ...(reference === undefined ? {} : { reference }),
  });
}

type Attempt = <T>(key: string | undefined, act: () => T) => T | undefined;

/** Which of the three forms a mapping has, and what it amounts to. */
function mappingForm(
  raw: Mapping,
  text: string,
  dimension: Dimension,
  bounds: Bounds,
  options: DeclaredOptions,
  attempt: Attempt,
): Spoken | undefined {
  const has = (key: Key) => raw[key] !== undefined && raw[key] !== null;
  const form = formOf(has);
  if (form === undefined) return refuseForm(text, dimension);
  if (form !== "triple" && has("law")) {
    attempt("law", () =>
      refuse(
        "value-unreadable",
        `a law is given without nominal, low and high`,
        "The law of `+/-` is normal, that of from and to is uniform.",
        "Leave out law, or write { nominal: ..., low: ..., high: ..., law: normal }.",
      ),
    );
  }
  if (form === "value") {
    return attempt("value", () => boundedText(scalarText(raw.value, dimension), dimension, bounds, options));
  }
  const wanted: readonly Key[] = form === "range" ? ["from", "to"] : ["nominal", "low", "high"];
  const missing = wanted.filter((key) => !has(key));
  if (missing.length > 0) {
    return refuse(
      "value-unreadable",
      `${missing.join(" and ")} ${missing.length > 1 ? "are" : "is"} missing in ${text}`,
      form === "range" ? "A range has two ends." : "A nominal value with limits has nominal, low and high.",
      form === "range"
        ? "Write { from: ..., to: ... }."
        : "Write { nominal: ..., low: ..., high: ... }, or the one value alone.",
    );
  }
  const readings = readTogether(raw, wanted, dimension, bounds, options, attempt);
  const [first, second, third] = readings;
  if (first === undefined || second === undefined) return undefined;
  if (form === "range") return attempt("from", () => rangeOf(first.si, second.si, first.unit, text));
  if (third === undefined) return undefined;
  const law = attempt("law", () => oneOf(raw, "law", lawNames, "law-unknown", "triangular"));
  if (law === undefined) return undefined;
  const ends = first.unit.reciprocal
    ? { low: third.si, high: second.si }
    : { low: second.si, high: third.si };
  return attempt("nominal", () => triple(first.si, ends.low, ends.high, law, first.unit, attempt));
}

type Form = "value" | "range" | "triple";

function formOf(has: (key: Key) => boolean): Form | undefined {
  const forms: readonly (readonly [Form, boolean])[] = [
    ["value", has("value")],
    ["range", has("from") || has("to")],
    ["triple", has("nominal") || has("low") || has("high")],
  ];
  const present = forms.filter(([, given]) => given).map(([form]) => form);
  return present.length === 1 ? present[0] : undefined;
}

/** Reads several values that may borrow one another's unit; undefined in place of a faulty one. */
function readTogether(
  raw: Mapping,
  wanted: readonly Key[],
  dimension: Dimension,
  bounds: Bounds,
  options: DeclaredOptions,
  attempt: Attempt,
): readonly ({ readonly si: number; readonly unit: Unit } | undefined)[] {
  const texts = wanted.map((key) => attempt(key, () => scalarText(raw[key], dimension)));
  const rests = texts.map((text, index) =>
    text === undefined ? undefined : attempt(wanted[index], () => splitQuantity(text, dimension).rest),
  );
  const shared = rests.find((rest) => rest !== undefined && rest !== "") ?? "";
  return texts.map((text, index) => {
    const rest = rests[index];
    if (text === undefined || rest === undefined) return undefined;
    return attempt(wanted[index], () => {
      const whole = rest === "" ? `${text} ${shared}`.trim() : text;
      const { si, unit } = readQuantity(whole, dimension, options);
      checkBounds(si, dimension, bounds, whole, unit);
      return { si, unit };
    });
  });
}

/** A nominal value with limits. Numbers are SI. */
function triple(
  nominal: number,
  low: number,
  high: number,
  law: LawName,
  unit: Unit,
  attempt: Attempt,
): Spoken | undefined {
  const [lowest, highest, middle] = [low, high, nominal].map((si) => formatInUnit(si, unit, { digits: 12 }));
  if (low > high) {
    return attempt("low", () =>
      refuse(
        "range-reversed",
        `low, ${lowest}, is above high, ${highest}`,
        "Low is the smaller of the two limits.",
        `Write low: ${highest} and high: ${lowest}.`,
      ),
    );
  }
  if (nominal < low || nominal > high) {
    refuse(
      "nominal-outside-range",
      `nominal, ${middle}, is not between low, ${lowest}, and high, ${highest}`,
      "The limits enclose the nominal value.",
      `Write a nominal value between ${lowest} and ${highest}, or widen the limits.`,
    );
  }
  const note = unit.note === undefined ? "" : ` (${unit.note})`;
  if (low === high)
    return { value: nominal, law: { kind: "exact" }, unit, readAs: `${middle}${note}, no spread` };
  if (law === "triangular") {
    return {
      value: nominal,
      law: { kind: "triangular", low, mode: nominal, high },
      unit,
      readAs: `${middle}${note}, triangular law from ${lowest} to ${highest}`,
    };
  }
  if (law === "uniform") {
    return {
      value: nominal,
      law: { kind: "uniform", low, high },
      unit,
      readAs: `${lowest} to ${highest}${note}, each value equally likely, nominal ${middle}`,
    };
  }
  const half = (high - low) / 2;
  const centre = (low + high) / 2;
  if (Math.abs(nominal - centre) > offCentre * half) {
    refuse(
      "law-not-symmetric",
      `nominal, ${middle}, is not midway between low, ${lowest}, and high, ${highest}`,
      "A normal law is symmetric, and its low and high are the ends of the 95 % interval.",
      `Write nominal: ${formatInUnit(centre, unit, { digits: 6 })}, or law: triangular.`,
    );
  }
  const deviation = half / coverage95;
  return {
    value: nominal,
    law: {
      kind: "normal",
      mean: nominal,
      deviation,
      low: Number.NEGATIVE_INFINITY,
      high: Number.POSITIVE_INFINITY,
    },
    unit,
    readAs: `${middle}${note}, normal law with standard uncertainty ${formatSpread(deviation, unit, nominal)} (${lowest} to ${highest} read as its 95 % interval)`,
  };
}

/** A number or text as text. */
function scalarText(raw: unknown, dimension: Dimension): string {
  if (typeof raw === "number") return String(raw);
  if (typeof raw !== "string" || raw.trim() === "") {
    return refuseForm(raw === null || raw === undefined ? "nothing" : JSON.stringify(raw), dimension);
  }
  if (/^(?:not known|unknown|\?+|tbd|tbc|n\/?a|none|-+)$/i.test(raw.trim())) {
    return refuse(
      "value-not-known",
      `"${raw.trim()}" is not a value`,
      "An input nobody gives is not known, and only the checks that need it wait for it.",
      "Leave the field out.",
    );
  }
  return raw.trim();
}

function refuseForm(found: string, dimension: Dimension): never {
  const { example, words: what } = dimensionRecord(dimension);
  return refuse(
    "value-unreadable",
    `${found} is not a value`,
    `This field is ${what}: one value, a value with +/-, { from, to } or { nominal, low, high }.`,
    `Write, for example, "${example}" or "${example} +/- 10 %".`,
  );
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

function oneOf<W extends string>(
  raw: Mapping,
  key: Key,
  permitted: readonly W[],
  code: string,
  absent: W,
): W {
  const given = raw[key];
  if (given === undefined || given === null) return absent;
  const found = permitted.find((word) => word === given);
  if (found !== undefined) return found;
  return refuse(
    code,
    `"${String(given)}" is not ${key === "law" ? "a law" : "an origin"} known here`,
    `The permitted words are ${permitted.join(", ")}.`,
    `Write, for example, "${permitted[0]}".`,
    nearName(String(given), permitted),
  );
}

function words(raw: Mapping, key: Key): string | undefined {
  const given = raw[key];
  if (given === undefined || given === null) return undefined;
  if (typeof given === "string" && given.trim() !== "") return given.trim();
  return refuse(
    "value-unreadable",
    `${JSON.stringify(given)} is not a text`,
    `${capital(key)} says in words where the value comes from.`,
    `Write, for example, ${key}: "catalogue, cold grease".`,
  );
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}

/** The numbers of a mapping in one line, as a person could have typed it. */
function mappingText(raw: Mapping): string {
  const parts = (["value", "from", "to", "nominal", "low", "high", "law"] as const)
    .filter((key) => raw[key] !== undefined && raw[key] !== null)
    .map((key) => `${key}: ${plainWords(raw[key])}`);
  return parts.length === 0 ? "{ }" : `{ ${parts.join(", ")} }`;
}

function plainWords(given: unknown): string {
  return typeof given === "string" || typeof given === "number" ? String(given) : JSON.stringify(given);
}
