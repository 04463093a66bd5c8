/**
 * Values of a solid with their spread: at a temperature, as a mean or an integral over a range, and
 * the contraction between two temperatures. Nothing leaves the range of the data silently: up to 30 K
 * beyond it a value follows the slope at the end of the range, with a notice; further it is refused.
 */
import { type Notice, refuse } from "../fault/index.js";
import { integrate } from "../numerics/index.js";
import { type Density, type Dimension, formatQuantity, type Temperature } from "../quantity/index.js";
import type { Solid } from "./solid.js";
import { type Curve, curveOf, REFERENCE_TEMPERATURE } from "./solidCurve.js";
import type { ContractionData } from "./solidFile.js";

/** What can be asked of a solid at a temperature. */
export type SolidQuantity =
  | "conductivity"
  | "specific_heat"
  | "youngs_modulus"
  | "yield_strength"
  | "ultimate_strength"
  | "elongation"
  | "fracture_toughness";

interface QuantityWords {
  readonly words: string;
  readonly dimension: Dimension;
}

/** In the order they are printed. */
export const solidQuantities: Readonly<Record<SolidQuantity, QuantityWords>> = {
  conductivity: { words: "thermal conductivity", dimension: "conductivity" },
  specific_heat: { words: "specific heat", dimension: "specific heat" },
  youngs_modulus: { words: "Young's modulus", dimension: "stress" },
  yield_strength: { words: "yield strength", dimension: "stress" },
  ultimate_strength: { words: "ultimate strength", dimension: "stress" },
  elongation: { words: "elongation at break", dimension: "ratio" },
  fracture_toughness: { words: "fracture toughness", dimension: "fracture toughness" },
};

/** A value of a solid with the interval it lies in, in SI; a contraction is a ratio. */
export interface SolidValue {
  /** Middle of the interval. */
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly dimension: Dimension;
  /** Range of the data it is from. */
  readonly TMin: Temperature;
  readonly TMax: Temperature;
  readonly sources: readonly string[];
  /** "looked up", "memory", ... */
  readonly from: string;
  readonly note?: string;
  /** Empty inside the range. */
  readonly notices: readonly Notice[];
}

/** How far beyond its range a value is followed [K]. Estimate, no source. */
const REACH = 30;
/** Sources round their temperatures: a value this close to the range is in it [K]. */
const ROUNDING = 1;
/** Step of the slope at the end of a range [K]. */
const SLOPE_STEP = 1;
const LONGEST_PANEL = 10;

/**
 * A property at a temperature. @param T  [K]
 * Refuses  a property that is not on file; a temperature more than 30 K outside its range
 */
export function solidProperty(solid: Solid, quantity: SolidQuantity, T: Temperature): SolidValue {
  const { curve, record } = propertyCurve(solid, quantity);
  const [low, high] = valueAt(curve, T);
  return valued(record, [low, high], notices(solid, record, [T]));
}

/** Range of a property's data. Refuses a property that is not on file. */
export function propertyRange(
  solid: Solid,
  quantity: SolidQuantity,
): { readonly TMin: Temperature; readonly TMax: Temperature } {
  const { TMin, TMax } = propertyCurve(solid, quantity).curve;
  return { TMin: TMin as Temperature, TMax: TMax as Temperature };
}

/**
 * Integral of a property over temperature, from one to the other: of the conductivity [W/m], of the
 * specific heat [J/kg]. @param from, to  [K]
 * Refuses  as `solidProperty`, for both ends
 */
export function solidIntegral(
  solid: Solid,
  quantity: SolidQuantity,
  from: Temperature,
  to: Temperature,
): SolidValue {
  const { curve, record } = propertyCurve(solid, quantity);
  const caveats = notices(solid, record, [from, to]);
  const of = (side: 0 | 1) => integralOf(curve, (T) => valueAt(curve, T)[side], from, to);
  const ends: readonly [number, number] = [of(0), of(1)];
  return valued(record, from <= to ? ends : [ends[1], ends[0]], caveats);
}

