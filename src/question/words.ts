/** Numbers of an answer in words: value with band, limit, probability; digits follow the band. */
import {
  type Dimension,
  formatNumber,
  formatQuantity,
  fromSi,
  preferredUnit,
  readUnit,
  type Unit,
} from "../quantity/index.js";
import type { Check, KnownCheck, Limit, UnknownCheck } from "./check.js";

/** Ends of a band, SI. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** Margins beyond this say no more than that nothing resists [-]. */
const beyondMeaning = 1e4;

/** The unit of a check's numbers. Of a count the words say what it counts: that is no unit of its own. */
export function unitOf(words: string, dimension: Dimension): Unit {
  return readUnit(dimension === "number" ? "" : words, dimension);
}

/** A number in a unit, without the unit. @param spread half the width of its band, SI; digits follow it */
export function bare(si: number, dimension: Dimension, unit: string, spread?: number): string {
  const resolved = unitOf(unit, dimension);
  if (unit === "%" && Math.abs(si) > beyondMeaning) return si > 0 ? "beyond 1e6" : "below -1e6";
  const number = fromSi(resolved, si);
  if (spread === undefined || !(spread > 0)) return formatNumber(number, { digits: 3 });
  const uncertainty = Math.abs(fromSi(resolved, si + spread) - number);
  // A band far narrower than the value would print digits that no input carries.
  return formatNumber(number, { uncertainty: Math.max(uncertainty, Math.abs(number) * leastRelativeSpread) });
}

/** Numbers are not printed finer than this share of themselves. */
const leastRelativeSpread = 2e-3;

/** Number and unit, parted by a space. */
export function withUnit(number: string, unit: string): string {
  return unit === "" ? number : `${number} ${unit}`;
}

function spreadOf(band: Interval | undefined): number | undefined {
  return band === undefined ? undefined : (band.high - band.low) / 2;
}

/** "201 ms", digits after its band. */
export function valueWords(
  value: number,
  band: Interval | undefined,
  dimension: Dimension,
  unit = preferredUnit(value, dimension),
): string {
  return withUnit(bare(value, dimension, unit, spreadOf(band)), unit);
}

/** "between 185 and 220 ms". */
export function bandWords(band: Interval, dimension: Dimension, unit: string): string {
  const spread = spreadOf(band);
  const low = bare(band.low, dimension, unit, spread);
  const high = bare(band.high, dimension, unit, spread);
  return `between ${low} and ${withUnit(high, unit)}`;
}

/** A limit in words: "at most 800 ms", "between 50 and 500 ms". */
export function limitWords(limit: Limit, dimension: Dimension, unit: string): string {
  const { most, least } = limit;
  const number = (si: number) => formatNumber(fromSi(unitOf(unit, dimension), si), { digits: 4 });
  if (most !== undefined && least !== undefined)
    return `between ${number(least)} and ${withUnit(number(most), unit)}`;
  if (most !== undefined) return `at most ${withUnit(number(most), unit)}`;
  if (least !== undefined) return `at least ${withUnit(number(least), unit)}`;
  return limit.words;
}

/** A declared limit as a quantity in the unit it will be compared in. */
export function quantityWords(si: number, dimension: Dimension, unit?: string): string {
  return formatQuantity(si, dimension, unit === undefined ? {} : { unit });
}

/** A share as a percentage with the digits that its confidence interval leaves. */
export function percentWords(share: number, interval?: Interval): string {
  const step = interval === undefined ? 0 : shareStep(interval);
  return `${step > 0 ? formatNumber(100 * share, { uncertainty: step }) : formatNumber(100 * share, { digits: 2 })} %`;
}

/** What the digits of a percentage follow: one digit fewer than its confidence interval would carry. */
function shareStep({ low, high }: Interval): number {
  return 200 * (high - low);
}

/** A probability estimated from samples: never printed as none or as certain. */
export function probabilityWords(chance: { readonly estimate: number } & Interval): string {
  if (chance.estimate <= 0) return `below ${formatNumber(100 * chance.high, { digits: 2 })} %`;
  if (chance.estimate >= 1) return `above ${formatNumber(100 * chance.low, { digits: 4 })} %`;
  return `${percentWords(chance.estimate, chance)} (${percentWords(confidence)} confidence: ${endsWords(chance)})`;
}

