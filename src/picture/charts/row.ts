/** What charts made of rows share: a row's words, and numbers told apart by the width of the axis. */

import type { Role } from "../role.js";
import { cleanText, numberText } from "../words.js";
import type { Range } from "./range.js";

/** The words of one row. */
export interface Row {
  readonly label: string;
  /** A second line under the label. */
  readonly detail?: string;
  /** What stands to the right. */
  readonly number: string;
  readonly role: Role;
}

// A printed number resolves about this share of the range that is shown.
const resolution = 1 / 100;

/** The step to which numbers on a range are printed. */
export function printedStep(range: Range): number {
  return 10 ** Math.floor(Math.log10((range[1] - range[0]) * resolution));
}

/** A number with its unit, kept on one line: "41.3 ms"; a plain ratio has none. */
export function withUnit(number: string, unit: string): string {
  const clean = cleanText(unit);
  return clean === "" || clean === "-" ? number : `${number}\u00a0${clean}`;
}

/** The step to which a value with a spread is printed: to a fifth of the half width, a power of ten. */
export function stepOfSpread(half: number): number {
  return 10 ** Math.floor(Math.log10(half / 5));
}

/** A number with its sign, "+" included; zero has none. */
export function signed(value: number, step: number): string {
  const text = numberText(value, step);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}
