/** What a metal bears in shear, from its strengths in tension. */
import type { Stress } from "../../quantity/index.js";

/** Shear at which a metal yields, sigma_y / sqrt(3) (von Mises). Source [budynas-nisbett-2011, sec. 5-5] */
export function shearYield(yieldStrength: Stress): Stress {
  return (yieldStrength / Math.sqrt(3)) as Stress;
}

/**
 * Share of the ultimate strength at which a ductile metal breaks in torsion, with its spread: 0.75 to
 * 0.8 by one source, 0.67 by another [-].
 * Source [textbook values, from memory; budynas-nisbett-2011, eq. 6-54: 0.67]
 */
export const ultimateInTorsion = { low: 0.67, mode: 0.75, high: 0.8 } as const;

/** Elongation at break below which a metal is reckoned brittle [-] [budynas-nisbett-2011, sec. 5-2]. */
export const leastDuctile = 0.05;

/** What a torque-carrying section is asked for, and what its stress may be. */
export interface ShearDemand {
  /** Shear that the load causes. */
  readonly stress: Stress;
  readonly yieldStrength: Stress;
  readonly ultimateStrength: Stress;
  /** Share of the ultimate strength that counts in torsion [-]. */
  readonly ultimateShare: number;
  readonly yieldFactor: number;
  readonly ultimateFactor: number;
}

/**
 * Margin of safety in shear,
 *
 *   MS = min(sigma_y / (sqrt(3) FS_y tau), k_u sigma_u / (FS_u tau)) - 1
 *
 * @returns  infinite without a stress [-]
 * Source    form of a margin of safety [nasa-std-5001b, from memory]
 */
export function shearMargin({
  stress,
  yieldStrength,
  ultimateStrength,
  ultimateShare,
  yieldFactor,
  ultimateFactor,
}: ShearDemand): number {
  const allowed = allowedShear({
    yieldStrength,
    ultimateStrength,
    ultimateShare,
    yieldFactor,
    ultimateFactor,
  });
  return stress > 0 ? allowed / stress - 1 : Number.POSITIVE_INFINITY;
}

/** Shear that a section may have with both factors; see `shearMargin`. */
export function allowedShear({
  yieldStrength,
  ultimateStrength,
  ultimateShare,
  yieldFactor,
  ultimateFactor,
}: Omit<ShearDemand, "stress">): Stress {
  return Math.min(
    shearYield(yieldStrength) / yieldFactor,
    (ultimateShare * ultimateStrength) / ultimateFactor,
  ) as Stress;
}
