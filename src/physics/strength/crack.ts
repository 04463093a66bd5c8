/**
 * Whether a flaw that inspection may miss would run: the stress at its tip against the toughness.
 *
 * Torsion stands as tension of the size of the shear at 45 degrees to the axis; a flaw across it opens.
 */
import type { Length, Stress, StressIntensity } from "../../quantity/index.js";

/** A flaw of the surface, as half an ellipse. */
export interface SurfaceFlaw {
  /** Depth a. */
  readonly depth: Length;
  /** Length 2c along the surface, at least twice the depth; infinite for one that runs on. */
  readonly length: Length;
}

/** Factor of a free surface [-]. */
const freeSurface = 1.12;

/**
 * Stress intensity at the deepest place of a surface flaw,
 *
 *   K = 1.12 sigma sqrt(pi a / Q),   Q = 1 + 1.464 (a/c)^1.65
 *
 * @param stress  tension across the flaw [Pa];  a length below two depths counts as two
 * Valid for  a depth small against the section and a stress even over it; at a notch take the notch's stress
 * Source     [anderson-2005, sec. 2.6; shape factor of newman-raju-1981], from memory
 */
export function stressIntensity(stress: Stress, { depth, length }: SurfaceFlaw): StressIntensity {
  const slenderness = Math.min((2 * depth) / length, 1);
  const Q = 1 + 1.464 * slenderness ** 1.65;
  return (freeSurface * stress * Math.sqrt((Math.PI * depth) / Q)) as StressIntensity;
}
