/** One quantity as typed: its number, its unit, its SI value. */
import { refuse } from "../fault/index.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import { plainSigns } from "./grammar.js";
import { formatNumber, readNumber } from "./number.js";
import { type ReadingOptions, resolveUnit, toSi, type Unit } from "./unit.js";

/** A quantity as read: its SI value, its number and unit as typed. */
export interface Reading {
  readonly si: number;
  readonly number: number;
  readonly unit: Unit;
}

/** As `parseQuantity`, with the number and unit as typed, and without the check of bounds. */
export function readQuantity(text: string, dimension: Dimension, options: ReadingOptions = {}): Reading {
  const { value, typed, rest } = splitQuantity(text, dimension);
  const unit = resolveUnit(rest, dimension, typed, options);
  return { si: finiteSi(unit, value, text, dimension), number: value, unit };
}

/** Beyond any quantity of an engineer, and far enough from overflow that sums and squares stay finite. */
const largest = 1e100;

/** True for a finite number of a believable size. */
export function isBelievable(si: number): boolean {
  return Math.abs(si) <= largest;
}

/** SI value of a number in a unit; refuses one that is too large to be a number, or infinite as 1/0. */
export function finiteSi(unit: Unit, number: number, text: string, dimension: Dimension): number {
  const si = toSi(unit, number);
  if (isBelievable(si)) return si;
  return refuse(
    "out-of-bounds",
    `"${text.trim()}" is too large for ${dimensionRecord(dimension).words}`,
    unit.reciprocal
      ? "A speed constant is the reciprocal of a torque constant."
      : `No quantity exceeds ${largest} in SI units.`,
    `Write, for example, "${dimensionRecord(dimension).example}".`,
  );
}

/** A quantity before its unit is looked up. */
export interface Split {
  readonly value: number;
  /** The number as typed, for advice that repeats it. */
  readonly typed: string;
  /** The words of the unit. */
  readonly rest: string;
}

/** Number and unit words of one quantity, before the unit is looked up. */
export function splitQuantity(text: string, dimension: Dimension): Split {
  const plain = plainSigns(text);
  // "Kv 40" is how a data sheet says "40 Kv".
  const coefficient = /^(Kv|Cv)\s*[=:]?\s*(.+)$/.exec(plain);
  const turned = coefficient === null ? plain : `${coefficient[2]} ${coefficient[1]}`;
  const { value, rest } = readNumber(turned);
  const typed = numberText(text, value);
  if (dimension !== "ratio" && dimension !== "number") return { value, typed, rest };
  const below = /^:\s*(.+)$/.exec(rest);
  if (below?.[1] === undefined) return { value, typed, rest };
  const second = readNumber(below[1]);
  if (!(second.value > 0)) {
    refuse(
      "number-unreadable",
      `"${text.trim()}" divides by ${second.value}`,
      "A ratio a:b is a divided by b, and b is above zero.",
      'Write, for example, "50:1".',
    );
  }
  return { value: value / second.value, typed, rest: second.rest };
}

/** The number as typed, for advice that repeats it. */
function numberText(text: string, value: number): string {
  return /[+-]?[\d.]+(?:[eE][+-]?\d+)?/.exec(plainSigns(text))?.[0] ?? formatNumber(value, { digits: "all" });
}
