/**
 * Where a fluid freezes: the melting line of its data file, a pressure against temperature in parts.
 *
 *   simon          p = p_0 + sum a ((T/T_0)^c - 1)
 *   polynomial_Tr  p = p_0 (1 + sum a ((T/T_0)^t - 1))
 *
 * Source  named in the data file; forms as in [younglove-1982], [iapws-r14-08, eq. 1-4]
 */
import { findRoot } from "../numerics/index.js";
import type { Fluid } from "./fluid.js";
import type { MeltingPart } from "./fluidFile.js";

/** The triple pressures of melting line and equation of state differ by less than this share. */
const MELTING_ROUNDING = 1e-4;

/** A state found to be solid: the melting pressure at its temperature, and the side the liquid is on. */
export interface Solid {
  readonly meltingPressure: number;
  readonly liquidLies: "above" | "below";
}

/**
 * The melting line that (T, p) lies beyond, or undefined where the fluid is not solid as far as the
 * line is known. Water below its triple-point temperature is liquid only between two parts.
 */
export function solidAt(fluid: Fluid, T: number, p: number): Solid | undefined {
  for (const part of partsAt(fluid, T)) {
    const meltingPressure = meltingPressureOf(part, T);
    const slack = MELTING_ROUNDING * Math.abs(meltingPressure);
    const isSolid = part.liquid_lies === "above" ? p < meltingPressure - slack : p > meltingPressure + slack;
    if (isSolid) return { meltingPressure, liquidLies: part.liquid_lies };
  }
  return undefined;
}

/** True where a part of the melting line bounds the liquid from below: it is denser than its solid there. */
export function hasLiquidBelowTriple(fluid: Fluid, T: number): boolean {
  return partsAt(fluid, T).some((part) => part.liquid_lies === "above");
}

/**
 * Lowest temperature from which the fluid is not frozen at a pressure [K]. Water's ice I, which melts
 * under pressure, counts as if it were absent: a state on its side is refused by `solidAt`.
 */
export function coldestLiquid(fluid: Fluid, p: number): number {
  const parts = fluid.file.melting_line?.parts ?? [];
  const coldest = parts.filter((part) => part.liquid_lies === "above").map((part) => part.T_min_K);
  const frozen = parts.filter((part) => part.liquid_lies === "below").map((part) => meltingStart(part, p));
  return Math.max(Math.min(fluid.triple.T, ...coldest), ...frozen);
}

/** Temperature on a rising part from which p is below its melting pressure; 0 where it is so throughout [K]. */
function meltingStart(part: MeltingPart, p: number): number {
  const excess = (T: number) => p / (1 + MELTING_ROUNDING) - meltingPressureOf(part, T);
  if (excess(part.T_min_K) <= 0) return 0;
  if (excess(part.T_max_K) >= 0) return part.T_max_K;
  return findRoot(excess, part.T_min_K, part.T_max_K);
}

function partsAt(fluid: Fluid, T: number): readonly MeltingPart[] {
  const parts = fluid.file.melting_line?.parts ?? [];
  return parts.filter((part) => T >= part.T_min_K && T <= part.T_max_K);
}

/** Melting pressure of one part [Pa]. */
export function meltingPressureOf(part: MeltingPart, T: number): number {
  const ratio = T / part.T_0_K;
  if (part.form === "simon") {
    return part.terms.reduce((p, { a_Pa, c }) => p + a_Pa * (ratio ** c - 1), part.p_0_Pa);
  }
  return part.p_0_Pa * part.terms.reduce((sum, { a, t }) => sum + a * (ratio ** t - 1), 1);
}
