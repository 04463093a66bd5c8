/** A unit as typed, resolved for one dimension: what it is worth, and whether it may stand there. */
import { nearName, refuse } from "../fault/index.js";
import { standardAtmosphere } from "./constants.js";
import { type Dimension, dimensionRecord, dimensions, type Exponents, exponentsOf } from "./dimension.js";
import { plainSigns, takesExponents, type UnitMeaning, unitMeaning, unitNames } from "./grammar.js";
import { formatNumber } from "./number.js";
import type { Pressure } from "./si.js";
import { units } from "./units.js";

/** A unit that fits its dimension. Plain: SI = factor x + offset. Reciprocal: SI = 1/(factor x). */
export interface Unit {
  /** As typed, with single spaces; empty for a bare number. */
  readonly text: string;
  readonly factor: number;
  readonly offset: number;
  readonly reciprocal: boolean;
  /** What the offset is, where it moves the zero: a gauge pressure or a temperature scale. */
  readonly zero?: "ambient" | "temperature scale";
  /** How the unit was understood, where the words leave a choice. */
  readonly note?: string;
}

/** What reading a quantity may need beside its text. */
export interface ReadingOptions {
  /** Ambient pressure that gauge pressures count from; the standard atmosphere if absent [Pa]. */
  readonly ambientPressure?: Pressure;
}

/** SI value of a number in a unit. */
export function toSi(unit: Unit, number: number): number {
  return unit.reciprocal ? 1 / (unit.factor * number) : unit.factor * number + unit.offset;
}

/** Number in a unit of an SI value. */
export function fromSi(unit: Unit, si: number): number {
  return unit.reciprocal ? 1 / (unit.factor * si) : (si - unit.offset) / unit.factor;
}

/**
 * SI size of a small spread about a number in a unit: |d SI / d number| spread. Exact but for
 * reciprocal units, where it is the first order [gum-2008, 5.1.2].
 */
export function spreadToSi(unit: Unit, number: number, spread: number): number {
  const slope = unit.reciprocal ? 1 / (unit.factor * number * number) : unit.factor;
  return Math.abs(slope * spread);
}

/** Size in a unit of a small SI spread about an SI value; the inverse of `spreadToSi`. */
export function spreadFromSi(unit: Unit, si: number, spread: number): number {
  const slope = unit.reciprocal ? 1 / (unit.factor * si * si) : 1 / unit.factor;
  return Math.abs(slope * spread);
}

/**
 * Resolves the words of a unit for a dimension.
 *
 * @param words   as typed; empty for a bare number
 * @param number  the number typed before it, for the advice
 * Refuses        unknown units, units of another dimension, an absolute pressure that does not say
 *                (a) or (g), a difference that does, a temperature scale as a difference
 */
export function resolveUnit(
  words: string,
  dimension: Dimension,
  number: string,
  options: ReadingOptions = {},
): Unit {
  const text = plainSigns(words).replace(/^\/ ?/, "1/");
  const whole = `${number} ${words.trim()}`.trim();
  if (text === "") return bareNumber(dimension, number);
  const { base, mark } = splitMark(text);
  const meaning = unitMeaning(base);
  if ("kind" in meaning) {
    if (meaning.kind === "ambiguous") refuseSlash(whole, meaning.mend, number);
    refuseUnknown(words.trim(), whole, dimension);
  }
  const fit = fitting(meaning, dimension);
  if (fit === undefined || (mark !== undefined && !meaning.takesReference)) {
    refuseDimension(whole, meaning, dimension, base, number);
  }
  const plain: Unit = {
    text: plainSigns(words),
    factor: fit.factor,
    offset: 0,
    reciprocal: fit.reciprocal,
    ...(fit.spoken ? { note: "pounds and ounces read as forces" } : {}),
  };
  if (dimension === "pressure") return absolutePressure(plain, mark, whole, base, number, options);
  if (mark !== undefined && !(mark === "difference" && dimension === "pressure difference")) {
    refuseMark(whole, mark, dimension, base, number);
  }
  if (meaning.offset === 0) return plain;
  if (dimension === "temperature") return { ...plain, offset: meaning.offset, zero: "temperature scale" };
  return refuseScale(whole, base, plain.factor, number);
}

interface Fit {
  readonly factor: number;
  readonly reciprocal: boolean;
  readonly spoken: boolean;
}

