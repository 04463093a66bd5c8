/** Values with units, as an engineer writes them, to and from SI. */
import {
  type Dimension,
  dimensions,
  formatQuantity,
  type Pressure,
  parseQuantity,
} from "../quantity/index.js";

/** Names of the dimensions that values can have: "pressure", "torque", "temperature" and so on. */
export const dimensionNames: readonly string[] = Object.keys(dimensions);

/** How a value is read. */
export interface ReadingManner {
  /** What gauge pressures count from [Pa]; left out: the standard atmosphere. */
  readonly ambientPressure_Pa?: number;
}

/** How a value is printed. */
export interface PrintingManner {
  /** Unit to print in; left out: the usual one for a value of this size. */
  readonly unit?: string;
  /** Significant digits, or "all"; left out: four. */
  readonly digits?: number | "all";
}

/**
 * SI value of a text with a unit: "28 bar(a)", "12 lbf in", "-183 degC", "40 Kv".
 *
 * @param dimension  one of `dimensionNames`
 * Refuses           numbers and units that cannot be read, units of another dimension, absolute pressures
 *                   without (a) or (g), values that physics forbids
 */
export function toSi(text: string, dimension: string, manner: ReadingManner = {}): number {
  const { ambientPressure_Pa } = manner;
  return parseQuantity(
    text,
    dimensionNamed(dimension),
    ambientPressure_Pa === undefined ? {} : { ambientPressure: ambientPressure_Pa as Pressure },
  );
}

/**
 * An SI value as text with a unit. @param dimension  one of `dimensionNames`
 */
export function quantityText(si: number, dimension: string, manner: PrintingManner = {}): string {
  return formatQuantity(si, dimensionNamed(dimension), manner);
}

function dimensionNamed(name: string): Dimension {
  if (isDimension(name)) return name;
  throw new RangeError(`"${name}" is no dimension; dimensionNames lists them: ${dimensionNames.join(", ")}`);
}

function isDimension(name: string): name is Dimension {
  return dimensionNames.includes(name);
}