/** Confidence of every interval of a probability [-]. */
const confidence = 0.95;

function endsWords({ low, high }: Interval): string {
  const step = shareStep({ low, high });
  const end = (share: number) => formatNumber(100 * share, { uncertainty: step });
  return `${end(low)} to ${end(high)} %`;
}

/** A text in which no line breaks between a number and its unit. */
export function unbroken(text: string): string {
  return text.replace(/(?<=\d) (?=[^\s(])/g, "\u00a0").replaceAll("\u00a0N m", "\u00a0N\u00a0m");
}

/** What pressures and flow a stroke is computed with. */
export const steadyPressures =
  "Supply and back pressure are those declared, for the whole stroke; the line behind the valve is full and the flow quasi-steady. A start against an empty chamber has a back pressure of its own while shut (back_pressure_at_start), or is a case of its own.";

/** Items that a line names before it counts the rest. */
const mostListed = 4;

/** "a, b, c, d and 7 more". */
export function listWords(items: readonly string[]): string {
  const rest = items.length - mostListed;
  return rest <= 1 ? items.join(", ") : `${items.slice(0, mostListed).join(", ")} and ${rest} more`;
}

/** Why an answer is not known: the fields that nobody gave. @param faulty those entered with a fault */
export function missingWords(paths: readonly string[], faulty: readonly string[] = []): string {
  const open = paths.filter((path) => !faulty.includes(path));
  const wrong = paths.filter((path) => faulty.includes(path));
  const parts = [
    ...(wrong.length === 0 ? [] : [`${listWords(wrong)} ${wrong.length > 1 ? "have" : "has"} a fault`]),
    ...(open.length === 0 ? [] : [`${listWords(open)} ${open.length > 1 ? "are" : "is"} not given`]),
  ];
  return `Not known: ${parts.join("; ")}.`;
}

/** What a check waits for, one by one; a field entered with a fault says so. */
export function needWords({ needs, faulty = [] }: UnknownCheck): readonly string[] {
  const isFaulty = (need: string) => faulty.includes(need);
  return [
    ...needs.filter(isFaulty).map((need) => `${need}, which has a fault`),
    ...needs.filter((need) => !isFaulty(need)),
  ];
}

/** Value, band and limit of a check in one line: "201 ms (95 % between 185 and 220 ms), at most 800 ms". */
export function checkWords(check: Check): string {
  if (check.kind === "unknown") return `needs ${listWords(needWords(check))}`;
  if (check.kind === "failed") return check.finding;
  const { value, band, dimension, unit, limit } = check;
  const shown = valueWords(value, band ?? roomAround(value, limit), dimension, unit);
  const spread = spreadWords(check);
  return `${shown}${spread === "" ? "" : ` (${spread})`}, ${limitWords(limit, dimension, unit)}`;
}

/** How sure the value of a check is: "95 % between 185 and 249 ms", "at the nominal values"; "" where nothing uncertain enters. */
export function spreadWords({ band, isNominal, dimension, unit }: KnownCheck): string {
  if (band !== undefined) return `${percentWords(band.coverage)} ${bandWords(band, dimension, unit)}`;
  return isNominal === true ? "at the nominal values" : "";
}

/** Without a band, digits follow the room between two limits. */
function roomAround(value: number, { most, least }: Limit): Interval | undefined {
  if (most === undefined || least === undefined) return undefined;
  const tenth = (most - least) / 20;
  return { low: value - tenth, high: value + tenth };
}

/** The distance to the limit in the unit of the value; of a scale with a zero of its own, in its steps. */
export function marginWords({ value, margin, band, dimension, unit }: KnownCheck): string {
  const resolved = unitOf(unit, dimension);
  const size = (si: number) => fromSi(resolved, value + si) - fromSi(resolved, value);
  const half = band === undefined ? 0 : Math.abs(size((band.high - band.low) / 2));
  const number = formatNumber(size(margin), half > 0 ? { uncertainty: half } : { digits: 3 });
  const shown = dimension === "temperature" && unit === "degC" ? "K" : unit.replace(/\((a|g)\)$/, "");
  return shown === "" ? number : `${number} ${shown}`;
}
