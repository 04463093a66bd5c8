/** SI to text: the one way a quantity is printed. */
import { type Dimension, dimensionRecord } from "./dimension.js";
import { formatNumber } from "./number.js";
import { readQuantity } from "./reading.js";
import { fromSi, type ReadingOptions, resolveUnit, spreadFromSi, type Unit } from "./unit.js";

/** How a quantity is printed. */
export interface QuantityStyle {
  /** Unit to print in; the preferred unit of the dimension if absent. */
  readonly unit?: string;
  /** Standard uncertainty, SI: the digits follow it. */
  readonly uncertainty?: number;
  /** Significant digits, or "all" for text that reads back as the same number to rounding. */
  readonly digits?: number | "all";
}

/**
 * A quantity as text: number, space, unit. Digits follow the uncertainty if one is given, else four.
 * `parseQuantity(formatQuantity(x, d, { digits: "all" }), d)` is x to rounding of the last bits.
 *
 * @param si         value in SI of the dimension
 * @param style      a gauge unit counts from the standard atmosphere unless `options` says otherwise
 */
export function formatQuantity(
  si: number,
  dimension: Dimension,
  style: QuantityStyle = {},
  options: ReadingOptions = {},
): string {
  return formatInUnit(si, displayUnit(si, dimension, style.unit, options), style);
}

/**
 * A value with its standard uncertainty, in a form that a dossier reads: "28.02 +/- 0.35 bar(a)".
 * The uncertainty has two significant digits and the value as many decimals.
 *
 * @param si           value, SI
 * @param uncertainty  standard uncertainty, >= 0, SI
 */
export function formatUncertain(
  si: number,
  uncertainty: number,
  dimension: Dimension,
  style: { readonly unit?: string } = {},
  options: ReadingOptions = {},
): string {
  const unit = displayUnit(si, dimension, style.unit, options);
  if (!(uncertainty > 0)) return formatInUnit(si, unit, {});
  const spread = spreadFromSi(unit, si, uncertainty);
  const value = formatNumber(fromSi(unit, si), { uncertainty: spread });
  return withUnit(`${value} +/- ${formatNumber(spread, { uncertainty: spread })}`, unit.text);
}

/**
 * The unit a value of this size is printed in: ms below a second, mm below a metre.
 *
 * @param si  the value, or the largest of a column that shares one unit, SI
 */
export function preferredUnit(si: number, dimension: Dimension): string {
  const { display, si: base, example } = dimensionRecord(dimension);
  // Zero has no size: it takes the unit of a usual value.
  const size = si === 0 ? readQuantity(example, dimension).si : Math.abs(si);
  return display.find((step) => size < step.below)?.unit ?? display.at(-1)?.unit ?? base;
}

function displayUnit(
  si: number,
  dimension: Dimension,
  unit: string | undefined,
  options: ReadingOptions,
): Unit {
  return resolveUnit(unit ?? preferredUnit(si, dimension), dimension, "1", options);
}

/** An SI value in a resolved unit, as text. */
export function formatInUnit(
  si: number,
  unit: Unit,
  style: { readonly uncertainty?: number; readonly digits?: number | "all" },
): string {
  const { uncertainty, digits } = style;
  const number = formatNumber(fromSi(unit, si), {
    ...(digits === undefined ? {} : { digits }),
    ...(uncertainty === undefined ? {} : { uncertainty: spreadFromSi(unit, si, uncertainty) }),
  });
  return withUnit(number, unit.text);
}

/** Number and unit with a space between, as SI asks also before % [nist-sp811-2008, 7.10.2]. */
function withUnit(number: string, unit: string): string {
  return unit === "" ? number : `${number} ${unit}`;
}
