/**
 * A property of a solid against temperature, as its data file gives it.
 *
 *   polynomial        sum c_i T^i                          log10_polynomial  log10 y = sum c_i (log10 T)^i
 *   table             straight between intervals           expansion         integral of a coefficient from 293 K
 *
 * Source  named in the data file; the two polynomial forms are those of [nist-cryogenics-2010]
 */
import { integrate } from "../numerics/index.js";
import { type Dimension, readUnit } from "../quantity/index.js";
import type { CurveData } from "./solidFile.js";

/** A curve in SI with the range it is known in. */
export interface Curve {
  readonly TMin: number;
  readonly TMax: number;
  /** Interval of the value at a temperature of the range, low before high. */
  readonly at: (T: number) => readonly [number, number];
  /** Temperatures at which the curve has a kink. */
  readonly kinks: readonly number[];
}

/** Lengths are given against those at this temperature [K]. */
export const REFERENCE_TEMPERATURE = 293;
const LONGEST_PANEL = 10;

/** A curve is asked for at every sample of a band; its unit is read once. */
const curves = new WeakMap<CurveData, Curve>();

/** @param dimension  what the property is; its unit is in the data file */
export function curveOf(data: CurveData, dimension: Dimension): Curve {
  const known = curves.get(data);
  if (known !== undefined) return known;
  const curve = madeCurve(data, dimension);
  curves.set(data, curve);
  return curve;
}

function madeCurve(data: CurveData, dimension: Dimension): Curve {
  switch (data.form) {
    case "polynomial": {
      const { T_min_K, T_max_K, coefficients, below, spread_percent } = data;
      const factor = factorOf(data.unit, dimension);
      const at = (T: number) =>
        spreadBy(
          factor * (below !== undefined && T < below.T_K ? below.value : polynomial(coefficients, T)),
          spread_percent,
        );
      return { TMin: T_min_K, TMax: T_max_K, at, kinks: below === undefined ? [] : [below.T_K] };
    }
    case "log10_polynomial": {
      const factor = factorOf(data.unit, dimension);
      const { pieces, spread_percent } = data;
      const at = (T: number) => {
        const piece = pieces.find(({ T_max_K }) => T <= T_max_K) ?? pieces.at(-1);
        return spreadBy(factor * 10 ** polynomial(piece?.coefficients ?? [], Math.log10(T)), spread_percent);
      };
      return {
        TMin: pieces[0]?.T_min_K ?? 0,
        TMax: pieces.at(-1)?.T_max_K ?? 0,
        at,
        kinks: pieces.slice(1).map(({ T_min_K }) => T_min_K),
      };
    }
    case "table": {
      const factor = factorOf(data.unit, dimension);
      const { rows } = data;
      return {
        TMin: rows[0]?.T_K ?? 0,
        TMax: rows.at(-1)?.T_K ?? 0,
        at: (T) => inTable(rows, T, factor),
        kinks: rows.slice(1, -1).map(({ T_K }) => T_K),
      };
    }
    case "expansion_log10_polynomial": {
      const { T_min_K, T_max_K, coefficients, spread_percent } = data;
      const alpha = (T: number) => 1e-6 * 10 ** polynomial(coefficients, Math.log10(T));
      const at = (T: number) => {
        const panels = Math.max(1, Math.ceil(Math.abs(T - REFERENCE_TEMPERATURE) / LONGEST_PANEL));
        return spreadBy(integrate(alpha, REFERENCE_TEMPERATURE, T, panels), spread_percent);
      };
      return { TMin: T_min_K, TMax: T_max_K, at, kinks: [] };
    }
  }
}

/** Powers of ten stand in the files for themselves; every other unit is read. */
function factorOf(unit: string, dimension: Dimension): number {
  return /^1e-?\d+$/.test(unit) ? Number(unit) : readUnit(unit, dimension).factor;
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, c) => sum * x + c, 0);
}

function spreadBy(value: number, percent: number): readonly [number, number] {
  const half = (Math.abs(value) * percent) / 100;
  return [value - half, value + half];
}

type Row = { readonly T_K: number; readonly low: number; readonly high: number };

function inTable(rows: readonly Row[], T: number, factor: number): readonly [number, number] {
  const after = rows.findIndex(({ T_K }) => T_K >= T);
  const upper = rows[after] ?? rows.at(-1);
  const lower = rows[after - 1] ?? upper;
  if (upper === undefined || lower === undefined) return [Number.NaN, Number.NaN];
  const share = upper.T_K > lower.T_K ? (T - lower.T_K) / (upper.T_K - lower.T_K) : 0;
  const mixed = (from: number, to: number) => factor * (from + share * (to - from));
  return [mixed(lower.low, upper.low), mixed(lower.high, upper.high)];
}