/** Mean of a property between two different temperatures. Refuses as `solidIntegral`. */
export function solidMean(
  solid: Solid,
  quantity: SolidQuantity,
  from: Temperature,
  to: Temperature,
): SolidValue {
  if (from === to) return solidProperty(solid, quantity, from);
  const whole = solidIntegral(solid, quantity, from, to);
  const ends = [whole.low / (to - from), whole.high / (to - from)] as const;
  return {
    ...whole,
    value: whole.value / (to - from),
    low: Math.min(...ends),
    high: Math.max(...ends),
  };
}

/**
 * Contraction from one temperature to another, (L(from) - L(to)) / L(293 K): positive when it shrinks.
 * Both lengths come from one curve, so that its spread is that of the difference, not of each end.
 *
 * @param from, to  [K];  @returns  a ratio
 * Refuses  a temperature more than 30 K outside the range of the data
 */
export function contraction(solid: Solid, from: Temperature, to: Temperature): SolidValue {
  const data = solid.file.contraction;
  const curve = contractionCurve(solid);
  const record: Known = { data, dimension: "ratio", words: "contraction", curve };
  const caveats = notices(solid, record, [from, to]);
  const middle = (T: number) => {
    const [low, high] = valueAt(curve, T);
    return (low + high) / 2;
  };
  const value = middle(from) - middle(to);
  const half = Math.abs(value) * relativeSpread(data);
  return valued(record, [value - half, value + half], caveats);
}

/**
 * Value of the contraction alone, for the inner loop of a band: made without its spread and sources.
 * @param from, to  [K];  @returns  a ratio.  Refuses as `contraction`
 */
export function contractionValue(solid: Solid, from: Temperature, to: Temperature): number {
  const { TMin, TMax, at } = contractionCurve(solid);
  const isInside = (T: number) => T >= TMin && T <= TMax;
  if (!isInside(from) || !isInside(to)) return contraction(solid, from, to).value;
  const [lowFrom, highFrom] = at(from);
  const [lowTo, highTo] = at(to);
  return (lowFrom + highFrom) / 2 - (lowTo + highTo) / 2;
}

/** Density at a temperature [kg/m3]: that at 293 K over the cube of the length ratio. Refuses as `contraction`. */
export function solidDensity(solid: Solid, T: Temperature): SolidValue {
  const data = solid.file.density_293_K;
  if (data === undefined) return refuseMissing(solid, "density");
  const shrinkage = contraction(solid, REFERENCE_TEMPERATURE as Temperature, T);
  const swelling = (1 - shrinkage.value) ** -3;
  const at = (value: number) => (value * swelling) as Density;
  return {
    ...shrinkage,
    value: at((data.low + data.high) / 2),
    low: at(data.low),
    high: at(data.high),
    dimension: "density",
    sources: [...(data.sources ?? [data.note]), ...shrinkage.sources],
    from: data.from,
    note: data.note,
  };
}

/** What a curve's values are told with. */
interface Known {
  readonly data: {
    readonly sources: readonly string[];
    readonly from: string;
    readonly note?: string | undefined;
  };
  readonly dimension: Dimension;
  readonly words: string;
  readonly curve: Curve;
}

function propertyCurve(solid: Solid, quantity: SolidQuantity): { curve: Curve; record: Known } {
  const data = solid.file[quantity];
  const { words, dimension } = solidQuantities[quantity];
  if (data === undefined) return refuseMissing(solid, words);
  const curve = curveOf(data, dimension);
  return { curve, record: { data, dimension, words, curve } };
}

const scaledCurves = new WeakMap<Solid, Curve>();

function contractionCurve(solid: Solid): Curve {
  const data = solid.file.contraction;
  if (data.form !== "scaled") return curveOf(data, "ratio");
  const known = scaledCurves.get(solid);
  if (known !== undefined) return known;
  const curve = scaledCurve(data, solid.shape);
  scaledCurves.set(solid, curve);
  return curve;
}