function fitting(meaning: UnitMeaning, dimension: Dimension): Fit | undefined {
  if (meaning.only !== undefined && !meaning.only.includes(dimension)) return undefined;
  const plain = takesExponents(dimension, meaning.exponents);
  if (plain !== undefined)
    return { factor: meaning.factor, reciprocal: plain === "reciprocal", spoken: false };
  if (meaning.spoken === undefined) return undefined;
  const spoken = takesExponents(dimension, meaning.spoken.exponents);
  if (spoken === undefined) return undefined;
  return { factor: meaning.spoken.factor, reciprocal: spoken === "reciprocal", spoken: true };
}

/** What a pressure unit says about its zero. */
export type Mark = "absolute" | "gauge" | "difference";

const marks: Readonly<Record<string, Mark>> = {
  a: "absolute",
  abs: "absolute",
  absolute: "absolute",
  g: "gauge",
  ga: "gauge",
  gauge: "gauge",
  d: "difference",
  diff: "difference",
};

/** Splits bar(a), bar (g), bar abs, bara, psig, kPag into the pressure unit and its mark. */
export function splitMark(text: string): { readonly base: string; readonly mark?: Mark } {
  const found =
    /^(.+?) ?\((a|abs|absolute|g|ga|gauge|d|diff)\)$/i.exec(text) ??
    /^(.+) (abs|absolute|gauge|diff)$/i.exec(text) ??
    /^(.*(?:bar|psi|Pa))(a|g|d)$/.exec(text) ??
    /^(PSI)(A|G|D)$/.exec(text);
  const mark = marks[found?.[2]?.toLowerCase() ?? ""];
  const base = found?.[1];
  return base === undefined || mark === undefined ? { base: text } : { base, mark };
}

function absolutePressure(
  plain: Unit,
  mark: Mark | undefined,
  whole: string,
  base: string,
  number: string,
  options: ReadingOptions,
): Unit {
  if (mark === "absolute") return plain;
  if (mark === "gauge") {
    const given = options.ambientPressure;
    const ambient = given ?? standardAtmosphere.value;
    const source = given === undefined ? "the standard atmosphere" : "the declared ambient";
    const note = `gauge, above ${source} of ${formatNumber(ambient / 1e5, { digits: 6 })} bar(a)`;
    return { ...plain, offset: ambient, zero: "ambient", note };
  }
  return refuse(
    "pressure-reference-missing",
    mark === "difference"
      ? `"${whole}" is a difference, not an absolute pressure`
      : `"${whole}" does not say whether it counts from vacuum or from the atmosphere`,
    `An absolute pressure says which: ${base}(a) counts from vacuum, ${base}(g) from the ambient pressure.`,
    `Write "${number} ${base}(a)" or "${number} ${base}(g)".`,
  );
}

function bareNumber(dimension: Dimension, number: string): Unit {
  const record = dimensionRecord(dimension);
  if (record.si === "") return { text: "", factor: 1, offset: 0, reciprocal: false };
  return refuse(
    "unit-missing",
    `"${number}" has no unit`,
    `This field is ${record.words}, and a number alone could be in any unit.`,
    `Write the unit after it, for example "${record.example}".`,
  );
}

function refuseUnknown(word: string, whole: string, dimension: Dimension): never {
  const record = dimensionRecord(dimension);
  refuse(
    "unit-unknown",
    `"${word}" in "${whole}" is not a known unit`,
    `This field is ${record.words}${record.si === "" ? "" : `, in ${acceptedUnits(dimension)} or any unit of that kind`}.`,
    `Write, for example, "${record.example}".`,
    spacedUnit(word, dimension) ??
      nearName(word, [...namesFor(dimension), ...unitSymbols(dimension), ...unitNames()]),
  );
}

/** Words longer than this are not taken apart. */
const longestRun = 16;

/** A unit whose factors were typed without a space between them, with its spaces: kgcm^2 is kg cm^2. */
function spacedUnit(word: string, dimension: Dimension): string | undefined {
  const text = plainSigns(word);
  if (text.length > longestRun) return undefined;
  return parted(text, 2).find((spaced) => {
    const meaning = unitMeaning(spaced);
    return !("kind" in meaning) && fitting(meaning, dimension) !== undefined;
  });
}

/** A text with up to so many spaces put in between letters, fewest first. */
function parted(text: string, spaces: number): readonly string[] {
  const once = Array.from({ length: text.length - 1 }, (_, j) => j + 1)
    .filter((j) => /[A-Za-zµΩ)]/.test(text[j] ?? "") && /[A-Za-zµΩ0-9)]/.test(text[j - 1] ?? ""))
    .map((j) => [text.slice(0, j), text.slice(j)] as const);
  const twice =
    spaces > 1 ? once.flatMap(([head, rest]) => parted(rest, 1).map((tail) => `${head} ${tail}`)) : [];
  return [...once.map((halves) => halves.join(" ")), ...twice];
}

