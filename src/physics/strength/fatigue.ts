/**
 * Fatigue of a shaft whose torque swings between two values, by equivalent stresses (distortion energy)
 * on the line of Goodman:
 *
 *   sigma_a = sqrt(3) K_fs (tau_1 - tau_2)/2,   sigma_m = sqrt(3) K_fs |tau_1 + tau_2|/2
 *   1/n = sigma_a / S_f(N) + sigma_m / S_ut
 *
 * Source [budynas-nisbett-2011, sec. 6-8, 6-9 and eq. 7-7]
 */
import type { Length, Stress } from "../../quantity/index.js";

/** How a surface was made, with the factor a S_ut^b of its finish, S_ut in MPa [budynas-nisbett-2011, table 6-2, looked up]. */
export const surfaces = {
  ground: { a: 1.58, b: -0.085 },
  machined: { a: 4.51, b: -0.265 },
  "hot-rolled": { a: 57.7, b: -0.718 },
  forged: { a: 272, b: -0.995 },
} as const;
export type Surface = keyof typeof surfaces;

const megapascal = 1e6;

/** Factor of the surface's finish, not above 1. */
export function surfaceFactor(surface: Surface, ultimateStrength: Stress): number {
  const { a, b } = surfaces[surface];
  return Math.min(a * (ultimateStrength / megapascal) ** b, 1);
}

/** Diameters for which the factor of size was found, and its reference [m]. */
const sizes = { least: 2.79e-3, reference: 7.62e-3, most: 51e-3 } as const;

/**
 * Factor of the size, (d / 7.62 mm)^-0.107, not above 1.
 * @param d  diameter, or for another section the largest across
 * Valid for 2.79 to 51 mm; held at the ends.  Source [budynas-nisbett-2011, eq. 6-20, looked up]
 */
export function sizeFactor(d: Length): number {
  const within = Math.min(Math.max(d, sizes.least), sizes.most);
  return Math.min((within / sizes.reference) ** -0.107, 1);
}

/**
 * Endurance limit of a polished bar over its ultimate strength: 0.5 for steels, 0.35 to 0.4 for
 * austenitic, nickel and copper alloys at some 1e7 cycles. Source [budynas-nisbett-2011, eq. 6-8; textbook
 * values, from memory]
 */
export const enduranceRatio = { low: 0.35, mode: 0.4, high: 0.5 } as const;

/** Cycles at the two ends of the sloping line, and the share of the ultimate strength at the first. */
const knee = { from: 1e3, to: 1e6, share: 0.9 } as const;

/**
 * Stress amplitude that is borne for a number of fully reversed cycles: straight in the logarithms from
 * S_ut at one cycle over 0.9 S_ut at 1e3 to the endurance limit at 1e6, and that beyond.
 *
 *   S_f = a N^b,  a = (0.9 S_ut)^2 / S_e,  b = -log10(0.9 S_ut / S_e) / 3
 *
 * @param enduranceLimit  S_e of the part, with its factors;  @param cycles  N >= 1
 * Source  [budynas-nisbett-2011, eqs. 6-13 to 6-15], with f = 0.9
 */
export function fatigueStrength(ultimateStrength: Stress, enduranceLimit: Stress, cycles: number): Stress {
  const start = knee.share * ultimateStrength;
  if (cycles <= knee.from)
    return (ultimateStrength * Math.max(cycles, 1) ** (Math.log10(knee.share) / 3)) as Stress;
  if (cycles >= knee.to) return Math.min(enduranceLimit, start) as Stress;
  const slope = -Math.log10(start / enduranceLimit) / 3;
  return ((start ** 2 / enduranceLimit) * cycles ** slope) as Stress;
}

/**
 * Factor of safety on the line of Goodman, n as above.
 * @param amplitude, mean  equivalent stresses, >= 0;  @returns  infinite without stress [-]
 */
export function goodmanFactor(
  amplitude: Stress,
  mean: Stress,
  strength: Stress,
  ultimateStrength: Stress,
): number {
  const used = amplitude / strength + mean / ultimateStrength;
  return used > 0 ? 1 / used : Number.POSITIVE_INFINITY;
}

/** Equivalent stresses of a shear that swings between two signed values. @param notch K_fs [-] */
export function swing(
  first: Stress,
  second: Stress,
  notch: number,
): { readonly amplitude: Stress; readonly mean: Stress } {
  const scale = 0.5 * Math.sqrt(3) * notch;
  return {
    amplitude: (scale * Math.abs(first - second)) as Stress,
    mean: (scale * Math.abs(first + second)) as Stress,
  };
}
