/** Walls under internal pressure: how thick a tube or a cover must be, and what a thick tube feels at its bore. */
import type { Length } from "../../quantity/index.js";

/** A straight tube, its wall as drawn. */
export interface Tube {
  readonly outerDiameter: Length;
  readonly thickness: Length;
  /** Taken off the drawn wall: corrosion, threads, grooves. */
  readonly allowance: Length;
  /** Share of the drawn wall that may be lacking where it was made [-]. */
  readonly tolerance: number;
}

/** Share of the diameter from which a wall counts as thick [-]. */
const thickFrom = 1 / 6;
/** Y of ductile metals below 482 degC for thin walls [-]. */
const thinY = 0.4;

/** The wall that is there for certain: the drawn one less tolerance and allowance [m]. */
export function wallLeft({
  thickness,
  tolerance,
  allowance,
}: Pick<Tube, "thickness" | "tolerance" | "allowance">): Length {
  return (thickness * (1 - tolerance) - allowance) as Length;
}

/**
 * Wall that a tube needs for pressure,
 *
 *   t = p D / (2 (S E + p Y)),   Y = 0.4 for t < D/6, else (d + 2c) / (D + d + 2c)
 *
 * with the wall as drawn telling which of the two it is.
 * @param p  pressure over that outside [Pa];  @param S  stress allowed [Pa];  @param E  quality of cast or weld [-]
 * @returns  without allowance and tolerance [m]
 * Valid for straight tubes without openings, ductile metals
 * Source    [asme-b31.3-2016, 304.1.2, equations 3a and 3b]
 */
export function neededTubeWall(tube: Tube, p: number, S: number, E: number): Length {
  const { outerDiameter: D, thickness, allowance: c } = tube;
  const inside = D - 2 * thickness + 2 * c;
  const Y = thickness < thickFrom * D ? thinY : inside / (D + inside);
  return ((p * D) / (2 * (S * E + p * Y))) as Length;
}

/**
 * Thickness that a flat cover needs for pressure, t = d sqrt(C p / (S E)).
 * @param d  diameter on which it is held [m];  @param C  how it is held: 0.3 bolted, 0.17 to 0.33 welded or integral [-]
 * Valid without the moment of a gasket outside that diameter
 * Source    [asme-viii-1-2015, UG-34, equation 1]
 */
export function neededCover(d: Length, C: number, p: number, S: number, E: number): Length {
  return (d * Math.sqrt((C * p) / (S * E))) as Length;
}

/**
 * Largest hoop stress of a thick tube, at its bore, and the equivalent one after von Mises with closed ends,
 *
 *   s_hoop = p (ro^2 + ri^2) / (ro^2 - ri^2),   s_vm = sqrt(3) p ro^2 / (ro^2 - ri^2)
 *
 * Source  [budynas-nisbett-2011, sec. 3-14]; the second from hoop, axial and radial stress there
 */
export function boreStress(
  outerDiameter: Length,
  wall: Length,
  p: number,
): { readonly hoop: number; readonly equivalent: number } {
  const outer = (outerDiameter / 2) ** 2;
  const inner = (outerDiameter / 2 - wall) ** 2;
  return {
    hoop: (p * (outer + inner)) / (outer - inner),
    equivalent: (Math.sqrt(3) * p * outer) / (outer - inner),
  };
}

/**
 * Bending stress of a flat cover at pressure, s = C p (d/t)^2: the equation of its thickness turned round.
 * Source  [asme-viii-1-2015, UG-34, equation 1]
 */
export function coverStress(d: Length, C: number, p: number, thickness: Length): number {
  return C * p * (d / thickness) ** 2;
}

/**
 * Pressure at which a plain thick tube is expected to burst,
 *
 *   p = (2 / sqrt 3) s_y ln(ro/ri) (2 - s_y / s_u)
 *
 * Valid for ductile tubes without openings, ports, welds or flaws: an order of size for a valve body
 * Source  [faupel-1956, equation 20]
 */
export function burstPressure(
  outerDiameter: Length,
  wall: Length,
  yieldStress: number,
  ultimate: number,
): number {
  const ratio = outerDiameter / (outerDiameter - 2 * wall);
  return (2 / Math.sqrt(3)) * yieldStress * Math.log(ratio) * (2 - yieldStress / ultimate);
}

/**
 * Stress that piping codes allow a ductile metal at or below ambient, min(2/3 s_y, 1/3 s_u) of its values at ambient:
 * the cold makes it stronger, and that is not counted.
 * Source  [asme-b31.3-2016, 302.3.2(d)]
 */
export function allowedStress(yieldAmbient: number, ultimateAmbient: number): number {
  return Math.min((2 / 3) * yieldAmbient, ultimateAmbient / 3);
}