function refuseSlash(whole: string, mend: string, number: string): never {
  refuse(
    "unit-ambiguous",
    `"${whole}" does not say what stands below the slash`,
    "After a slash only the next unit is below it; two need parentheses.",
    `Write "${number} ${mend}" if both are meant to be below.`,
  );
}

function refuseDimension(
  whole: string,
  meaning: UnitMeaning,
  dimension: Dimension,
  base: string,
  number: string,
): never {
  const record = dimensionRecord(dimension);
  const force = dimension === "force" && base === "kg" ? `${number} kgf` : undefined;
  refuse(
    "unit-wrong-dimension",
    `"${whole}" is ${wordsFor(meaning)}, not ${record.words}`,
    `This field is ${record.words}${record.si === "" ? "" : `, in ${acceptedUnits(dimension)} or any unit of that kind`}.`,
    `Write, for example, "${force ?? record.example}".`,
  );
}

function refuseMark(whole: string, mark: Mark, dimension: Dimension, base: string, number: string): never {
  const from = mark === "gauge" ? "the atmosphere" : mark === "absolute" ? "vacuum" : "another pressure";
  refuse(
    "pressure-reference-unwanted",
    `"${whole}" counts from ${from}, but this field is ${dimensionRecord(dimension).words}`,
    "A difference or a stress has no zero to count from, so its unit carries no (a) or (g).",
    `Write "${number} ${base}".`,
  );
}

function refuseScale(whole: string, base: string, factor: number, number: string): never {
  const kelvin = formatNumber(Number(number) * factor, { digits: 6 });
  return refuse(
    "temperature-not-difference",
    `"${whole}" is a point on a scale, but this field is a temperature difference`,
    `A difference in ${base} is written in K, so that it cannot be taken for a temperature.`,
    `Write "${kelvin} K".`,
  );
}

/** "a length" for the exponents of mm; the exponents themselves where no dimension has them. */
function wordsFor(meaning: UnitMeaning): string {
  const names = Object.keys(dimensions) as Dimension[];
  const only = meaning.only?.[0];
  if (only !== undefined) return dimensionRecord(only).words;
  if (isPressure(meaning.exponents)) return "a pressure";
  const named = names.find((name) => takesExponents(name, meaning.exponents) === "plain");
  return named === undefined ? "of another kind" : dimensionRecord(named).words;
}

function isPressure(exponents: Exponents): boolean {
  return takesExponents("pressure", exponents) === "plain";
}

function namesFor(dimension: Dimension): readonly string[] {
  return dimensionRecord(dimension).display.map((step) => step.unit);
}

/** Symbols of the table with the exponents of a dimension, with prefixes: they are likelier to be meant. */
function unitSymbols(dimension: Dimension): readonly string[] {
  return units
    .filter((row) => takesExponents(dimension, exponentsOf(row.dimension)))
    .flatMap((row) => [row.symbol, ...[...(row.prefixes ?? "")].map((letter) => `${letter}${row.symbol}`)]);
}

function acceptedUnits(dimension: Dimension): string {
  return namesFor(dimension).join(", ");
}

/**
 * Resolves the unit of a spread about a value of a dimension: bar for an absolute pressure, degC for
 * a temperature; a mark (a) or (g) and the zero of a scale are without effect on a spread.
 */
export function resolveSpreadUnit(
  words: string,
  dimension: Dimension,
  number: string,
  options: ReadingOptions = {},
): Unit {
  if (dimension === "pressure") {
    return resolveUnit(splitMark(plainSigns(words)).base, "pressure difference", number, options);
  }
  return { ...resolveUnit(words, dimension, number, options), offset: 0 };
}

/**
 * A spread as text, in the unit of the value it belongs to, without (a) or (g); in K for a
 * temperature scale.
 *
 * @param spread  SI size of the spread;  @param si  the value it lies about, SI
 */
export function formatSpread(spread: number, unit: Unit, si: number): string {
  if (unit.zero === "temperature scale") return `${formatNumber(spread)} K`;
  const words = splitMark(unit.text).base;
  return `${formatNumber(spreadFromSi(unit, si, spread))} ${words}`.trim();
}