function scaledCurve(data: Extract<ContractionData, { form: "scaled" }>, shape: Solid["shape"]): Curve {
  const shapeData = shape?.file.contraction;
  if (shapeData === undefined || shapeData.form === "scaled")
    throw new Error("a scaled contraction without a shape");
  const curve = curveOf(shapeData, "ratio");
  const middle = (T: number) => {
    const [low, high] = valueAt(curve, T);
    return (low + high) / 2;
  };
  const total = middle(data.T_K) / -0.01;
  const at = (T: number): readonly [number, number] => {
    const share = middle(T) / total;
    return [Math.min(data.low * share, data.high * share), Math.max(data.low * share, data.high * share)];
  };
  return { TMin: data.T_K, TMax: Math.max(curve.TMax, REFERENCE_TEMPERATURE), at, kinks: curve.kinks };
}

/** Half width of a contraction over its size [-]. */
function relativeSpread(data: ContractionData): number {
  if (data.form === "scaled") return (data.high - data.low) / (data.high + data.low);
  if (data.form !== "table") return data.spread_percent / 100;
  const widest = data.rows.map(
    ({ low, high }) => Math.abs(high - low) / Math.max(Math.abs(low + high), 1e-300),
  );
  return Math.max(...widest);
}

/** Inside the range the curve, beyond it the straight line along its slope at the end. */
function valueAt({ TMin, TMax, at }: Curve, T: number): readonly [number, number] {
  if (T >= TMin && T <= TMax) return at(T);
  const end = T < TMin ? TMin : TMax;
  const step = TMax - TMin > SLOPE_STEP ? (T < TMin ? SLOPE_STEP : -SLOPE_STEP) : 0;
  const [low, high] = at(end);
  if (step === 0) return [low, high];
  const [lowIn, highIn] = at(end + step);
  const along = (T - end) / step;
  return [low + (lowIn - low) * along, high + (highIn - high) * along];
}

function integralOf(
  { kinks, TMin, TMax }: Curve,
  f: (T: number) => number,
  from: number,
  to: number,
): number {
  const low = Math.min(from, to);
  const high = Math.max(from, to);
  const inner = [TMin, ...kinks, TMax].filter((T) => T > low && T < high);
  const borders = [low, ...inner, high];
  const sum = borders.slice(1).reduce((total, border, n) => {
    const start = borders[n] ?? border;
    return total + integrate(f, start, border, Math.max(1, Math.ceil((border - start) / LONGEST_PANEL)));
  }, 0);
  return from <= to ? sum : -sum;
}

function valued(
  { data, dimension, curve }: Known,
  [low, high]: readonly [number, number],
  caveats: readonly Notice[],
): SolidValue {
  return {
    value: (low + high) / 2,
    low,
    high,
    dimension,
    TMin: curve.TMin as Temperature,
    TMax: curve.TMax as Temperature,
    sources: data.sources,
    from: data.from,
    ...(data.note === undefined ? {} : { note: data.note }),
    notices: caveats,
  };
}

function notices(
  solid: Solid,
  { words, curve: { TMin, TMax } }: Known,
  temperatures: readonly Temperature[],
): readonly Notice[] {
  return temperatures.flatMap((T): readonly Notice[] => {
    if (T >= TMin - ROUNDING && T <= TMax + ROUNDING) return [];
    const by = T < TMin ? TMin - T : T - TMax;
    const range = `${kelvin(TMin)} to ${kelvin(TMax)}`;
    const outside = `${words} of ${solid.id} at ${kelvin(T)}`;
    if (!(by <= REACH && T > 0)) {
      refuse(
        "solid-out-of-range",
        `${outside}: its data reach from ${range}`,
        `Values are followed up to ${REACH} K beyond their range, with a notice.`,
        "Choose a temperature nearer to the range, or add measured values as a data file.",
      );
    }
    const side = T < TMin ? "below" : "above";
    return [
      {
        code: "solid-extrapolated",
        text: `${outside}: ${formatQuantity(by, "temperature difference")} ${side} its data, ${range}; followed along their slope at that end`,
      },
    ];
  });
}

function refuseMissing(solid: Solid, words: string): never {
  return refuse(
    "no-solid-property",
    `${words} of ${solid.id} is not on file`,
    `A property that its data file does not give is not known, never assumed.`,
    "Add it to the data file with its source, or choose another material.",
  );
}

function kelvin(T: number): string {
  return formatQuantity(T, "temperature");
}
