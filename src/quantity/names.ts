/** Units by themselves, as in the head of a column: what they could be, and how a column is converted. */
import { type Dimension, dimensions } from "./dimension.js";
import { plainSigns, takesExponents, unitMeaning } from "./grammar.js";
import { type Mark, type ReadingOptions, resolveUnit, splitMark, type Unit } from "./unit.js";

/**
 * The unit of a whole column, to convert its numbers with `toSi`.
 *
 * @param words      as typed: "bar(a)", "deg", "lbf in"
 * @param dimension  what the column is
 * Refuses           as `parseQuantity` does for the unit of one value
 */
export function readUnit(words: string, dimension: Dimension, options: ReadingOptions = {}): Unit {
  return resolveUnit(words, dimension, "1", options);
}

/**
 * Every dimension that a unit could stand for, in the order of the table of dimensions: `bar(a)` only
 * a pressure, `bar` a pressure difference or stress, `N m` a torque or energy; none for words
 * that are no unit.
 */
export function unitDimensions(words: string): readonly Dimension[] {
  const { base, mark } = splitMark(plainSigns(words));
  const meaning = unitMeaning(base);
  if (base === "" || "kind" in meaning || (mark !== undefined && !meaning.takesReference)) return [];
  return dimensionNames.filter((dimension) => {
    if (meaning.only !== undefined && !meaning.only.includes(dimension)) return false;
    if (meaning.offset !== 0 && dimension !== "temperature") return false;
    return allowsMark(dimension, mark) && takesExponents(dimension, meaning.exponents) !== undefined;
  });
}

const dimensionNames = Object.keys(dimensions) as readonly Dimension[];

function allowsMark(dimension: Dimension, mark: Mark | undefined): boolean {
  if (dimension === "pressure") return mark === "absolute" || mark === "gauge";
  return mark === undefined || (mark === "difference" && dimension === "pressure difference");
}
